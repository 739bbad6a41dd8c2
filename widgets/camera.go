package widgets

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// halfView is half the angle seen across the shorter side of the picture. A
// narrow view keeps a shaft's ends from being drawn at different scales: over a
// length of a third of the distance they differ by a third at most.
const halfView = 14 * math.Pi / 180

// nearest is the smallest depth in front of the eye that is drawn, as a part of
// the distance to the target.
const nearest = 0.02

// A Camera looks at a target. Scene z is up. Distance must be positive.
type Camera struct {
	Azimuth      float64 // of the eye about +z, from +x towards +y, rad
	Elevation    float64 // of the eye above the horizontal, within ±π/2, rad
	Distance     float64 // from eye to target, m
	Target       r3.Vec  // in the middle of the picture, m
	Orthographic bool    // no foreshortening; as large as in perspective at the target
}

// LookFrom returns a camera whose eye lies from the target in direction dir,
// which need not be a unit vector.
func LookFrom(target, dir r3.Vec, distance float64) Camera {
	return Camera{
		Azimuth:   math.Atan2(dir.Y, dir.X),
		Elevation: math.Atan2(dir.Z, math.Hypot(dir.X, dir.Y)),
		Distance:  distance,
		Target:    target,
	}
}

// Axes returns the unit vectors that point right and up in the picture, and
// from the target to the eye. They are right-handed in this order.
func (c Camera) Axes() (right, up, back r3.Vec) {
	sa, ca := math.Sincos(c.Azimuth)
	se, ce := math.Sincos(c.Elevation)
	right = r3.Vec{X: -sa, Y: ca}
	back = r3.Vec{X: ce * ca, Y: ce * sa, Z: se}
	up = r3.Vec{X: -se * ca, Y: -se * sa, Z: ce}
	return right, up, back
}

// Orbit returns the camera turned about its target by angles, rad. The
// elevation stops at straight down and straight up.
func (c Camera) Orbit(azimuth, elevation float64) Camera {
	c.Azimuth = math.Remainder(c.Azimuth+azimuth, 2*math.Pi)
	c.Elevation = math.Max(-math.Pi/2, math.Min(math.Pi/2, c.Elevation+elevation))
	return c
}

// Zoom returns the camera with what lies at the target drawn factor times as
// large. The distance stays between a centimetre and a kilometre.
func (c Camera) Zoom(factor float64) Camera {
	c.Distance = math.Max(1e-2, math.Min(1e3, c.Distance/factor))
	return c
}

// Pan returns the camera with its target moved right and up in the picture, m.
func (c Camera) Pan(right, up float64) Camera {
	r, u, _ := c.Axes()
	c.Target = r3.Add(c.Target, r3.Add(r3.Scale(right, r), r3.Scale(up, u)))
	return c
}

// Fit returns the camera looking at the middle of the points from where they
// are all in the picture, with the direction kept. NaN points are passed over;
// without any other, c is returned.
func (c Camera) Fit(points []r3.Vec) Camera {
	lo := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	hi := r3.Scale(-1, lo)
	for _, p := range points {
		if !finite(p) {
			continue
		}
		lo = r3.Vec{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y), Z: math.Min(lo.Z, p.Z)}
		hi = r3.Vec{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y), Z: math.Max(hi.Z, p.Z)}
	}
	if lo.X > hi.X {
		return c
	}
	c.Target = r3.Scale(0.5, r3.Add(lo, hi))
	radius := 0.0
	for _, p := range points {
		if finite(p) {
			radius = math.Max(radius, r3.Norm(r3.Sub(p, c.Target)))
		}
	}
	const room = 1.05
	c.Distance = math.Max(1e-2, room*radius/math.Sin(halfView))
	return c
}

// span returns the length at the target that the shorter side of the picture
// shows, m.
func (c Camera) span() float64 { return 2 * c.Distance * math.Tan(halfView) }

// finite reports whether p is a place.
func finite(p r3.Vec) bool {
	s := p.X + p.Y + p.Z
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

// A lens projects a scene on a picture of given size in any unit of length,
// with x to the right and y down from the top left corner.
type lens struct {
	right, up, back r3.Vec
	camera          Camera
	cx, cy          float64
	scale           float64 // picture units a metre at the target
}

// lens returns the lens for a picture of width w and height h.
func (c Camera) lens(w, h float64) lens {
	l := lens{camera: c, cx: w / 2, cy: h / 2, scale: math.Min(w, h) / c.span()}
	l.right, l.up, l.back = c.Axes()
	return l
}

// project returns where p is in the picture, the picture units a metre there,
// and how much nearer than the target it is, m. ok is false where p is a gap or
// behind the eye.
func (l *lens) project(p r3.Vec) (x, y, scale, near float64, ok bool) {
	d := r3.Sub(p, l.camera.Target)
	near = r3.Dot(d, l.back)
	scale = l.scale
	if !l.camera.Orthographic {
		depth := l.camera.Distance - near
		if depth < nearest*l.camera.Distance {
			return 0, 0, 0, 0, false
		}
		scale *= l.camera.Distance / depth
	}
	x = l.cx + scale*r3.Dot(d, l.right)
	y = l.cy - scale*r3.Dot(d, l.up)
	return x, y, scale, near, !math.IsNaN(x + y)
}
