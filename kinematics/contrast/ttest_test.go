package contrast

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// Extra hours of sleep with two drugs, ten patients (Student, Biometrika
// 6:1-25, 1908; the data set sleep of R).
var (
	drug1 = []float64{.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2.0}
	drug2 = []float64{1.9, .8, 1.1, .1, -.1, 4.4, 5.5, 1.6, 4.6, 3.4}
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !scalar.EqualWithinAbs(got, want, tolerance) {
		t.Errorf("%s is %.9g, want %.9g", what, got, want)
	}
}

// R: with(sleep, t.test(extra[group == 2], extra[group == 1])), signs turned
// from the printed group 1 − group 2.
func TestWelchOnSleep(t *testing.T) {
	w, err := Welch(drug1, drug2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", w.Difference, 1.58, 1e-12)
	near(t, "t", w.T, 1.8608, 5e-5)
	near(t, "df", w.DF, 17.776, 5e-4)
	near(t, "p", w.P, .07939, 5e-6)
	near(t, "low", w.Low, -0.2054832, 5e-8)
	near(t, "high", w.High, 3.3654832, 5e-8)
}

// R: with(sleep, t.test(extra[group == 2], extra[group == 1], paired = TRUE)).
func TestPairedOnSleep(t *testing.T) {
	p, err := Paired(drug1, drug2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "t", p.T, 4.0621277, 5e-8)
	near(t, "df", p.DF, 9, 0)
	near(t, "p", p.P, .00283289, 5e-9)
	near(t, "low", p.Low, 0.7001142, 5e-8)
	near(t, "high", p.High, 2.4598858, 5e-8)
}

// Two one-sided tests of the paired difference by their formula: P of Student's
// t, df 9, at (1.58 − margin)/0.38896.
func TestEquivalenceOnSleep(t *testing.T) {
	p, err := Paired(drug1, drug2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for margin, want := range map[float64]float64{2: .154157, 2.5: .021117, 3: .002656} {
		near(t, "p", p.Equivalence(margin), want, 5e-7)
	}
}

func TestSwappingTurnsTheSign(t *testing.T) {
	for name, test := range map[string]func(a, b []float64, level float64) (Test, error){"Welch": Welch, "Paired": Paired} {
		ab, _ := test(drug1, drug2, 0.9)
		ba, _ := test(drug2, drug1, 0.9)
		near(t, name+" difference", ab.Difference, -ba.Difference, 0)
		near(t, name+" t", ab.T, -ba.T, 1e-14)
		near(t, name+" low", ab.Low, -ba.High, 1e-14)
		near(t, name+" p", ab.P, ba.P, 1e-15)
	}
}

func TestShiftingBothChangesNothing(t *testing.T) {
	shift := func(x []float64) []float64 {
		out := make([]float64, len(x))
		for i, v := range x {
			out[i] = v + 1000
		}
		return out
	}
	for name, test := range map[string]func(a, b []float64, level float64) (Test, error){"Welch": Welch, "Paired": Paired} {
		was, _ := test(drug1, drug2, 0.95)
		is, _ := test(shift(drug1), shift(drug2), 0.95)
		near(t, name+" difference", is.Difference, was.Difference, 1e-10)
		near(t, name+" p", is.P, was.P, 1e-10)
	}
}

// The interval holds the true difference as often as it says. With 4000 samples
// the standard error of the share is √(0.95·0.05/4000) = 0.0034; the bounds are
// three of them, plus 0.006 for Welch's approximation (at most 0.005 below
// nominal for samples of 5 and 8: Welch 1947).
func TestIntervalCoverage(t *testing.T) {
	const samples, truth = 4000, 0.7
	rng := rand.New(rand.NewPCG(1, 2))
	draw := func(n int, mean, sd float64) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = mean + sd*rng.NormFloat64()
		}
		return x
	}
	var welch, paired float64
	for range samples {
		w, err := Welch(draw(5, 0, 1), draw(8, truth, 3), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if w.Low <= truth && truth <= w.High {
			welch++
		}
		a := draw(4, 0, 5)
		b := draw(4, truth, 1)
		for i := range b {
			b[i] += a[i]
		}
		p, err := Paired(a, b, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if p.Low <= truth && truth <= p.High {
			paired++
		}
	}
	near(t, "Welch coverage", welch/samples, 0.95, 3*0.0034+0.006)
	near(t, "paired coverage", paired/samples, 0.95, 3*0.0034)
}

func TestMissingValuesAreLeftOut(t *testing.T) {
	nan := math.NaN()
	full, _ := Welch(drug1, drug2, 0.95)
	gaps, err := Welch(append([]float64{nan}, drug1...), append(drug2[:10:10], nan, nan), 0.95)
	if err != nil || gaps != full {
		t.Errorf("with gaps %+v (%v), without %+v", gaps, err, full)
	}
	pairs, _ := Paired(drug1, drug2, 0.95)
	gaps, err = Paired(append([]float64{nan, 1}, drug1...), append([]float64{1, nan}, drug2...), 0.95)
	if err != nil || gaps != pairs {
		t.Errorf("with gaps %+v (%v), without %+v", gaps, err, pairs)
	}
}

func TestNoTest(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		run  func() (Test, error)
		want error
		diff float64
	}{
		{"one value", func() (Test, error) { return Welch([]float64{1}, drug2, 0.95) }, ErrTooFew, 1.33},
		{"no value", func() (Test, error) { return Welch(nil, drug2, 0.95) }, ErrTooFew, nan},
		{"one pair", func() (Test, error) { return Paired([]float64{1, nan}, []float64{3, 3}, 0.95) }, ErrTooFew, 2},
		{"equal values", func() (Test, error) {
			return Welch([]float64{.1, .1, .1, .1, .1, .1}, []float64{.3, .3, .3}, 0.95)
		}, ErrNoSpread, .2},
		{"equal differences", func() (Test, error) {
			return Paired([]float64{1000.1, 2000.1, 3000.1}, []float64{1000.3, 2000.3, 3000.3}, 0.95)
		}, ErrNoSpread, .2},
		{"nothing but zero", func() (Test, error) { return OneSample(make([]float64, 3), 0.95) }, ErrNoSpread, 0},
	} {
		got, err := c.run()
		if !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", c.name, err, c.want)
		}
		if same := scalar.EqualWithinAbs(got.Difference, c.diff, 1e-9) || math.IsNaN(got.Difference) && math.IsNaN(c.diff); !same {
			t.Errorf("%s: difference %v, want %v", c.name, got.Difference, c.diff)
		}
		if !math.IsNaN(got.T) || !math.IsNaN(got.P) || !math.IsNaN(got.Low) || !math.IsNaN(got.Equivalence(1)) {
			t.Errorf("%s: %+v has more than a difference", c.name, got)
		}
	}
}

// Where one sample is constant, Welch's test is that of the other's mean.
func TestWelchWithOneConstantSample(t *testing.T) {
	w, err := Welch([]float64{0, 0, 0}, drug2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	one, _ := OneSample(drug2, 0.95)
	near(t, "t", w.T, one.T, 1e-12)
	near(t, "df", w.DF, 9, 1e-12)
}

func TestMistakesPanic(t *testing.T) {
	for name, mistake := range map[string]func(){
		"level 95": func() { Welch(drug1, drug2, 95) },
		"pairs":    func() { Paired(drug1, drug2[:3], 0.95) },
		"margin":   func() { Test{}.Equivalence(0) },
		"curves":   func() { Summaries([][]float64{{1}, {1, 2}}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			mistake()
		}()
	}
}
