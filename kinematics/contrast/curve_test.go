package contrast

import (
	"math"
	"math/rand/v2"
	"testing"
)

// smooth returns n curves of 40 points: wandering noise about bump in the
// middle.
func smooth(rng *rand.Rand, n int, bump float64) [][]float64 {
	curves := make([][]float64, n)
	for i := range curves {
		c := make([]float64, 40)
		v := rng.NormFloat64()
		for j := range c {
			v = 0.9*v + math.Sqrt(1-0.81)*rng.NormFloat64()
			c[j] = v
			if 15 <= j && j < 25 {
				c[j] += bump
			}
		}
		curves[i] = c
	}
	return curves
}

func column(curves [][]float64, j int) []float64 {
	x := make([]float64, len(curves))
	for i, c := range curves {
		x[i] = c[j]
	}
	return x
}

func TestCurvesAgreeWithTestsAtEachPoint(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	a, b := smooth(rng, 6, 0), smooth(rng, 6, 1)
	a[2][7] = math.NaN()
	w, err := WelchCurves(a, b, 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	p, err := PairedCurves(a, b, 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	for j := range w.T {
		welch, _ := Welch(column(a, j), column(b, j), 0.95)
		paired, _ := Paired(column(a, j), column(b, j), 0.95)
		near(t, "Welch t", w.T[j], welch.T, 1e-10)
		near(t, "paired t", p.T[j], paired.T, 1e-10)
	}
}

// On a curve of one point the permutation of the largest statistic is the
// permutation test: for the sleep data 4 of the 1024 turns of sign are as
// extreme, by enumeration.
func TestPairedCurvesOnSleep(t *testing.T) {
	rows := func(x []float64) [][]float64 {
		out := make([][]float64, len(x))
		for i, v := range x {
			out[i] = []float64{v}
		}
		return out
	}
	c, err := PairedCurves(rows(drug1), rows(drug2), 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Intervals) != 1 {
		t.Fatalf("intervals %v, want one", c.Intervals)
	}
	near(t, "p", c.Intervals[0].P, 4./1024, 1e-12)
}

// Two alike sets differ anywhere along the curve no more often than alpha: with
// 400 trials the standard error of the share is √(0.05·0.95/400) = 0.011.
func TestCurvesKeepTheErrorRate(t *testing.T) {
	const trials = 400
	rng := rand.New(rand.NewPCG(5, 6))
	var welch, paired float64
	for range trials {
		w, err := WelchCurves(smooth(rng, 4, 0), smooth(rng, 5, 0), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(w.Intervals) > 0 {
			welch++
		}
		p, err := PairedCurves(smooth(rng, 8, 0), smooth(rng, 8, 0), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Intervals) > 0 {
			paired++
		}
	}
	near(t, "Welch rate", welch/trials, 0.05, 3*0.011)
	near(t, "paired rate", paired/trials, 0.05, 3*0.011)
}

func TestCurvesFindWhereTheyDiffer(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	c, err := WelchCurves(smooth(rng, 12, 0), smooth(rng, 12, -4), 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Intervals) != 1 || c.Intervals[0].From > 16 || c.Intervals[0].To < 23 || c.Intervals[0].P > 0.01 {
		t.Errorf("intervals %+v, want one over points 15 to 24", c.Intervals)
	}
	if c.T[20] > -c.Threshold {
		t.Errorf("t %v in the middle, want below −%v", c.T[20], c.Threshold)
	}
}

// Of three pairs the smallest possible p is 2/8, of three against three 2/20:
// no threshold can keep 0.05.
func TestFewCurvesHaveNoThreshold(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	a, b := smooth(rng, 3, 0), smooth(rng, 3, 50)
	p, err := PairedCurves(a, b, 0.05, 1)
	if err != nil || !math.IsNaN(p.Threshold) || p.Intervals != nil {
		t.Errorf("pairs: threshold %v, intervals %v, error %v", p.Threshold, p.Intervals, err)
	}
	w, err := WelchCurves(a, b, 0.05, 1)
	if err != nil || !math.IsNaN(w.Threshold) || w.Intervals != nil {
		t.Errorf("sets: threshold %v, intervals %v, error %v", w.Threshold, w.Intervals, err)
	}
}

func TestOneCurveIsTooFew(t *testing.T) {
	one := [][]float64{{1, 2}}
	if _, err := WelchCurves(one, one, 0.05, 1); err == nil {
		t.Error("WelchCurves of one curve each has no error")
	}
	if _, err := PairedCurves(one, one, 0.05, 1); err == nil {
		t.Error("PairedCurves of one pair has no error")
	}
}

func BenchmarkWelchCurves(b *testing.B) {
	rng := rand.New(rand.NewPCG(11, 12))
	x, y := smooth(rng, 20, 0), smooth(rng, 20, 1)
	for b.Loop() {
		WelchCurves(x, y, 0.05, 1)
	}
}
