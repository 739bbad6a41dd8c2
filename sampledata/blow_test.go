package sampledata

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The blow takes its share of the head's speed while it lasts, starting gently,
// and makes lead fall by about 15 mm a millisecond.
func TestBlow(t *testing.T) {
	for n := range uint64(5) {
		cfg := quiet(n)
		cfg.Blow.Duration = 0.45e-3
		m := newModel(&cfg)
		speed := func(t, dt float64) float64 {
			head := func(t float64) r3.Vec { p := m.at(t, true); return p.grip.ToLab(m.headIn(p)) }
			return r3.Norm(r3.Sub(head(t+dt), head(t-dt))) / (2 * dt)
		}
		before := r3.Norm(m.headVelocity(0))
		near(t, "speed just after first contact", speed(2e-6, 1e-6), before, 0.1)
		lost := 1 - speed(cfg.Blow.Duration+10e-6, 5e-6)/before
		near(t, "share of the speed lost", lost, cfg.Blow.Loss, 0.03)
		fall := (m.at(1e-3, true).tip.Origin.X - m.at(0.5e-3, true).tip.Origin.X) / 0.5e-3
		if fall > -8 || fall < -20 {
			t.Errorf("lead changes by %.1f m/s after contact", fall)
		}
	}
}

func TestBlowRings(t *testing.T) {
	b := Blow{Duration: 0.45e-3, Frequency: 25}
	// Undamped and long after the contact: a sine from its middle.
	for _, at := range []float64{0.01, 0.02, 0.033} {
		w := 2 * math.Pi * b.Frequency
		near(t, "response", b.response(at), math.Sin(w*(at-b.Duration/2))/w, 1e-15)
	}
	near(t, "response before contact", b.response(-1e-3), 0, 0)
	const d = 1e-9
	near(t, "sudden response", Blow{Frequency: 25}.response(d), d, 1e-18)
	near(t, "jump at the end of contact", b.response(b.Duration+d), b.response(b.Duration-d)+2*d, 1e-11)
}
