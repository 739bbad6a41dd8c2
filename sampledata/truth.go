package sampledata

import (
	"math"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// Truth is what a perfect analysis of a capture would return. Times count from
// the first frame.
type Truth struct {
	Impact, Top float64 // first contact; slowest head near the end of the backswing, s

	// Just before contact.
	Lead, Droop                  float64 // at the tip end, m
	Twist, LeadAngle, DroopAngle float64 // rad
	HeadSpeed, KickSpeed         float64 // m/s

	PeakLag, PeakLagTime float64 // largest lag from top to impact, positive, m; s

	Frames    []State // every frame of the recording
	Downswing []State // 40 instants, evenly spaced from top to impact
}

// A State is the true club at one instant.
type State struct {
	Time                         float64          // s
	Grip                         kinematics.Frame // the undeflected club in the lab
	Head                         r3.Vec           // head point in the lab, m
	Lead, Droop                  float64          // m
	Twist, LeadAngle, DroopAngle float64          // rad
}

// truth returns the truth of the model without its frames.
func (m *model) truth(frames int) Truth {
	before := m.cfg.Before
	tr := Truth{Impact: before, Frames: make([]State, frames)}

	s := m.state(0, m.at(0, false))
	tr.Lead, tr.Droop = s.Lead, s.Droop
	tr.Twist, tr.LeadAngle, tr.DroopAngle = s.Twist, s.LeadAngle, s.DroopAngle
	tr.HeadSpeed = r3.Norm(m.headVelocity(0))
	tr.KickSpeed = derivative(func(t float64) r3.Vec { return m.headIn(m.at(t, false)) }, 0).X

	reversal := -m.carrier.downswing
	top := lowest(reversal-0.15, reversal+0.15, func(t float64) float64 { return r3.Norm(m.headVelocity(t)) })
	lag := lowest(top, 0, func(t float64) float64 { return m.at(t, false).tip.Origin.X })
	tr.Top = top + before
	tr.PeakLagTime = lag + before
	tr.PeakLag = -m.at(lag, false).tip.Origin.X

	const instants = 40
	for i := range instants {
		t := top * (1 - float64(i)/(instants-1))
		tr.Downswing = append(tr.Downswing, m.state(t, m.at(t, false)))
	}
	return tr
}

// set records pose p as frame i.
func (tr *Truth) set(i int, m *model, p pose) {
	tr.Frames[i] = m.state(float64(i)/m.cfg.Rate-m.cfg.Before, p)
}

// state reads the club off its pose t seconds after contact.
func (m *model) state(t float64, p pose) State {
	hand := m.cfg.Club.Hand
	z := p.tip.Z
	s := State{
		Time:       t + m.cfg.Before,
		Head:       mirrored(p.grip.ToLab(m.headIn(p)), hand),
		Lead:       p.tip.Origin.X,
		Droop:      -p.tip.Origin.Y,
		Twist:      -turnAboutZ(p.tip),
		LeadAngle:  math.Atan2(z.X, z.Z),
		DroopAngle: math.Atan2(-z.Y, z.Z),
	}
	s.Grip = kinematics.Frame{
		Origin: mirrored(p.grip.Origin, hand),
		Y:      mirrored(p.grip.Y, hand),
		Z:      mirrored(p.grip.Z, hand),
	}
	s.Grip.X = r3.Cross(s.Grip.Y, s.Grip.Z)
	return s
}

// turnAboutZ returns the angle of the turn about z that, followed by the
// smallest rotation from z to f.Z, gives the axes of f, rad. That smallest
// rotation is symmetric in its x-y block with trace 1 + f.Z.Z; times a turn by
// a, the block's trace is (1 + f.Z.Z) cos a and its skew part
// (1 + f.Z.Z) sin a.
func turnAboutZ(f kinematics.Frame) float64 {
	return math.Atan2(f.X.Y-f.Y.X, f.X.X+f.Y.Y)
}

// lowest returns the place in [from, to] where f is lowest: that of the lowest
// of 300 samples, refined by golden-section search between its neighbours to
// 1e-7 of the interval.
func lowest(from, to float64, f func(float64) float64) float64 {
	const samples = 300
	h := (to - from) / samples
	best, at := math.Inf(1), from
	for i := range samples + 1 {
		t := from + float64(i)*h
		if v := f(t); v < best {
			best, at = v, t
		}
	}
	a, b := max(at-h, from), min(at+h, to)
	golden := (math.Sqrt(5) - 1) / 2
	for b-a > 1e-7*(to-from) {
		c, d := b-golden*(b-a), a+golden*(b-a)
		if f(c) < f(d) {
			b = d
		} else {
			a = c
		}
	}
	return (a + b) / 2
}

// polar returns the vector of length r at the angle a from x towards y.
func polar(r, a float64) r3.Vec {
	sin, cos := math.Sincos(a)
	return r3.Vec{X: r * cos, Y: r * sin}
}
