package contrast

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// points1 makes curves of one point each.
func points1(values []float64) [][]float64 {
	curves := make([][]float64, len(values))
	for i, v := range values {
		curves[i] = []float64{v}
	}
	return curves
}

// R: f <- lm(score ~ 0 + cell), with cell a worker's runs on one of the machines A
// and B, and the contrast of the machines over all six workers; the same without
// the second and third run of worker 1 on A and the second of 1 on B.
func TestBlockCurvesOnMachines(t *testing.T) {
	var a, b [][][]float64
	for w := range 6 {
		a, b = append(a, points1(machines[0][w])), append(b, points1(machines[1][w]))
	}
	for _, c := range []struct{ difference, se, t float64 }{
		{7.966666666667, 0.359053969601, 22.187936469590},
		{8.097222222222, 0.415974292466, 19.465679415455},
	} {
		test, err := BlockCurves(a, b, 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "difference", test.Difference[0], c.difference, 1e-10)
		near(t, "t", test.T[0], c.t, 1e-9)
		near(t, "half the band", (test.High[0]-test.Low[0])/2, test.Threshold*c.se, 1e-10)
		if test.Exact || len(test.Intervals) != 1 {
			t.Errorf("exact %v, intervals %v", test.Exact, test.Intervals)
		}
		a[0], b[0] = points1(machines[0][0][:1]), [][]float64{{machines[1][0][0]}, {machines[1][0][2]}}
	}
}

// Two workers on the same machines, and a second point with made-up values: R's
// combn deals each worker's six runs to the machines in all 20·20 ways. In two the
// largest |t| is as large as that of the scores, in 330 as that of the second
// point, and the 21st largest is the threshold.
func TestBlockCurvesDealAllWays(t *testing.T) {
	second := [][]float64{{3, 1, 4}, {1, 5, 9}, {2, 6, 5}, {3, 5, 8}}
	cell := func(scores, other []float64) [][]float64 {
		var curves [][]float64
		for i := range scores {
			curves = append(curves, []float64{scores[i], other[i]})
		}
		return curves
	}
	a := [][][]float64{cell(machines[0][0], second[0]), cell(machines[0][1], second[1])}
	b := [][][]float64{cell(machines[1][0], second[2]), cell(machines[1][1], second[3])}
	test, err := BlockCurves(a, b, 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "t", test.T[0], 21.04231160989185, 1e-10)
	near(t, "t of the second", test.T[1], 0.64326752090268, 1e-12)
	near(t, "threshold", test.Threshold, 3.642588366737, 1e-8)
	if test.Ways != 400 || !test.Exact || len(test.Intervals) != 1 || test.Intervals[0].To != 0 {
		t.Fatalf("%+v", test)
	}
	near(t, "p", test.Intervals[0].P, 2./400, 1e-15)
}

// Alike sets differ anywhere along the curve no more often than alpha, and the
// band holds the whole true curve: with 400 trials the standard error of the share
// is √(0.05·0.95/400) = 0.011. A taste of the blocks' own is no difference of
// theirs: the mean over the blocks is what the band holds.
func TestBlockCurvesKeepTheErrorRate(t *testing.T) {
	const trials, bump = 400, 2.0
	rng := rand.New(rand.NewPCG(71, 72))
	var wrong, held float64
	for range trials {
		var a, b, c [][][]float64
		for block := range 3 {
			a, b, c = append(a, smooth(rng, 3, 5*float64(block))), append(b, smooth(rng, 3+block%2, 5*float64(block))), append(c, smooth(rng, 3, 5*float64(block)+bump*float64(block)))
		}
		test, err := BlockCurves(a, b, 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(test.Intervals) > 0 {
			wrong++
		}
		if test, err = BlockCurves(a, c, 0.05, 1); err != nil {
			t.Fatal(err)
		}
		whole := 1.0
		for i := range test.T {
			truth := 0.0
			if 15 <= i && i < 25 {
				truth = bump
			}
			if !(test.Low[i] <= truth && truth <= test.High[i]) {
				whole = 0
			}
		}
		held += whole
	}
	near(t, "false differences", wrong/trials, 0.05, 3*0.011)
	near(t, "coverage", held/trials, 0.95, 3*0.011)
}

func TestBlockCurvesRefuse(t *testing.T) {
	one := [][]float64{{1, 2}}
	for name, c := range map[string][2][][][]float64{
		"no block":                 {},
		"a block with one set":     {{one, one}, {one, nil}},
		"single curves everywhere": {{one, one}, {one, one}},
	} {
		if _, err := BlockCurves(c[0], c[1], 0.05, 1); !errors.Is(err, ErrTooFew) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// One block with a gap: no t there, and the rest goes on.
	gap := [][][]float64{{{1, math.NaN()}, {2, math.NaN()}, {1.5, 4}, {1.2, 3}}}
	rest := [][][]float64{{{7, math.NaN()}, {8, math.NaN()}, {7.5, math.NaN()}, {7.7, math.NaN()}}}
	test, err := BlockCurves(gap, rest, 0.05, 1)
	if err != nil || !math.IsNaN(test.T[1]) || len(test.Intervals) != 1 {
		t.Errorf("%+v, %v", test, err)
	}
}
