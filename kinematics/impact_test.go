package kinematics

import (
	"errors"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// headPath returns where a head is that goes along x at the speed v(t), m/s, at
// 2500 frames a second.
func headPath(seconds float64, v func(t float64) float64) []r3.Vec {
	const rate = 2500
	path := make([]r3.Vec, int(seconds*rate))
	x := 0.0
	for i := range path {
		path[i] = r3.Vec{X: x, Y: 1e-5 * math.Sin(float64(i*i))}
		x += v((float64(i)+0.5)/rate) / rate
	}
	return path
}

// The hardest blow is the impact, however many there are; the others that might
// be it are told, a putt's worth of a knock is not.
func TestHardestBlowIsImpact(t *testing.T) {
	path := headPath(2, func(t float64) float64 {
		switch {
		case t < 0.4:
			return 30
		case t < 0.8:
			return 22 // a practice swing that brushes the mat: 8 m/s
		case t < 1.2:
			return 22 + 23*(t-0.8)/0.4
		case t < 1.5:
			return 31 // the ball: 14 m/s
		}
		return 27 // a knock: 4 m/s
	})
	m, err := findMeeting(path, 2500)
	if err != nil || math.Abs(m.middle(0)/2500-1.2) > 1e-3 {
		t.Fatalf("impact at %.4f s, %v", m.middle(0)/2500, err)
	}
	if len(m.other) != 1 || math.Abs(m.other[0]/2500-0.4) > 2e-3 {
		t.Errorf("other blows at frames %v", m.other)
	}
}

// A club that jumps from one frame to the next, as where a recording was cut and
// joined, is not slowed by a ball, however fast it seems.
func TestJumpIsNoBlow(t *testing.T) {
	path := headPath(2, func(t float64) float64 {
		if t < 1.2 {
			return 40
		}
		return 28
	})
	jumped := slices.Clone(path)
	for i := 1000; i < len(jumped); i++ {
		jumped[i].X += 0.4
	}
	m, err := findMeeting(jumped, 2500)
	if err != nil || math.Abs(m.middle(0)/2500-1.2) > 1e-3 || len(m.other) != 0 {
		t.Errorf("impact at %.4f s, others %v, %v", m.middle(0)/2500, m.other, err)
	}
	if _, err := findMeeting(path[:2900], 2500); !errors.Is(err, ErrNoImpact) {
		t.Errorf("a swing that stops before the ball: %v", err)
	}
}
