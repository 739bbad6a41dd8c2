package sampledata

import "math"

// A Load is a moment or a torque on the shaft.
//
// Along the free span it is the moment of a beam under tension F, M” = F/EI M,
// between its value at the lower hand and a share of it at the tip, which the
// offset of the head's centre of gravity leaves. Between the hands it rises
// from 0 at the butt end, and is largest near the lower hand unless Tip is
// above 1.
type Load struct {
	Hands  float64 // station of the lower hand, m
	Tip    float64 // load at the tip end over that at the lower hand
	Pull   float64 // √(F/EI), 1/m; 0 for a load linear over the free span
	Course Course  // load at the lower hand, N m
}

// Loads are all that bends and twists a shaft. They add up.
type Loads struct {
	Lead   []Load // positive where it makes lead grow
	Droop  []Load // positive where it makes droop grow
	Torque []Load // positive where it closes the face
}

// along returns the load at station s of a shaft of the given length, as a
// share of Course.
func (l Load) along(s, length float64) float64 {
	// The rise is complete a little below the lower hand, so that the product
	// with the falling free span is largest at about Hands.
	const complete = 1.15
	return smooth(s/(complete*l.Hands)) * l.free(s, length)
}

func (l Load) free(s, length float64) float64 {
	span := length - l.Hands
	if l.Pull == 0 {
		return ((length - s) + l.Tip*(s-l.Hands)) / span
	}
	k := l.Pull
	return (math.Sinh(k*(length-s)) + l.Tip*math.Sinh(k*(s-l.Hands))) / math.Sinh(k*span)
}
