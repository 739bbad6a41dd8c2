package sampledata

import "math"

// A Blow is what the ball does to the head, from first contact on.
type Blow struct {
	Loss      float64 // share of the head's speed lost
	Duration  float64 // of the contact, s; 0 for a sudden loss
	Frequency float64 // of the ringing after it, Hz
	Damping   float64 // of the ringing, share of critical
	Droop     float64 // speed in the droop direction over that lost
	Twist     float64 // closing speed of a hit off the centre, rad/s
}

// response returns the displacement, t seconds after first contact, for each
// unit of speed the blow gives: 0 before, then a swing that picks up its speed
// under a half-sine of force and rings down.
func (b Blow) response(t float64) float64 {
	if t <= 0 {
		return 0
	}
	// The integral over time of the share of the force's impulse delivered.
	run := t - b.Duration/2
	if t < b.Duration {
		run = t/2 - b.Duration/(2*math.Pi)*math.Sin(math.Pi*t/b.Duration)
	}
	w := 2 * math.Pi * b.Frequency
	return math.Sin(w*run) / w * math.Exp(-b.Damping*w*run)
}
