package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

// order is the order of the differences that the smoother keeps small: 4, so
// that a cubic passes unchanged and a gap, or the time up to impact, is bridged
// by one. With order 3 the head's speed at impact was off by twice as much: up
// to contact its acceleration changes steadily.
const order = 4

// SmoothingOrder is the order of the differences that the smoother of the
// markers' paths keeps small (Whittaker-Henderson).
const SmoothingOrder = order

// A smoother is the penalised least-squares (Whittaker-Henderson) smoother of
// one pattern of seen and unseen frames: the z with the smallest
// Σ seen (y−z)² + λ Σ (Δ⁴z)² (Whittaker, Proc. Edinburgh Math. Soc. 41:63-75,
// 1923; Eilers, Anal. Chem. 75:3631-3636, 2003). It is linear in y, and with
// white noise of variance σ² and fourth differences of variance σ²/λ the error
// of z has covariance σ² times a block of A⁻¹, A the matrix of the sum.
//
// Where the noise also wanders, the wandering part w is a second unknown in each
// frame, with the sum (y−z−w)² and its own penalty, that of an autoregressive
// path of order 1: A⁻¹ then holds what it does to z.
type smoother struct {
	n      int
	seen   []bool
	count  int // frames seen
	lam    float64
	noise  colour
	per    int                  // unknowns a frame: 1, or 2 where the noise wanders; z is the first
	chol   *band                // of A
	trends [order][2][]float64  // polynomials, and the same with 0 where not seen
	inv    [][order + 1]float64 // band of z's block of A⁻¹: inv[i][k] is element (i, i+k)
	full   [][3]float64         // scratch: the unknowns of three rows
}

// A colour is the noise of a marker beside its white part.
type colour struct {
	share float64 // variance of the wandering part over that of the white part; 0 for none
	rho   float64 // its correlation from one frame to the next
}

// newSmoother returns the smoother, or false where fewer than order frames are
// seen or the matrix is singular to working precision.
func newSmoother(seen []bool, lam float64, noise colour) (*smoother, bool) {
	n := len(seen)
	s := &smoother{n: n, seen: seen, lam: lam, noise: noise, per: 1}
	for _, ok := range seen {
		if ok {
			s.count++
		}
	}
	if s.count < order || n <= order {
		return nil, false
	}
	if noise.share > 0 {
		s.per = 2
	}
	reach := s.per * order
	stride := reach + 1
	a := make([]float64, n*s.per*stride)
	add := func(i, j int, v float64) { a[i*stride+j-i] += v } // i ≤ j
	for i, ok := range seen {
		if !ok {
			continue
		}
		z := i * s.per
		add(z, z, 1)
		if s.per == 2 {
			add(z, z+1, 1)
			add(z+1, z+1, 1)
		}
	}
	for r := range n - order {
		for i := range differences {
			for j := i; j < len(differences); j++ {
				add((r+i)*s.per, (r+j)*s.per, lam*differences[i]*differences[j])
			}
		}
	}
	if s.per == 2 {
		add(1, 1, 1/noise.share) // the first is drawn from the path at rest
		q := 1 / (noise.share * (1 - noise.rho*noise.rho))
		for i := 1; i < n; i++ {
			w := 2*i + 1
			add(w-2, w-2, q*noise.rho*noise.rho)
			add(w-2, w, -q*noise.rho)
			add(w, w, q)
		}
	}
	var ok bool
	if s.chol, ok = factorBand(a, reach); !ok {
		return nil, false
	}
	s.setTrends()
	s.full = make([][3]float64, n*s.per)
	return s, true
}

// setTrends fills s.trends with polynomials below the smoother's order,
// orthonormal over the frames seen (Gram-Schmidt on powers of −1 … 1).
func (s *smoother) setTrends() {
	for k := range order {
		t, seen := make([]float64, s.n), make([]float64, s.n)
		for i, ok := range s.seen {
			t[i] = 1
			for range k {
				t[i] *= 2*float64(i)/float64(s.n-1) - 1
			}
			if ok {
				seen[i] = t[i]
			}
		}
		for range 2 { // twice, for rounding
			for _, u := range s.trends[:k] {
				f := -floats.Dot(seen, u[1])
				floats.AddScaled(t, f, u[0])
				floats.AddScaled(seen, f, u[1])
			}
		}
		f := 1 / math.Sqrt(floats.Dot(seen, seen))
		floats.Scale(f, t)
		floats.Scale(f, seen)
		s.trends[k] = [2][]float64{t, seen}
	}
}

// smooth turns each row of y (n long, anything where unseen) into its z. Rows
// lie one after the other.
//
// The smoother passes cubics: each row's own is taken off before and put back
// after, since the rounding of the solution, some 70 λ times 1e-16 of what is
// smoothed, would count for a path of metres.
func (s *smoother) smooth(y []float64) { s.smoothTo(y, nil) }

// smoothTo is smooth that adds to sum, where it is not nil, the sum that is
// smallest at z, over all rows.
func (s *smoother) smoothTo(y []float64, sum *float64) {
	for len(y) > 0 {
		rows := min(3, len(y)/s.n)
		var c [3][order]float64
		clear(s.full)
		for r := range rows {
			row := y[r*s.n : (r+1)*s.n]
			for i, ok := range s.seen {
				if !ok {
					row[i] = 0
				}
			}
			for k, t := range s.trends {
				c[r][k] = floats.Dot(t[1], row)
				floats.AddScaled(row, -c[r][k], t[1])
			}
			for i, v := range row {
				if s.per == 1 {
					s.full[i][r] = v
				} else {
					s.full[2*i][r], s.full[2*i+1][r] = v, v
				}
			}
		}
		s.chol.solve(s.full)
		for r := range rows {
			row := y[r*s.n : (r+1)*s.n]
			if sum != nil {
				*sum += s.least(r, row)
			}
			for i := range row {
				row[i] = s.full[i*s.per][r]
			}
			for k, t := range s.trends {
				floats.AddScaled(row, c[r][k], t[0])
			}
		}
		y = y[rows*s.n:]
	}
}

// least returns the sum at the solution in s.full of row r, which is kept where
// the frame is seen.
func (s *smoother) least(r int, kept []float64) (sum float64) {
	for i := range s.n {
		at := i * s.per
		z := s.full[at][r]
		if s.per == 2 {
			w := s.full[at+1][r]
			z += w
			if i == 0 {
				sum += w * w / s.noise.share
			} else {
				d := w - s.noise.rho*s.full[at-1][r]
				sum += d * d / (s.noise.share * (1 - s.noise.rho*s.noise.rho))
			}
		}
		if s.seen[i] {
			d := kept[i] - z
			sum += d * d
		}
		if i >= order {
			var d float64
			for k, c := range differences {
				d += c * s.full[at-(order-k)*s.per][r]
			}
			sum += s.lam * d * d
		}
	}
	return sum
}

// variances fills s.inv.
func (s *smoother) variances() {
	all := s.chol.inverse()
	stride := s.chol.reach + 1
	s.inv = make([][order + 1]float64, s.n)
	for i := range s.n {
		for k := range min(order+1, s.n-i) {
			s.inv[i][k] = all[i*s.per*stride+k*s.per]
		}
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

// together joins patterns that are seen in the same frames, in the order in
// which they come.
func together(ps []pattern) []pattern {
	var out []pattern
	for _, p := range ps {
		i := slices.IndexFunc(out, func(q pattern) bool { return slices.Equal(p.seen, q.seen) })
		if i < 0 {
			out = append(out, pattern{p.seen, slices.Clone(p.rows)})
			continue
		}
		out[i].rows = append(out[i].rows, p.rows...)
	}
	return out
}

// chooseSmoothing returns the λ for which the series are likeliest, all of one
// noise: the maximum of the restricted likelihood with σ² profiled out, climbed
// in whole decades, then halves, and refined by one parabola. Series that are
// too short are left out; with none left it returns fallback.
func chooseSmoothing(ps []pattern, noise colour, fallback float64) float64 {
	ps = together(ps)
	var z []float64
	score := func(logLam float64) float64 {
		lam := math.Pow(10, logLam)
		var rss, logs float64
		dof := 0
		for _, p := range ps {
			s, ok := newSmoother(p.seen, lam, noise)
			if !ok {
				continue
			}
			z = append(z[:0], p.rows...)
			s.smoothTo(z, &rss)
			c := len(p.rows) / s.n
			dof += c * (s.count - order)
			logs += float64(c) * (s.chol.logDet() - float64(s.n-order)*math.Log(lam))
		}
		if dof < 10 || !(rss > 0) {
			return math.NaN()
		}
		return float64(dof)*math.Log(rss) + logs
	}
	const low, start, high = 0.0, 6.0, highLambda // decimal logarithm of λ
	best := start
	least := score(best)
	if math.IsNaN(least) {
		return fallback
	}
	for _, step := range []float64{1, 0.5} {
		for _, dir := range []float64{-step, step} {
			for next := best + dir; next >= low && next <= high; next += dir {
				v := score(next)
				if !(v < least) {
					break
				}
				best, least = next, v
			}
		}
	}
	a, c := score(best-0.25), score(best+0.25)
	if d := a - 2*least + c; d > 0 {
		best += 0.125 * math.Max(-1, math.Min(1, (a-c)/d))
	}
	return math.Pow(10, best)
}
