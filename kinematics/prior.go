package kinematics

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// A prior is what is believed of the amplitudes before the markers are seen: a
// Gaussian of mean 0 and the given precision (inverse covariance, row-major).
type prior struct {
	belief
	even      [shapes * shapes]float64 // what does not depend on how hard the shaft is bent
	precision [shapes * shapes]float64
}

// A belief is how the moment is thought to spread along a shaft in a swing.
// Between the hands it grows from 0 at the butt end: at the first knot it is a
// share of that at the second, give or take hands (and a part of the moment, see
// strain); further down it is that of a beam under tension F, M” = F/EI M, give or
// take inner at each knot (hands and inner in N m): pull is √(F/EI) times the
// shaft's length.
type belief struct{ share, hands, inner, pull float64 }

// usual is the belief before the run is seen, and loose how far each of its
// figures may be off: share and pull by so much, the others by so many powers of e.
// Common practice, no source; the shares are those of a moment that is largest
// 160 to 250 mm from the butt end, the pull is that of a head of 0.2 kg at 20 m/s
// (40 to 50 N over some 38 N m²).
var (
	usual = belief{0.3, 0.5, 0.3, 1.2}
	loose = belief{0.1, 0.6, 0.5, 0.6}
)

// strain is how far the moment at the first knot may be from its share, as a
// part of that at the second: the harder a shaft is worked the more the two
// hands can do otherwise.
const strain = 0.07

// prior returns the prior that a belief makes for an unbent shaft. No amplitude
// is believed to pass 15 N m by much (3 N m for a torque).
func (b belief) prior() *prior {
	p := &prior{belief: b}
	add := func(row [shapes]float64, sd float64) {
		for i, a := range row {
			for j, b := range row {
				p.even[i*shapes+j] += a * b / (sd * sd)
			}
		}
	}
	for plane := range 2 {
		o := plane * bends
		for j := range bends {
			var r [shapes]float64
			r[o+j] = 1
			add(r, 15)
		}
		for j := 2; j < bends-1; j++ { // inner knots on the curve between their neighbours
			a, c := b.pull*(knots[j]-knots[j-1]), b.pull*(knots[j+1]-knots[j])
			var r [shapes]float64
			r[o+j-1], r[o+j], r[o+j+1] = -math.Sinh(c)/math.Sinh(a+c), 1, -math.Sinh(a)/math.Sinh(a+c)
			add(r, b.inner)
		}
	}
	for j := range twists {
		var r [shapes]float64
		r[firstTorque+j] = 1
		add(r, 3)
	}
	p.bend(&amplitudes{})
	return p
}

// bend sets the precision for a shaft bent about as amp says.
func (p *prior) bend(amp *amplitudes) {
	p.precision = p.even
	for plane := range 2 {
		o := plane * bends
		m := strain * amp[o+1]
		w := 1 / (p.hands*p.hands + m*m)
		p.precision[o*shapes+o] += w
		p.precision[o*shapes+o+1] -= w * p.share
		p.precision[(o+1)*shapes+o] -= w * p.share
		p.precision[(o+1)*shapes+o+1] += w * p.share * p.share
	}
}

// An evidence is what the markers of one frame say of the amplitudes, the pose
// taken out: a Gaussian of precision s, with precision times mean b.
type evidence struct {
	s    [shapes * shapes]float64
	b    [shapes]float64
	amp  amplitudes
	some bool
}

// evidence returns that of the solution st under the prior p, which the solver
// just found, or false where the markers alone do not fix the pose.
func (s *solver) evidence(st *state, p *prior) (evidence, bool) {
	full := mat.NewSymDense(dims, s.info)
	var chol mat.Cholesky
	if !chol.Factorize(full.SliceSym(0, poseDims)) {
		return evidence{}, false
	}
	cross := mat.NewDense(poseDims, shapes, nil)
	for i := range poseDims {
		for j := range shapes {
			cross.Set(i, j, full.At(i, poseDims+j))
		}
	}
	var x, used mat.Dense
	if chol.SolveTo(&x, cross) != nil {
		return evidence{}, false
	}
	used.Mul(cross.T(), &x)
	e := evidence{amp: st.amp, some: true}
	for i := range shapes {
		for j := range shapes {
			at := i*shapes + j
			e.s[at] = full.At(poseDims+i, poseDims+j) - used.At(i, j)
			// At the solution the markers pull as the prior does the other way:
			// s (mean − amp) = precision · amp.
			e.b[i] += (e.s[at] + p.precision[at]) * st.amp[j]
		}
	}
	return e, true
}

// likelihood returns the logarithm of how likely the frames are under the
// prior, but for a constant: Σ ½ (ln |Λ| − ln |S+Λ| + bᵀ(S+Λ)⁻¹b).
func likelihood(frames []evidence, p *prior) float64 {
	var sum float64
	var a [shapes * shapes]float64
	factor := func() (blas64.Triangular, bool) {
		return lapack64.Potrf(blas64.Symmetric{N: shapes, Stride: shapes, Data: a[:], Uplo: blas.Upper})
	}
	logDet := func() (d float64) {
		for i := range shapes {
			d += 2 * math.Log(a[i*shapes+i])
		}
		return d
	}
	for i := range frames {
		e := &frames[i]
		p.bend(&e.amp)
		a = p.precision
		if _, ok := factor(); !ok {
			return math.Inf(-1)
		}
		sum += logDet()
		for j := range a {
			a[j] = p.precision[j] + e.s[j]
		}
		u, ok := factor()
		if !ok {
			return math.Inf(-1)
		}
		x := e.b // bᵀ(UᵀU)⁻¹b = |U⁻ᵀb|²
		v := blas64.Vector{N: shapes, Inc: 1, Data: x[:]}
		blas64.Trsv(blas.Trans, u, v)
		sum += blas64.Dot(v, v) - logDet()
	}
	return sum / 2
}

// fitBelief returns the belief that the frames make likeliest, weighed against
// the usual one: a search along one figure after the other.
func fitBelief(frames []evidence) belief {
	score := func(b belief) float64 {
		z1 := (b.share - usual.share) / loose.share
		z2 := math.Log(b.hands/usual.hands) / loose.hands
		z3 := math.Log(b.inner/usual.inner) / loose.inner
		z4 := (b.pull - usual.pull) / loose.pull
		return likelihood(frames, b.prior()) - (z1*z1+z2*z2+z3*z3+z4*z4)/2
	}
	best := usual
	most := score(best)
	// walk goes on in steps as long as they help.
	walk := func(step func(belief) belief) {
		for {
			next := step(best)
			s := score(next)
			if !(s > most) {
				return
			}
			best, most = next, s
		}
	}
	const factor, shift, draw = 1.4, 0.05, 0.3
	for range 2 {
		walk(func(b belief) belief { b.hands *= factor; return b })
		walk(func(b belief) belief { b.hands /= factor; return b })
		walk(func(b belief) belief { b.share += shift; return b })
		walk(func(b belief) belief { b.share -= shift; return b })
		walk(func(b belief) belief { b.pull += draw; return b })
		walk(func(b belief) belief { b.pull = max(1e-3, b.pull-draw); return b }) // 0 for a straight line
		walk(func(b belief) belief { b.inner *= factor; return b })
		walk(func(b belief) belief { b.inner /= factor; return b })
	}
	return best
}
