package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A blowFit fits the head point's path through a blow by least squares, in all
// frames about it, those of the contact too:
//
//	p(t) = a0 + a1 t + a2 t² + a3 t³ + b1 u + b2 u² + b3 u³,  u = blow(t − middle, length)
//
// with vectors a, b for each middle and length of contact. Before contact u is 0;
// from its end on it is the time since its middle, so that the path is another
// cubic that meets the first there; in between it is how far a unit of speed,
// taken off under half a sine of force, has moved the head.
//
// The less noise, the shorter the stretches: those of least mean square error go
// with the ninth root of its variance over the rate for a cubic (Fan and Gijbels,
// Local Polynomial Modelling, 1996; from memory). How long they are for a known
// noise is from simulated drives, in whose bending path after the blow cubics err
// sooner.
type blowFit struct {
	rate  float64      // frames a second
	x     []float64    // frames from the first
	basis [][]float64  // orthonormal polynomials over x
	y     [3][]float64 // the path less its share in them
	scale float64      // of u, frames
}

const cubic = 3

// newBlowFit returns the fit to the path about a blow near the frame x = at. It
// reports false where too few points are known for it.
func newBlowFit(path []r3.Vec, at, rate float64) (*blowFit, bool) {
	const (
		before = 0.015          // s
		after  = 0.008          // s
		usual  = 0.167e-3       // m: noise for which they are right
		often  = 3500           // frames a second at which they are
		least  = 0.4            // of them
		most   = 1.5            // of them
		fewest = 6              // frames
		hold   = longestHit / 2 // s on either side that may be contact
	)
	stretch := math.Pow(math.Pow(pathNoise(path, at-hold*rate, rate)/usual, 2)*often/rate, 1./9)
	stretch = min(max(least, stretch), most)
	first := at - hold*rate - math.Max(fewest, stretch*before*rate)
	last := at + hold*rate + math.Max(fewest, stretch*after*rate)
	b := &blowFit{rate: rate, scale: last - at}
	ends := [2]int{} // known points before and after any contact
	for i := max(0, int(math.Ceil(first))); i < len(path) && float64(i) <= last; i++ {
		if math.IsNaN(path[i].X) {
			continue
		}
		x := float64(i)
		b.x = append(b.x, x)
		b.y[0], b.y[1], b.y[2] = append(b.y[0], path[i].X), append(b.y[1], path[i].Y), append(b.y[2], path[i].Z)
		switch {
		case x < at-hold*rate:
			ends[0]++
		case x > at+hold*rate:
			ends[1]++
		}
	}
	if ends[0] <= cubic+1 || ends[1] <= cubic {
		return nil, false
	}
	for k := range cubic + 1 {
		column := make([]float64, len(b.x))
		for i, x := range b.x {
			column[i] = math.Pow((x-at)/b.scale, float64(k))
		}
		project(column, b.basis)
		floats.Scale(1/floats.Norm(column, 2), column)
		b.basis = append(b.basis, column)
	}
	for _, y := range b.y {
		project(y, b.basis)
	}
	return b, true
}

// pathNoise returns the standard deviation of a coordinate of the path, m, over
// the 20 ms up to a frame, from the fourth differences that known neighbours have
// (whose variance is 70 times that of white noise): 0 where there are none.
func pathNoise(path []r3.Vec, to, rate float64) float64 {
	var sum, n float64
	for i := max(0, int(to-0.020*rate)); i+4 <= min(int(to), len(path)-1); i++ {
		p := path[i : i+5]
		d := r3.Add(r3.Add(p[0], p[4]), r3.Sub(r3.Scale(6, p[2]), r3.Scale(4, r3.Add(p[1], p[3]))))
		if !math.IsNaN(d.X) {
			sum += r3.Norm2(d)
			n += 3
		}
	}
	if n == 0 {
		return 0
	}
	return math.Sqrt(sum / n / 70)
}

// project takes from v its share in the orthonormal columns, and returns how much
// of each that was.
func project(v []float64, columns [][]float64) (share []float64) {
	share = make([]float64, len(columns))
	for j, c := range columns {
		share[j] = floats.Dot(c, v)
		floats.AddScaled(v, -share[j], c)
	}
	return share
}

// variance returns that of a coordinate of the head point for the sum of squares
// left. Less noise than a micrometre is not believed.
func (b *blowFit) variance(left float64) float64 {
	return math.Max(left/float64(3*(len(b.x)-2*cubic-1)-1), 1e-12)
}

// near returns the middle, in frames, of a sudden blow within three frames of a
// first guess, to a fraction of one; false where the frames do not tell.
func (b *blowFit) near(guess float64) (middle float64, ok bool) {
	least := math.Inf(1)
	for by := -3.0; by <= 3; by += 0.5 {
		if left, _, _, ok := b.try(guess+by, 0); ok && left < least {
			least, middle = left, guess+by
		}
	}
	return middle, !math.IsInf(least, 1)
}

// settle moves the middle of a contact of the given length, s, from a first guess
// to where least is left, by Gauss-Newton steps, halved where they lead astray: as
// a frame comes to lie on the other side of a sudden blow, the slope jumps. It
// returns the middle, in frames, the sum of squares left there, m², and the
// information on the middle, m² per frame²; false where the frames do not tell.
func (b *blowFit) settle(guess, length float64) (middle, left, known float64, ok bool) {
	left = math.Inf(1)
	trial, step := guess, 0.0
	for range 20 {
		l, slope, k, ok := b.try(trial, length*b.rate)
		if !ok {
			return 0, 0, 0, false
		}
		if l < left {
			middle, left, known = trial, l, k
			step = min(max(-0.3, slope/k), 0.3)
		} else {
			step /= 2
		}
		if math.Abs(step) < 1e-3 {
			break
		}
		trial = middle + step
	}
	return middle, left, known, true
}

// try fits the path for a middle and a length of contact, in frames. It returns
// the sum of squares left, half its slope down with the middle, and the
// information on the middle; false where the frames do not tell the coefficients.
func (b *blowFit) try(middle, length float64) (left, slope, known float64, ok bool) {
	n := len(b.x)
	u, rate := make([]float64, n), make([]float64, n) // blow, and its change with the middle
	for i, x := range b.x {
		u[i] = blow(x-middle, length) / b.scale
		rate[i] = -blowRate(x-middle, length) / b.scale
	}
	columns := slices.Clone(b.basis)
	r := mat.NewTriDense(cubic, mat.Upper, nil) // powers of u by columns
	power := slices.Clone(u)
	for k := range cubic {
		column := slices.Clone(power)
		for j, share := range project(column, columns)[len(b.basis):] {
			r.SetTri(j, k, share)
		}
		norm := floats.Norm(column, 2)
		if norm < 1e-10*floats.Norm(power, 2) || norm == 0 {
			return 0, 0, 0, false
		}
		r.SetTri(k, k, norm)
		floats.Scale(1/norm, column)
		columns = append(columns, column)
		floats.Mul(power, u)
	}
	for _, y := range b.y {
		rest := slices.Clone(y)
		c := mat.NewVecDense(cubic, project(rest, columns[len(b.basis):]))
		if err := c.SolveVec(r, c); err != nil {
			return 0, 0, 0, false
		}
		change := make([]float64, n) // of the fitted path with the middle: Σ k b uᵏ⁻¹ times that of u
		for k := cubic; k > 0; k-- {
			floats.Mul(change, u)
			floats.AddConst(float64(k)*c.AtVec(k-1), change)
		}
		floats.Mul(change, rate)
		left += floats.Dot(rest, rest)
		slope += floats.Dot(rest, change)
		project(change, columns)
		known += floats.Dot(change, change)
	}
	return left, slope, known, known > 0
}

// blow returns how far a blow that changes the speed by 1, of the given length
// about t = 0, has moved the head off its path before.
func blow(t, length float64) float64 {
	switch {
	case t <= -length/2:
		return 0
	case t >= length/2:
		return t
	}
	t += length / 2
	return (t - length/math.Pi*math.Sin(math.Pi*t/length)) / 2
}

// blowRate returns the derivative of blow with t.
func blowRate(t, length float64) float64 {
	switch {
	case t <= -length/2:
		return 0
	case t >= length/2:
		return 1
	}
	return (1 - math.Cos(math.Pi*(t/length+0.5))) / 2
}
