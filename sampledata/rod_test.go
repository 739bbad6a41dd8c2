package sampledata

import (
	"math"
	"testing"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// constant returns the tip of a rod of length 1 under one strain throughout.
func constant(w r3.Vec, steps int) kinematics.Frame {
	r := newRod(1, 1/float64(steps), nil, nil)
	strain := make([]r3.Vec, len(r.gauss))
	for i := range strain {
		strain[i] = w
	}
	return r.integrate(strain, nil)
}

func TestRodIsACircle(t *testing.T) {
	for _, c := range []struct {
		name         string
		strain, want r3.Vec
	}{
		{"lead", leadStrain, r3.Vec{X: 1 - math.Cos(1), Z: math.Sin(1)}},
		{"droop", droopStrain, r3.Vec{Y: -(1 - math.Cos(1)), Z: math.Sin(1)}},
		{"close", closeStrain, r3.Vec{Z: 1}},
	} {
		for _, steps := range []int{1, 3, 100} { // exact whatever the step
			tip := constant(c.strain, steps)
			if d := r3.Norm(r3.Sub(tip.Origin, c.want)); d > 1e-14 {
				t.Errorf("%s in %d steps: tip %v, want %v", c.name, steps, tip.Origin, c.want)
			}
		}
	}
}

// A helix of curvature k and torsion τ has radius k/(k²+τ²). With curvature 0.3,
// torsion 0.5 and length 1 its end is (0.985253, 0.145798, 0.024578) in the
// tangent, normal and binormal at its start. The section here turns with the
// torsion, so tangent, normal and binormal are its z, x and y.
func TestRodIsAHelix(t *testing.T) {
	const k, torsion = 0.3, 0.5
	w := math.Hypot(k, torsion)
	want := r3.Vec{
		X: k / (w * w) * (1 - math.Cos(w)),
		Y: k * torsion / (w * w) * (1 - math.Sin(w)/w),
		Z: (torsion*torsion + k*k*math.Sin(w)/w) / (w * w),
	}
	published := r3.Vec{X: 0.145798, Y: 0.024578, Z: 0.985253}
	if d := r3.Norm(r3.Sub(want, published)); d > 1e-6 {
		t.Fatalf("closed form %v is not %v", want, published)
	}
	got := constant(r3.Vec{Y: k, Z: torsion}, 20).Origin
	if d := r3.Norm(r3.Sub(got, want)); d > 1e-14 {
		t.Errorf("tip %v, want %v", got, want)
	}
}

// An Euler spiral bends by s²/2 rad up to station s: its tip is the Fresnel
// integrals, here summed as series.
func TestRodIsOfFourthOrder(t *testing.T) {
	const a = 3.0 // curvature a s
	var want r3.Vec
	term := 1.0 // (a/2)^n / n!
	for n := range 40 {
		sign := float64(1 - n/2%2*2)
		v := sign * term / float64(2*n+1)
		if n%2 == 0 {
			want.Z += v
		} else {
			want.X += v
		}
		term *= a / 2 / float64(n+1)
	}
	miss := func(steps int) float64 {
		r := newRod(1, 1/float64(steps), nil, nil)
		strain := make([]r3.Vec, len(r.gauss))
		for i, s := range r.gauss {
			strain[i] = r3.Vec{Y: a * s}
		}
		return r3.Norm(r3.Sub(r.integrate(strain, nil).Origin, want))
	}
	coarse, fine := miss(8), miss(16)
	if order := math.Log2(coarse / fine); math.Abs(order-4) > 0.1 {
		t.Errorf("halving the step divides the error %.2e by 2^%.2f, want 2^4", coarse, order)
	}
	if e := miss(500); e > 1e-11 {
		t.Errorf("500 steps miss by %.1e", e)
	}
}

func TestRodStopsAtItsStations(t *testing.T) {
	stops := []float64{0, 0.3, 0.30001, 0.77, 1.13}
	r := newRod(1.13, 0.01, []float64{0.3, 0.5}, stops)
	at := make([]kinematics.Frame, len(stops))
	tip := r.integrate(make([]r3.Vec, len(r.gauss)), at)
	for i, s := range stops {
		if d := r3.Norm(r3.Sub(at[i].Origin, r3.Vec{Z: s})); d > 1e-14 {
			t.Errorf("stop %d at %v, want station %v", i, at[i].Origin, s)
		}
	}
	if tip != at[4] {
		t.Errorf("tip %v differs from the stop there %v", tip, at[4])
	}
	defer func() {
		if recover() == nil {
			t.Error("a stop beyond the tip did not panic")
		}
	}()
	newRod(1, 0.01, nil, []float64{1.2})
}

// The series and the closed form of advance meet at θ² = 0.01.
func TestAdvanceIsContinuous(t *testing.T) {
	axis := r3.Unit(r3.Vec{X: 1, Y: -2, Z: 0.5})
	v := r3.Vec{X: 0.1, Y: 0.2, Z: 1}
	below := advance(origin, r3.Scale(math.Sqrt(0.01)-1e-15, axis), v)
	above := advance(origin, r3.Scale(math.Sqrt(0.01)+1e-15, axis), v)
	for _, d := range []r3.Vec{r3.Sub(below.Origin, above.Origin), r3.Sub(below.X, above.X), r3.Sub(below.Z, above.Z)} {
		if r3.Norm(d) > 1e-14 {
			t.Errorf("jump of %v", d)
		}
	}
	if square := r3.Dot(above.X, above.Y); math.Abs(square) > 1e-15 {
		t.Errorf("axes are not square: %v", square)
	}
}
