package sampledata

import (
	"math"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Motion is how a player carries the grip: arms and wrists turn in a tilted
// plane about a point between the shoulders while the forearms roll.
type Motion struct {
	HeadSpeed float64 // at contact if the shaft were rigid, m/s
	Backswing float64 // duration, s
	Plane     float64 // inclination of the swing plane, rad
	Arm       float64 // from between the shoulders to between the hands, m
	Turn      float64 // of the arms back from address to the top, rad
	Cock      float64 // of the wrists at the top, rad
	Roll      float64 // of the forearms at the top, opening the face, rad
	Flatten   float64 // of the plane in the downswing, rad
	Shift     float64 // of the shoulders towards the target, m
	Late      float64 // release of the wrists after the usual, s
}

// midHands is the distance from the butt end to the point between the hands, m.
const midHands = 0.1

// carrier is a motion worked out as courses of time.
type carrier struct {
	Motion
	downswing                        float64 // from the reversal of the arms to contact, s
	arms, wrists, roll, plane, shift Course
}

// newCarrier returns the motion for a club whose head point is head in the club
// frame.
func newCarrier(m Motion, head r3.Vec) carrier {
	// All downswing times scale together, and the backswing is over by contact;
	// so the head's speed at contact goes as one over the scale.
	c := pace(m, 1)
	speed := r3.Norm(derivative(func(t float64) r3.Vec { return c.grip(t).ToLab(head) }, 0))
	return pace(m, speed/m.HeadSpeed)
}

// pace returns the courses with the downswing's times scaled by f.
func pace(m Motion, f float64) carrier {
	// Angles are 0 when the arms hang at the ball; back is negative. Downswing
	// steps run on through contact, and are sized to pass it at the value given.
	through := func(back float64, at, duration, contact float64) Step {
		return Step{at * f, duration * f, (contact - back) / smooth(-at/duration)}
	}
	// The arms reverse while the wrists still cock, so the head never rests.
	down := 0.3 * f
	back := func(size, late float64) Step {
		return Step{late - down - m.Backswing, m.Backswing, size}
	}
	release := -0.175 + m.Late
	return carrier{
		Motion:    m,
		downswing: down,
		arms:      Course{back(-m.Turn, 0.03), through(-m.Turn, -0.34, 0.56, 0.06)},
		wrists:    Course{back(-m.Cock, 0.09), through(-m.Cock, release, 0.3, -0.08)},
		roll:      Course{back(m.Roll, 0.05), through(m.Roll, -0.19, 0.32, 0.02)},
		plane:     Course{back(m.Flatten, 0.05), through(m.Flatten, -0.3, 0.3, 0)},
		shift:     Course{{-0.4 * f, 0.6 * f, m.Shift}},
	}
}

// grip returns the pose of the grip t seconds after contact, for a
// right-handed player.
func (c *carrier) grip(t float64) kinematics.Frame {
	plane := c.Plane + c.plane.Value(t)
	target := r3.Vec{X: 1}
	down := r3.Vec{Y: -math.Cos(plane), Z: -math.Sin(plane)}
	along := func(angle float64) (out, ahead r3.Vec) { // from the pivot, and square to that in the plane
		sin, cos := math.Sincos(angle)
		return r3.Add(r3.Scale(sin, target), r3.Scale(cos, down)), r3.Sub(r3.Scale(cos, target), r3.Scale(sin, down))
	}
	arms := c.arms.Value(t)
	arm, _ := along(arms)
	z, ahead := along(arms + c.wrists.Value(t))
	sin, cos := math.Sincos(c.roll.Value(t))
	x := r3.Add(r3.Scale(cos, ahead), r3.Scale(sin, r3.Cross(z, ahead)))

	shoulders := r3.Vec{X: c.shift.Value(t), Y: 0.3, Z: 1.42}
	hands := r3.Add(shoulders, r3.Scale(c.Arm, arm))
	return kinematics.Frame{Origin: r3.Sub(hands, r3.Scale(midHands, z)), X: x, Y: r3.Cross(z, x), Z: z}
}
