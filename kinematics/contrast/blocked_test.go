package contrast

import (
	"errors"
	"math"
	"math/rand/v2"
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

// The interval at equal covariate holds the truth as often as it says, where the
// second set is faster, blocks differ in speed and in their taste, and numbers are
// uneven. With 600 samples the standard error of the share is √(0.95·0.05/600) =
// 0.0089. Least squares without the taste holds it far less often: it tells about
// the blocks that were there.
func TestMixedAncovaCoverage(t *testing.T) {
	const samples, truth = 600, 1.0
	rng := rand.New(rand.NewPCG(81, 82))
	var held, narrow float64
	for range samples {
		var runs []Run
		for block := range 6 {
			base, fast := 10*rng.NormFloat64(), 45+3*rng.NormFloat64()
			for set := range 2 {
				own := base + rng.NormFloat64() + truth*float64(set)
				for range 2 + rng.IntN(4) {
					x := fast + 0.5*float64(set) + rng.NormFloat64()
					runs = append(runs, Run{Y: own + 2*(x-fast) + rng.NormFloat64(), X: x, Second: set == 1, Block: block})
				}
			}
		}
		m, err := MixedAncova(runs, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if m.Low <= truth && truth <= m.High {
			held++
		}
		a, err := Ancova(runs, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if a.Low <= truth && truth <= a.High {
			narrow++
		}
	}
	near(t, "coverage", held/samples, 0.95, 3*0.0089)
	if narrow /= samples; narrow > 0.85 {
		t.Errorf("least squares without the blocks' taste holds it in %v", narrow)
	}
}
