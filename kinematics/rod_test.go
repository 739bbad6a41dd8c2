package kinematics

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// steady advances by n segments of one curvature and torsion to length 1.
func steady(n int, kx, ky, tor float64) Frame {
	c := heading{turn: quat.Number{Real: 1}}
	turn := r3.Scale(1/float64(n), r3.Vec{X: -ky, Y: kx, Z: tor})
	for range n {
		c.advance(turn, r3.Scale(0.5, turn), 1/float64(n))
	}
	return c.frame()
}

func TestRodCircle(t *testing.T) {
	// Curvature 1 over length 1: the tip is at (sin 1, 1 − cos 1). The series of a
	// segment leave the fourth power of its turn.
	for _, n := range []int{10, 20, 40} {
		f := steady(n, 1, 0, 0)
		tol := math.Pow(float64(n), -4) / 400
		nearVec(t, "tip", f.Origin, r3.Vec{X: 1 - math.Cos(1), Z: math.Sin(1)}, tol)
		nearVec(t, "tangent", f.Z, r3.Vec{X: math.Sin(1), Z: math.Cos(1)}, 1e-13)
	}
}

func TestRodHelix(t *testing.T) {
	// Curvature 0.3, torsion 0.5, length 1: a body turned steadily about the
	// fixed axis (0, 0.3, 0.5). The closed form, in the starting frame:
	// ∫ exp(s[ω]×) ẑ ds.
	f := steady(20, 0.3, 0, 0.5)
	w := r3.Vec{Y: 0.3, Z: 0.5}
	a := r3.Norm(w)
	u := r3.Scale(1/a, w)
	z := r3.Vec{Z: 1}
	along := r3.Scale(r3.Dot(u, z), u)
	across := r3.Sub(z, along)
	want := r3.Add(along, r3.Add(r3.Scale(math.Sin(a)/a, across), r3.Scale((1-math.Cos(a))/a, r3.Cross(u, z))))
	nearVec(t, "tip", f.Origin, want, 2e-7)
	// The same helix in the Frenet frame (tangent, normal, binormal) of its
	// start: (0.985253, 0.145798, 0.024578), computed from the curve's formula.
	near(t, "tangent", f.Origin.Z, 0.985253, 1e-6)
	near(t, "normal", f.Origin.X, 0.145798, 1e-6)
	near(t, "binormal", math.Abs(f.Origin.Y), 0.024578, 1e-6)
}

// Mattiasson (1981), Int. J. Numer. Meth. Eng. 17:145-153, Table 1: a
// cantilever under a tip load of constant direction, P L²/EI = 1, 2, 5, 10.
func TestRodLargeDeflection(t *testing.T) {
	for _, c := range []struct{ a, w, u, theta float64 }{
		{1, 0.301721, 0.056433, 0.461352},
		{2, 0.493457, 0.160642, 0.781750},
		{5, 0.713792, 0.387628, 1.215368},
		{10, 0.810609, 0.554996, 1.430286},
	} {
		// The moment at a point is the load times its distance along the unbent
		// axis from the tip: found by repeating, each time an eighth of the way.
		const n = 2000
		z := make([]float64, n+1)
		for i := range z {
			z[i] = float64(i) / n
		}
		var f Frame
		for range 400 {
			tip := z[n]
			rod := heading{turn: quat.Number{Real: 1}}
			next := []float64{0}
			for i := range n {
				turn := r3.Vec{Y: c.a * (tip - (z[i]+z[i+1])/2) / n}
				rod.advance(turn, r3.Scale(0.5, turn), 1.0/n)
				next = append(next, rod.at.Z)
			}
			f = rod.frame()
			for i := range z {
				z[i] += (next[i] - z[i]) / 8
			}
		}
		near(t, "w/L", f.Origin.X, c.w, 2e-6)
		near(t, "u/L", 1-f.Origin.Z, c.u, 2e-6)
		near(t, "angle", math.Atan2(f.Z.X, f.Z.Z), c.theta, 2e-6)
	}
}

// taper is a shaft whose EI falls linearly from clamp to tip.
func taper(ratio float64) Shaft {
	s := Shaft{Length: 1}
	for i := range 201 {
		x := float64(i) / 200
		s.Station = append(s.Station, x)
		s.EI = append(s.EI, 60*(1+(ratio-1)*x))
		s.GJ = append(s.GJ, 20)
	}
	return s
}

func TestRodModelTaperedCantilever(t *testing.T) {
	// Tip deflection and slope of a cantilever with a linear taper, on EI at the
	// clamp: closed forms (∫∫ and ∫ of moment over EI), small deflections. The
	// basis has no moment at the butt end, so the couple is taken over the part
	// past the last hand's knot and the tip load from there as well: both are
	// piecewise linear, which the basis holds exactly.
	for _, ratio := range []float64{1, 0.5, 1.0 / 3, 0.25} {
		s := taper(ratio)
		m := newRodModel(s, nil)
		c := knots[1] * s.Length
		ei := func(x float64) float64 { return 60 * (1 + (ratio-1)*x) }
		for name, moment := range map[string]func(x float64) float64{
			"couple": func(x float64) float64 { return min(x/c, 1) },
			"load":   func(x float64) float64 { return min(x/c*(1-c), 1-x) },
		} {
			const small = 1e-3 // N m: the theory's error is of second order
			var a amplitudes
			for k := range bends {
				a[k] = small * moment(knots[k])
			}
			var tip [1]section
			m.bend(&a, []int{len(m.seg)}, tip[:], false)
			// By Simpson's rule over the exact integrands, split at the kink.
			var slope, deflection float64
			for _, part := range [][2]float64{{0, c}, {c, 1}} {
				const n = 2000
				h := (part[1] - part[0]) / n
				for i := range n + 1 {
					x := part[0] + float64(i)*h
					weight := h / 3 * []float64{2, 4}[i%2]
					if i == 0 || i == n {
						weight = h / 3
					}
					k := small * moment(x) / ei(x)
					slope += weight * k
					deflection += weight * k * (1 - x)
				}
			}
			// Midpoint rule over a sixteenth of segments of 80 mm: (h²/24) f″/f, with
			// f″/f = 2 (0.75/0.25)² for 1/EI at the tip of the steepest taper.
			near(t, name+" deflection", tip[0].Origin.X/deflection, 1, 5e-5)
			near(t, name+" slope", math.Atan2(tip[0].Z.X, tip[0].Z.Z)/slope, 1, 5e-5)
		}
	}
}

func TestRodModelTorque(t *testing.T) {
	// A steady torque over a uniform GJ turns the tip by T L / GJ.
	m := newRodModel(taper(1), nil)
	var a amplitudes
	a[firstTorque], a[firstTorque+1] = 0.7, 0.7
	var tip [1]section
	m.bend(&a, []int{len(m.seg)}, tip[:], false)
	near(t, "turn", math.Atan2(tip[0].X.Y, tip[0].X.X), 0.7/20, 1e-12)
}

func randomAmplitudes(rng *rand.Rand) (a amplitudes) {
	for i := range a {
		a[i] = 4 * rng.NormFloat64()
		if i >= firstTorque {
			a[i] *= 0.2
		}
	}
	return a
}

func TestRodDerivatives(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	s := Shaft{Length: 1.13}
	m := newRodModel(s, []float64{0.3, 0.7, 1.085})
	nodes := []int{0, m.at[0.3], m.at[0.7], m.at[1.085], len(m.seg)}
	head := r3.Vec{X: -0.02, Y: 0.05, Z: 0.03}
	for range 20 {
		a := randomAmplitudes(rng)
		at := make([]section, len(nodes))
		m.bend(&a, nodes, at, true)
		got := read(&at[4], head, -1)
		const h = 1e-5
		for j := range a {
			move := func(d float64) []section {
				b := a
				b[j] += d
				out := make([]section, len(nodes))
				m.bend(&b, nodes, out, true)
				return out
			}
			hi, lo := move(h), move(-h)
			for k := range nodes {
				want := r3.Scale(1/(2*h), r3.Sub(hi[k].ToLab(head), lo[k].ToLab(head)))
				// The derivative takes a segment to turn about its middle as if
				// bend and twist in it commuted: off by κh/4, some 2e-3, over
				// the segment's own half length.
				nearVec(t, "move", at[k].move(j, at[k].ToLab(head)), want, 4e-3*r3.Norm(want)+1e-9)
			}
			up, down := read(&hi[4], head, -1), read(&lo[4], head, -1)
			for _, q := range []struct {
				what         string
				g, high, low float64
			}{
				{"lead", got.lead.grad[j], up.lead.value, down.lead.value},
				{"droop", got.droop.grad[j], up.droop.value, down.droop.value},
				{"twist", got.twist.grad[j], up.twist.value, down.twist.value},
				{"lead angle", got.leadAngle.grad[j], up.leadAngle.value, down.leadAngle.value},
				{"droop angle", got.droopAngle.grad[j], up.droopAngle.value, down.droopAngle.value},
				{"head lead", got.headLead.grad[j], up.headLead.value, down.headLead.value},
			} {
				want := (q.high - q.low) / (2 * h)
				near(t, q.what, q.g, want, 3e-3*math.Abs(want)+3e-6)
			}
		}
	}
}

func TestTwistIsTheTurnLeftAfterTheSmallestBend(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	for range 100 {
		psi := rng.Float64()*0.4 - 0.2
		bend := r3.Vec{X: 0.3 * rng.NormFloat64(), Y: 0.3 * rng.NormFloat64()} // axis square to z
		s := section{Frame: rotation(bend).Then(rotation(r3.Vec{Z: psi}))}
		near(t, "twist", read(&s, r3.Vec{}, 1).twist.value, -psi, 1e-13)
		near(t, "left", read(&s, r3.Vec{}, -1).twist.value, psi, 1e-13)
	}
}

func TestCentrelineEndsAtTheTip(t *testing.T) {
	m := newRodModel(Shaft{Length: 1.13}, []float64{0.4})
	a := randomAmplitudes(rand.New(rand.NewPCG(7, 1)))
	var tip [1]section
	m.bend(&a, []int{len(m.seg)}, tip[:], false)
	dst := make([]r3.Vec, 61)
	m.centreline(&a, dst)
	nearVec(t, "butt", dst[0], r3.Vec{}, 0)
	nearVec(t, "tip", dst[60], tip[0].Origin, 1e-9)
	var length float64
	for i := range 60 {
		length += r3.Norm(r3.Sub(dst[i+1], dst[i]))
	}
	near(t, "length", length, 1.13, 1e-4) // inextensible; chords of chords are a little short
}

func BenchmarkBend(b *testing.B) {
	m := newRodModel(Shaft{Length: 1.13}, []float64{0.3, 0.7, 1.085})
	a := randomAmplitudes(rand.New(rand.NewPCG(8, 1)))
	nodes := []int{len(m.seg)}
	into := make([]section, 1)
	for b.Loop() {
		m.bend(&a, nodes, into, true)
	}
}
