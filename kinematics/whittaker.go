package kinematics

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// order is the order of the differences that the smoother keeps small: 3, so
// that a path of steady acceleration passes unchanged and a gap, or the time up
// to impact, is bridged by one.
const order = 3

// A smoother is the penalised least-squares (Whittaker-Henderson) smoother of
// one pattern of seen and unseen frames: the z with the smallest
// Σ seen (y−z)² + λ Σ (Δ³z)² (Whittaker, Proc. Edinburgh Math. Soc. 41:63-75,
// 1923; Eilers, Anal. Chem. 75:3631-3636, 2003). It is linear in y, and with
// noise of variance σ² and third differences of variance σ²/λ the error of z
// has covariance σ² A⁻¹, A = W + λ DᵀD.
type smoother struct {
	n     int
	seen  []bool
	count int // frames seen
	lam   float64
	chol  blas64.TriangularBand // U, A = UᵀU
	inv   [][order + 1]float64  // band of A⁻¹: inv[i][k] is element (i, i+k)
}

// newSmoother returns the smoother, or false where fewer than order frames are
// seen or the matrix is singular to working precision.
func newSmoother(seen []bool, lam float64) (*smoother, bool) {
	n := len(seen)
	s := &smoother{n: n, seen: seen, lam: lam}
	for _, ok := range seen {
		if ok {
			s.count++
		}
	}
	if s.count < order || n <= order {
		return nil, false
	}
	const stride = order + 1
	a := blas64.SymmetricBand{N: n, K: order, Stride: stride, Uplo: blas.Upper, Data: make([]float64, n*stride)}
	for i, ok := range seen {
		if ok {
			a.Data[i*stride] = 1
		}
	}
	diff := [order + 1]float64{-1, 3, -3, 1}
	for r := range n - order {
		for i := range diff {
			for j := i; j < len(diff); j++ {
				a.Data[(r+i)*stride+j-i] += lam * diff[i] * diff[j]
			}
		}
	}
	var ok bool
	s.chol, ok = lapack64.Pbtrf(a)
	return s, ok
}

// smooth turns each row of y (n long, 0 where unseen) into its z. Rows lie one
// after the other.
func (s *smoother) smooth(y []float64) {
	for ; len(y) > 0; y = y[s.n:] {
		v := blas64.Vector{N: s.n, Inc: 1, Data: y[:s.n]}
		blas64.Tbsv(blas.Trans, s.chol, v)
		blas64.Tbsv(blas.NoTrans, s.chol, v)
	}
}

// penalised returns the sum that is smallest at z, over all rows of y.
func (s *smoother) penalised(y, z []float64) float64 {
	var sum float64
	for ; len(y) > 0; y, z = y[s.n:], z[s.n:] {
		for i, ok := range s.seen {
			if d := y[i] - z[i]; ok {
				sum += d * d
			}
			if i >= order {
				d := z[i] - 3*z[i-1] + 3*z[i-2] - z[i-3]
				sum += s.lam * d * d
			}
		}
	}
	return sum
}

// logDet returns the logarithm of the determinant of A.
func (s *smoother) logDet() float64 {
	var sum float64
	for i := range s.n {
		sum += 2 * math.Log(s.chol.Data[i*s.chol.Stride])
	}
	return sum
}

// variances fills s.inv with the band of A⁻¹ from the band factor U (A = UᵀU),
// from the last row up (Takahashi's recursion; Erisman and Tinney, Comm. ACM
// 18:177-179, 1975).
func (s *smoother) variances() {
	u := s.chol
	el := func(i, k int) float64 { return u.Data[i*u.Stride+k] }
	s.inv = make([][order + 1]float64, s.n)
	at := func(i, j int) float64 {
		if i > j {
			i, j = j, i
		}
		return s.inv[i][j-i]
	}
	for i := s.n - 1; i >= 0; i-- {
		d := el(i, 0)
		reach := min(order, s.n-1-i)
		for k := reach; k >= 1; k-- {
			var sum float64
			for l := 1; l <= reach; l++ {
				sum += el(i, l) * at(i+l, i+k)
			}
			s.inv[i][k] = -sum / d
		}
		sum := 1 / d
		for l := 1; l <= reach; l++ {
			sum -= el(i, l) * s.inv[i][l]
		}
		s.inv[i][0] = sum / d
	}
}

// ahead returns the weights on the last three frames that continue them by a
// parabola to f frames after the last, and those of the slope there (per
// frame).
func ahead(f float64) (value, slope [3]float64) {
	// Lagrange's form at −2, −1, 0.
	value = [3]float64{f * (f + 1) / 2, -f * (f + 2), (f + 1) * (f + 2) / 2}
	slope = [3]float64{f + 0.5, -2*f - 2, f + 1.5}
	return value, slope
}

// endVariance returns the variance, in units of σ², of the weighted sum w of
// the last three frames of z.
func (s *smoother) endVariance(w [3]float64) float64 {
	var v float64
	for i := range 3 {
		for j := range 3 {
			a, b := s.n-3+min(i, j), max(i, j)-min(i, j)
			v += w[i] * w[j] * s.inv[a][b]
		}
	}
	return v
}

// A pattern is series of one length that are seen in the same frames.
type pattern struct {
	seen []bool
	rows []float64 // one after the other, 0 where unseen
}

// chooseSmoothing returns the λ for which the series are likeliest, all of one
// noise: the maximum of the restricted likelihood with σ² profiled out, over a
// grid of half decades refined by one parabola. Series that are too short are
// left out; with none left it returns fallback.
func chooseSmoothing(ps []pattern, fallback float64) float64 {
	var z []float64
	score := func(logLam float64) float64 {
		lam := math.Pow(10, logLam)
		var rss, logs float64
		dof := 0
		for _, p := range ps {
			s, ok := newSmoother(p.seen, lam)
			if !ok {
				continue
			}
			z = append(z[:0], p.rows...)
			s.smooth(z)
			rss += s.penalised(p.rows, z)
			c := len(p.rows) / s.n
			dof += c * (s.count - order)
			logs += float64(c) * (s.logDet() - float64(s.n-order)*math.Log(lam))
		}
		if dof < 10 || !(rss > 0) {
			return math.NaN()
		}
		return float64(dof)*math.Log(rss) + logs
	}
	const low, high, step = 0.0, 12.0, 0.5 // decimal logarithm of λ
	best, bestScore := math.NaN(), math.Inf(1)
	for l := low; l <= high; l += step {
		if v := score(l); v < bestScore {
			best, bestScore = l, v
		}
	}
	if math.IsNaN(best) {
		return fallback
	}
	if best > low && best < high {
		a, c := score(best-step/2), score(best+step/2)
		if d := a - 2*bestScore + c; d > 0 {
			best += step / 4 * math.Max(-1, math.Min(1, (a-c)/d))
		}
	}
	return math.Pow(10, best)
}
