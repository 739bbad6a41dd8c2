package kinematics

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// SciPy 1.10 and NumPy 1.24: A = diag(seen) + 12.5 D.T @ D with
// D = np.diff(np.eye(12), 4, axis=0); scipy.linalg.solveh_banded, np.linalg.inv
// and np.linalg.slogdet.
func TestSmootherAgainstSciPy(t *testing.T) {
	nan := math.NaN()
	y := []float64{1.0, 1.3, 0.9, nan, nan, 2.5, 3.1, 2.9, 4.2, 5.0, 4.6, 6.1}
	z := []float64{1.0681519153498957, 1.0299375213096555, 1.1816087673500213, 1.4859663523839688, 1.9003588220964818, 2.3819311075558063, 2.8971978993431806, 3.429566000880279, 3.97842980463358, 4.552909546270411, 5.179526159893983, 5.90074127741436}
	diag := []float64{0.882830820987306, 0.4054897283129226, 0.5659353984365437, 0.6109136804719879, 0.5471869011954299, 0.4319220463849469, 0.3261015181888157, 0.27670275138331585, 0.30466683091317576, 0.36631545909472446, 0.36041852732028984, 0.8592613939764697}
	seen := make([]bool, len(y))
	got := make([]float64, len(y))
	for i, v := range y {
		if seen[i] = !math.IsNaN(v); seen[i] {
			got[i] = v
		}
	}
	s, ok := newSmoother(seen, 12.5, colour{})
	if !ok {
		t.Fatal("singular")
	}
	s.smooth(got)
	s.variances()
	for i := range z {
		near(t, "z", got[i], z[i], 1e-12)
		near(t, "variance", s.inv[i][0], diag[i], 1e-12)
	}
	near(t, "log determinant", s.chol.logDet(), 39.76289664826169, 1e-11)
	// The variance of the last frame is that of continuing by nothing.
	value, _, _ := ahead(0)
	near(t, "end variance", s.endVariance(value), diag[11], 1e-12)
}

// NumPy 1.24: the same series with wandering noise of variance 1.4 and
// correlation 0.8 from frame to frame beside the white, C = 1.4 * 0.8**|i−j|:
// np.linalg.solve(np.block([[W + 12.5 D.T @ D, W], [W, W + inv(C)]]), [Wy, Wy]).
func TestSmootherOfWanderingNoiseAgainstNumPy(t *testing.T) {
	nan := math.NaN()
	y := []float64{1.0, 1.3, 0.9, nan, nan, 2.5, 3.1, 2.9, 4.2, 5.0, 4.6, 6.1}
	z := []float64{1.055847878320429, 1.0397721827914823, 1.1980306162407894, 1.49785104365915, 1.9019393782177878, 2.372815469597551, 2.8808976080193514, 3.4112264195283193, 3.963718928084157, 4.54822679608262, 5.1902051646148974, 5.928705993231619}
	diag := []float64{2.298199069218074, 1.6239820644652434, 1.8035475680606774, 1.8291398828314827, 1.7337042642915563, 1.5974619125820855, 1.4722211690641351, 1.4168458164973197, 1.4741953357413333, 1.5715750160495379, 1.567661034739735, 2.281525216396184}
	seen := make([]bool, len(y))
	for i, v := range y {
		seen[i] = !math.IsNaN(v)
	}
	s, ok := newSmoother(seen, 12.5, colour{1.4, 0.8})
	if !ok {
		t.Fatal("singular")
	}
	var sum float64
	s.smoothTo(y, &sum)
	s.variances()
	for i := range z {
		near(t, "z", y[i], z[i], 1e-11)
		near(t, "variance", s.inv[i][0], diag[i], 1e-11)
	}
	near(t, "covariance 0, 1", s.inv[0][1], 1.3797528727350157, 1e-11)
	near(t, "covariance 5, 8", s.inv[5][3], 0.8315902103859748, 1e-11)
	near(t, "covariance 7, 11", s.inv[7][4], 0.48041318026020585, 1e-11)
	near(t, "sum", sum, 0.9331726697955955, 1e-11)
	near(t, "log determinant", s.chol.logDet(), 48.215014245297844, 1e-11)
}

func TestColourIsFound(t *testing.T) {
	// 0.1 mm white and 0.12 mm wandering over 4 ms, 19 marks, 3000 frames: the
	// share is 1.44.
	rng := rand.New(rand.NewPCG(11, 1))
	f := &fit{rate: 2500, left: make([][]r3.Vec, 19)}
	rho := math.Exp(-1 / (4e-3 * f.rate))
	for k := range f.left {
		var w [3]float64
		for range 3000 {
			var v [3]float64
			for c := range w {
				w[c] = rho*w[c] + math.Sqrt(1-rho*rho)*0.12e-3*rng.NormFloat64()
				v[c] = w[c] + 0.1e-3*rng.NormFloat64()
			}
			f.left[k] = append(f.left[k], r3.Vec{X: v[0], Y: v[1], Z: v[2]})
		}
	}
	c := f.colour(3000)
	near(t, "share", c.share, 1.44, 0.2)
	near(t, "correlation time, ms", -1e3/(f.rate*math.Log(c.rho)), 4, 0.8) // the times tried lie 22 % apart
	for k := range f.left {
		for i := range f.left[k] {
			f.left[k][i] = r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		}
	}
	if c := f.colour(3000); c.share != 0 {
		t.Errorf("white noise is taken to wander: %+v", c)
	}
}

func TestSmootherPassesCubics(t *testing.T) {
	n := 200
	seen := make([]bool, n)
	y := make([]float64, n)
	f := func(x float64) float64 { return 3 - 0.2*x + 0.004*x*x - 1e-5*x*x*x }
	for i := range n {
		seen[i] = i%7 != 3 && (i < 60 || i > 100) // single gaps and a long one
		if seen[i] {
			y[i] = f(float64(i))
		}
	}
	s, ok := newSmoother(seen, 1e4, colour{})
	if !ok {
		t.Fatal("singular")
	}
	s.smooth(y)
	for i := range n {
		near(t, "z", y[i], f(float64(i)), 1e-6) // condition 256 λ, times rounding
	}
	value, slope, bend := ahead(0.7)
	mix := func(c ends) float64 { return c[0]*y[n-4] + c[1]*y[n-3] + c[2]*y[n-2] + c[3]*y[n-1] }
	x := float64(n) - 0.3
	near(t, "ahead", mix(value), f(x), 1e-5)
	near(t, "slope", mix(slope), -0.2+0.008*x-3e-5*x*x, 1e-5)
	near(t, "second derivative", mix(bend), 0.008-6e-5*x, 1e-5)
}

// randomPath returns a path of n frames whose fourth differences are white with
// variance 1/lam.
func randomPath(rng *rand.Rand, n int, lam float64) []float64 {
	path := make([]float64, n)
	for i := order; i < n; i++ {
		path[i] = rng.NormFloat64() / math.Sqrt(lam)
		for k, c := range differences[:order] {
			path[i] -= c * path[i-order+k]
		}
	}
	return path
}

// The error of the smoothed path, and of its continuation, has the variance
// that the smoother claims: simulated as the model has it, a path whose fourth
// differences are white and noise σ. 4000 draws: the standard deviation of a
// variance is √(2/4000) = 2.2 % of it; 5 such are allowed.
func TestSmootherVariance(t *testing.T) {
	const n, lam, draws = 60, 300.0, 4000
	seen := make([]bool, n)
	for i := range seen {
		seen[i] = i < 20 || i > 27
	}
	s, _ := newSmoother(seen, lam, colour{})
	s.variances()
	rng := rand.New(rand.NewPCG(9, 1))
	value, slope, _ := ahead(0.5)
	var mid, end, vel float64
	for range draws {
		path := randomPath(rng, n, lam)
		y := make([]float64, n)
		for i := range y {
			if seen[i] {
				y[i] = path[i] + rng.NormFloat64()
			}
		}
		s.smooth(y)
		mid += math.Pow(y[24]-path[24], 2)
		mix := func(z []float64, c ends) float64 { return c[0]*z[n-4] + c[1]*z[n-3] + c[2]*z[n-2] + c[3]*z[n-1] }
		end += math.Pow(mix(y, value)-mix(path, value), 2)
		vel += math.Pow(mix(y, slope)-mix(path, slope), 2)
	}
	near(t, "variance in the gap", mid/draws/s.inv[24][0], 1, 0.11)
	near(t, "variance ahead", end/draws/s.endVariance(value), 1, 0.11)
	near(t, "variance of the slope", vel/draws/s.endVariance(slope), 1, 0.11)
}

func TestChooseSmoothingFindsTheRatio(t *testing.T) {
	const n, series = 300, 30
	rng := rand.New(rand.NewPCG(10, 1))
	for _, want := range []float64{1e2, 1e5} {
		p := pattern{seen: make([]bool, n)}
		for i := range p.seen {
			p.seen[i] = i%10 != 4
		}
		for range series {
			path := randomPath(rng, n, want)
			for i := range path {
				if p.seen[i] {
					p.rows = append(p.rows, path[i]+rng.NormFloat64())
				} else {
					p.rows = append(p.rows, 0)
				}
			}
		}
		// The likelihood's own width here is some 0.05 decades; the grid's parabola adds as much.
		near(t, "log10 λ", math.Log10(chooseSmoothing([]pattern{p}, colour{}, 1)), math.Log10(want), 0.25)
	}
	if got := chooseSmoothing(nil, colour{}, 42); got != 42 {
		t.Errorf("with no series λ = %g, want the fallback", got)
	}
}
