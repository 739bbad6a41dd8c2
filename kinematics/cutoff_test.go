package kinematics

import (
	"math"
	"testing"
)

// A sinusoid comes out of the smoother, far from the ends, with the gain that the
// normal equations have for it: 1/(1 + λ(2 sin(ω/2))⁸) where the noise is white,
// so half at the cut-off. Where it wanders, the wandering path takes its share,
// and at the cut-off the gain is half all the same.
func TestCutOffHalvesASinusoid(t *testing.T) {
	const n, rate = 4000, 2000.0
	seen := make([]bool, n)
	for i := range seen {
		seen[i] = true
	}
	gain := func(lam, frequency float64, noise colour) float64 {
		s, ok := newSmoother(seen, lam, noise)
		if !ok {
			t.Fatal("singular")
		}
		y := make([]float64, n)
		for i := range y {
			y[i] = math.Sin(2 * math.Pi * frequency * float64(i) / rate)
		}
		s.smooth(y)
		var in, out float64 // whole periods, a quarter of the path from the ends
		for i := n / 4; i < 3*n/4; i++ {
			x := math.Sin(2 * math.Pi * frequency * float64(i) / rate)
			in += x * x
			out += x * y[i]
		}
		return out / in
	}
	for _, noise := range []colour{{}, {1.4, 0.8}} {
		for _, cutOff := range []float64{20, 60, 250} {
			lam := cutOffLambda(cutOff, rate, noise)
			near(t, "gain at the cut-off", gain(lam, cutOff, noise), 0.5, 1e-4) // what the ends still do a quarter of the path away
			near(t, "cut-off of λ", cutOffOf(lam, rate, noise), cutOff, 1e-9*cutOff)
		}
	}
	lam := cutOffLambda(60, rate, colour{})
	for _, f := range []float64{30, 50, 80, 150} {
		want := 1 / (1 + math.Pow(math.Sin(math.Pi*f/rate)/math.Sin(math.Pi*60/rate), 8))
		near(t, "gain", gain(lam, f, colour{}), want, 1e-4)
	}
}

func TestCutOffs(t *testing.T) {
	low, high := CutOffs(2000)
	near(t, "λ at the lowest", math.Log10(cutOffLambda(low, 2000, colour{})), highLambda, 1e-9)
	near(t, "highest", high, 1000, 0)
	for _, bad := range []float64{-1, 5, 1001, math.NaN(), math.Inf(1)} {
		if checkCutOff(bad, 2000) == nil {
			t.Errorf("a cut-off of %g Hz at 2000 frames a second is taken", bad)
		}
	}
	for _, good := range []float64{0, low, 60, high} {
		if err := checkCutOff(good, 2000); err != nil {
			t.Errorf("%g Hz: %v", good, err)
		}
	}
}
