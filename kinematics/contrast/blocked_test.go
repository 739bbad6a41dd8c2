package contrast

import (
	"errors"
	"math"
	"testing"
)

// R: lmerTest::lmer(score ~ Machine + I(x - ave(x, Worker)) + (1 | Worker) + (1 |
// Worker:Machine)) and the same without x, on the runs of covaried.
func TestMixedBlocks(t *testing.T) {
	runs, _, _, _ := covaried()
	b, err := MixedAncova(runs, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "B", b.Difference, 7.89475782641, 1e-5)
	near(t, "df", b.DF, 5.06417450466, 1e-3)
	near(t, "SE", b.SE, 2.494155097601, 1e-4)
	near(t, "slope", b.Slope, 1.57402275586, 1e-5)
	near(t, "SD of workers", b.BlockSD, 5.183158, 1e-3)
	near(t, "SD of cells", b.BlockSetSD, 4.263493, 1e-3)
	near(t, "SD of runs", b.RunSD, 0.969740, 1e-4)

	for i := range runs {
		runs[i].X = math.NaN() // not known, and not needed
	}
	b, err = MixedBlocks(runs, 0.95)
	if err != nil || !math.IsNaN(b.Slope) {
		t.Fatalf("%+v, %v", b, err)
	}
	near(t, "B without the covariate", b.Difference, 7.80980618271, 1e-5)
	near(t, "its SE", b.SE, 2.43655236822, 1e-4)
	near(t, "its df", b.DF, 5.09331723245, 1e-3)
	for i := range runs {
		runs[i].Second = !runs[i].Second
	}
	back, _ := MixedBlocks(runs, 0.95)
	near(t, "the other way round", back.Difference, -b.Difference, 1e-9)
	near(t, "p", back.P, b.P, 1e-9)
}

// One run a cell: the block's own taste cannot be told from the run, and the
// model gives the paired test.
func TestMixedBlocksOfSingleRuns(t *testing.T) {
	var runs []Run
	for i := range drug1 {
		runs = append(runs, Run{Y: drug1[i], Block: i}, Run{Y: drug2[i], Second: true, Block: i})
	}
	b, err := MixedBlocks(runs, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "t", b.T, 4.0621277, 5e-8)
	near(t, "df", b.DF, 9, 1e-6)
	if !math.IsNaN(b.BlockSetSD) {
		t.Errorf("SD of a block's set %v", b.BlockSetSD)
	}
	if b, err := MixedBlocks(runs[:2], 0.95); !errors.Is(err, ErrTooFew) || !math.IsNaN(b.Difference) {
		t.Errorf("one block: %+v, %v", b, err)
	}
}
