package contrast

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// R: pt(2.5, 3.7, 1.3, lower.tail = FALSE) and pt(12.7062047, 1, 20, lower.tail
// = FALSE); with noncentrality 0 it is Student's t.
func TestNoncentralT(t *testing.T) {
	near(t, "P(T > 2.5)", aboveT(2.5, 3.7, 1.3), 0.220820097078, 1e-11)
	near(t, "P(T > 12.7)", aboveT(12.7062047, 1, 20), 0.883394443968, 1e-11)
	for _, df := range []float64{1, 2.5, 9, 300, 5000} {
		want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Survival(1.7)
		near(t, "central", aboveT(1.7, df, 0), want, 1e-11)
	}
}

// R: power.t.test(n = 10, delta = 1, sd = 1.2, type = "paired"), (n = 5, delta =
// 3, sd = 2), (n = 200, delta = 0.3, sd = 1); then with power = 0.8 for delta.
func TestPower(t *testing.T) {
	root := math.Sqrt
	near(t, "paired", Power(1, 1.2/root(10), 9, 0.95), 0.651219956479, 1e-9)
	near(t, "two sets", Power(-3, 2*root(2./5), 8, 0.95), 0.549364175686, 1e-9)
	near(t, "large", Power(.3, root(2./200), 398, 0.95), 0.84914875078, 1e-9)
	// power.t.test solves to 1e-4 only.
	near(t, "delta, paired", Detectable(1.2/root(10), 9, 0.95, 0.8), 1.19520228, 1e-5)
	near(t, "delta, two sets", Detectable(2*root(2./5), 8, 0.95, 0.8), 4.0488759, 1e-4)
	near(t, "delta, two pairs", Detectable(2/root(2), 1, 0.95, 0.8), 23.09978, 1e-3)
	near(t, "delta, three pairs", Detectable(2/root(3), 2, 0.95, 0.8), 6.528097, 1e-4)
	// power.t.test(delta = 1, sd = 1.2, power = 0.8, type = "paired") needs 13.35.
	plan := func(n int) (se, df float64) { return 1.2 / root(float64(n)), float64(n - 1) }
	if n, ok := Need(1, 0.95, 0.8, 2, 100, plan); !ok || n != 14 {
		t.Errorf("need %d, want 14", n)
	}
	if n, ok := Need(1e-3, 0.95, 0.8, 2, 100, plan); ok || n != 0 {
		t.Errorf("a difference too small is found with %d", n)
	}
}

// A difference as large as Detectable says is found as often as it says. With
// 2000 samples the standard error of the share is √(0.8·0.2/2000) = 0.009.
func TestDetectableIsFound(t *testing.T) {
	const samples = 2000
	rng := rand.New(rand.NewPCG(51, 52))
	delta := Detectable(1.5/math.Sqrt(6), 5, 0.95, 0.8)
	found := 0.0
	for range samples {
		test, err := OneSample(draw(rng, 6, delta, 1.5), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if test.Low > 0 {
			found++
		}
	}
	near(t, "share", found/samples, 0.8, 3*0.009)
}

func TestPlansPanic(t *testing.T) {
	for name, mistake := range map[string]func(){
		"no error": func() { Power(1, 0, 3, 0.95) },
		"level":    func() { Power(1, 1, 3, 95) },
		"power":    func() { Detectable(1, 1, 0.95, 0.01) },
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

// 0.6745·|12 − 2.5|/1 is 6.4; the others lie within 1.7.
func TestOutliers(t *testing.T) {
	got := Outliers([]float64{1, 2, 3, 12, math.NaN(), 2.5, 4.9, 1.5})
	for i, mark := range got {
		if mark != (i == 3) {
			t.Errorf("value %d has mark %v", i, mark)
		}
	}
	for _, x := range [][]float64{{1, 2, 3, 100}, {2, 2, 2, 2, 9}, nil} {
		for i, mark := range Outliers(x) {
			if mark {
				t.Errorf("%v: value %d is marked", x, i)
			}
		}
	}
}
