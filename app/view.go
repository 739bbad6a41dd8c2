package app

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// View is a standard place to look from.
type View int

// The views. In the last two the picture is fixed to the grip, so that only
// the bend moves.
const (
	FaceOn View = iota
	DownTheLine
	AlongShaft
	GripStill
)

var viewNames = []string{"Face on", "Down the line", "Along the shaft", "Grip held still"}

// gripFixed reports whether the scene of the view is fixed to the grip.
func (v View) gripFixed() bool { return v == AlongShaft || v == GripStill }

// camera returns the camera of the view for a player of the given hand, with
// all points in the picture.
//
// In the scene x points to the target, z up and so y = z × x to the left of one
// who looks at the target. A right-handed player has the target at the left
// hand: left = up × ahead, so that x = z × ahead and the player looks along -y,
// with the ball and the toe of the club on that side. "Face on" stands before
// the player, at -y, and sees the target at the right. For a left-handed player
// y is reversed. "Down the line" stands at -x.
//
// A scene fixed to the grip hangs the club from its butt, z of the club frame
// down, lead to +x and the toe on the ball's side, as it would be at address
// with the shaft upright: "grip held still" looks from face on, so that lead is
// to the right for a right-handed player, and "along the shaft" from the butt
// end as the player would, with the toe end up, droop down, and lead to the
// left.
func (v View) camera(hand kinematics.Hand, points []r3.Vec) widgets.Camera {
	ball := -math.Pi / 2 // azimuth of the ball's side
	if hand == kinematics.Left {
		ball = math.Pi / 2
	}
	c := widgets.Camera{Azimuth: ball, Distance: 4}
	switch v {
	case DownTheLine:
		c.Azimuth = math.Pi
	case AlongShaft:
		c.Azimuth, c.Elevation, c.Orthographic = -ball, math.Pi/2, true
	case GripStill:
		c.Orthographic = true
	}
	return frame(c, points)
}

// frame returns the camera moved so that the points fill its picture, but for
// room at the edges for words. Camera.Fit alone allows for turning, which for
// the flat arc of a swing leaves half of the picture empty.
func frame(c widgets.Camera, points []r3.Vec) widgets.Camera {
	right, up, back := c.Axes()
	lo := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	hi := r3.Scale(-1, lo)
	for _, p := range points {
		if finite(p) {
			q := r3.Vec{X: r3.Dot(p, right), Y: r3.Dot(p, up), Z: r3.Dot(p, back)}
			lo = r3.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y), Z: min(lo.Z, q.Z)}
			hi = r3.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y), Z: max(hi.Z, q.Z)}
		}
	}
	if lo.X > hi.X {
		return c
	}
	const room = 1.2
	mid, half := r3.Scale(0.5, r3.Add(lo, hi)), r3.Scale(0.5, r3.Sub(hi, lo))
	at := r3.Add(r3.Scale(mid.X, right), r3.Add(r3.Scale(mid.Y, up), r3.Scale(mid.Z, back)))
	edge := r3.Scale(room*max(half.X, half.Y), right)
	c = c.Fit([]r3.Vec{r3.Sub(at, edge), r3.Add(at, edge)})
	if !c.Orthographic {
		c.Distance += half.Z // the nearest points look largest
	}
	return c
}

// axes are the directions of the scene's x, y and z in the lab's axes.
type axes struct{ x, y, z r3.Vec }

// labAxes returns the scene's axes for a study's world: x to the target, z up.
// y = z × x keeps the scene right-handed, and the shape of the club with it.
// A study that does not name its axes is taken to have z up and x to the
// target: only the picture in the lab depends on it.
func labAxes(w study.World) axes {
	if w == (study.World{}) {
		w = study.World{Up: "+z", Target: "+x"}
	}
	x, z := direction(w.Target), direction(w.Up)
	return axes{x, r3.Cross(z, x), z}
}

// gripAxes returns the axes of a scene fixed to the grip in the club frame.
func gripAxes(hand kinematics.Hand) axes {
	x := r3.Vec{X: 1}
	if hand == kinematics.Left {
		x.X = -1 // lead is -(y × z)
	}
	z := r3.Vec{Z: -1}
	return axes{x, r3.Cross(z, x), z}
}

// scene returns a lab point, or club point, in the scene.
func (a axes) scene(p r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(p, a.x), Y: r3.Dot(p, a.y), Z: r3.Dot(p, a.z)}
}

// direction returns the unit vector of an axis name, "+x" to "-z". The study
// has checked the name when it was read.
func direction(name string) r3.Vec {
	sign := 1.0
	if name[0] == '-' {
		sign = -1
	}
	switch name[1] {
	case 'x':
		return r3.Vec{X: sign}
	case 'y':
		return r3.Vec{Y: sign}
	}
	return r3.Vec{Z: sign}
}
