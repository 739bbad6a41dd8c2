package kinematics

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/spatial/r3"
)

// order is the order of the differences that the smoother keeps small: 4, so
// that a cubic passes unchanged and a gap, or the time up to impact, is bridged
// by one. With order 3 the head's speed at impact was off by twice as much: up
// to contact its acceleration changes steadily.
const order = 4

// A smoother is the penalised least-squares (Whittaker-Henderson) smoother of
// one pattern of seen and unseen frames: the z with the smallest
// Σ seen (y−z)² + λ Σ (Δ⁴z)² (Whittaker, Proc. Edinburgh Math. Soc. 41:63-75,
// 1923; Eilers, Anal. Chem. 75:3631-3636, 2003). It is linear in y, and with
// noise of variance σ² and fourth differences of variance σ²/λ the error of z
// has covariance σ² A⁻¹, A = W + λ DᵀD.
type smoother struct {
	n      int
	seen   []bool
	count  int // frames seen
	lam    float64
	chol   blas64.TriangularBand // U, A = UᵀU
	trends [order][]float64
	inv    [][order + 1]float64 // band of A⁻¹: inv[i][k] is element (i, i+k)
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
	for r := range n - order {
		for i := range differences {
			for j := i; j < len(differences); j++ {
				a.Data[(r+i)*stride+j-i] += lam * differences[i] * differences[j]
			}
		}
	}
	var ok bool
	s.chol, ok = lapack64.Pbtrf(a)
	s.setTrends()
	return s, ok
}

// setTrends fills s.trends with polynomials below the smoother's order,
// orthonormal over the frames seen (Gram-Schmidt on powers of −1 … 1).
func (s *smoother) setTrends() {
	dot := func(a, b []float64) (sum float64) {
		for i, ok := range s.seen {
			if ok {
				sum += a[i] * b[i]
			}
		}
		return sum
	}
	for k := range order {
		t := make([]float64, s.n)
		for i := range t {
			t[i] = math.Pow(2*float64(i)/float64(s.n-1)-1, float64(k))
		}
		for range 2 { // twice, for rounding
			for _, u := range s.trends[:k] {
				floats.AddScaled(t, -dot(t, u), u)
			}
		}
		floats.Scale(1/math.Sqrt(dot(t, t)), t)
		s.trends[k] = t
	}
}

// smooth turns each row of y (n long, anything where unseen) into its z. Rows
// lie one after the other. The smoother passes cubics: each row's own is taken
// off before and put back after, since the rounding of the solution, some
// 70 λ times 1e-16 of what is smoothed, would count for a path of metres.
func (s *smoother) smooth(y []float64) {
	for ; len(y) > 0; y = y[s.n:] {
		row := y[:s.n]
		for i, ok := range s.seen {
			if !ok {
				row[i] = 0
			}
		}
		var c [order]float64
		for k, t := range s.trends {
			c[k] = floats.Dot(t, row)
		}
		for i, ok := range s.seen {
			if ok {
				for k, t := range s.trends {
					row[i] -= c[k] * t[i]
				}
			}
		}
		v := blas64.Vector{N: s.n, Inc: 1, Data: row}
		blas64.Tbsv(blas.Trans, s.chol, v)
		blas64.Tbsv(blas.NoTrans, s.chol, v)
		for k, t := range s.trends {
			floats.AddScaled(row, c[k], t)
		}
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
				var d float64
				for k, c := range differences {
					d += c * z[i-order+k]
				}
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

// differences are the coefficients of the difference of the smoother's order:
// binomial, of alternating sign.
var differences = func() (d [order + 1]float64) {
	d[order] = 1
	for i := order; i > 0; i-- {
		d[i-1] = -d[i] * float64(i) / float64(order-i+1)
	}
	return d
}()

// ends are weights on the last frames of a path.
type ends [order]float64

func (w ends) of(path []r3.Vec) (sum r3.Vec) {
	for i, c := range w {
		sum = r3.Add(sum, r3.Scale(c, path[i]))
	}
	return sum
}

// ahead returns the weights on the last frames that continue them by the
// polynomial through them to f frames after the last, and those of its slope
// and its second derivative there (per frame).
func ahead(f float64) (value, slope, bend ends) {
	// Lagrange's form at 1−order, …, −1, 0, differentiated.
	for i := range order {
		xi := float64(i - order + 1)
		p := []float64{1} // ascending coefficients in (x − f) of Π (x − xj)/(xi − xj)
		for j := range order {
			if j == i {
				continue
			}
			xj := float64(j - order + 1)
			next := make([]float64, len(p)+1)
			for k, c := range p {
				next[k] += c * (f - xj) / (xi - xj)
				next[k+1] += c / (xi - xj)
			}
			p = next
		}
		value[i], slope[i], bend[i] = p[0], p[1], 2*p[2]
	}
	return value, slope, bend
}

// endVariance returns the variance, in units of σ², of the weighted sum w of
// the last frames of z.
func (s *smoother) endVariance(w ends) float64 {
	var v float64
	for i := range order {
		for j := range order {
			a, b := s.n-order+min(i, j), max(i, j)-min(i, j)
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
	const low, high, step = 0.0, 11.0, 0.5 // decimal logarithm of λ; beyond, rounding counts
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
