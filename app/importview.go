package app

import (
	"fmt"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/widgets"
)

// A markerView shows markers in space, with their names, and is told which the
// user points at.
type markerView struct {
	widgets.ShaftView
	point func(dot int)

	framed string // what the camera was last put before
}

func newMarkerView(point func(dot int)) *markerView {
	v := &markerView{point: point}
	v.ExtendBaseWidget(v)
	v.SetCamera(widgets.Camera{Azimuth: -1.2, Elevation: 0.15, Distance: 3})
	v.OnReset = func() { v.framed = "" }
	return v
}

// Tapped is part of fyne.Tappable.
func (v *markerView) Tapped(e *fyne.PointEvent) {
	if i := v.DotAt(e.Position); i >= 0 && v.point != nil {
		v.point(i)
	}
}

// show draws markers at their places in the axes of the file, m. paint gives
// the colour of a marker, and how large it is. The camera is put before them
// when what is new.
func (v *markerView) show(what string, w study.World, names []string, at []r3.Vec, paint func(i int) (color.Color, float64)) {
	scene := labAxes(w)
	var s widgets.Scene
	var seen []r3.Vec
	for i, p := range at {
		p = scene.scene(p)
		d := widgets.Dot{At: p, Label: names[i], Size: 7}
		if paint != nil {
			d.Color, d.Size = paint(i)
		}
		s.Dots = append(s.Dots, d)
		if finite(p) {
			seen = append(seen, p)
		}
	}
	s.Axes = triad(w, seen)
	v.SetScene(s)
	size := v.Size()
	if what = fmt.Sprint(what, size); v.framed != what && len(seen) > 0 {
		v.framed = what
		for _, a := range s.Axes {
			seen = append(seen, a.From, a.To)
		}
		v.SetCamera(fill(v.Camera(), seen, size))
	}
}

// fill returns the camera put so that the points fill a picture of the size, but
// for room for their names.
func fill(c widgets.Camera, points []r3.Vec, size fyne.Size) widgets.Camera {
	c = c.Fit(points)
	short := float64(min(size.Width, size.Height))
	if !(short > 0) {
		return c
	}
	right, up, _ := c.Axes()
	var wide, high, radius float64
	for _, p := range points {
		d := r3.Sub(p, c.Target)
		wide, high = max(wide, math.Abs(r3.Dot(d, right))), max(high, math.Abs(r3.Dot(d, up)))
		radius = max(radius, r3.Norm(d))
	}
	if !(radius > 0) { // one point, or all at one place
		return c
	}
	const room = 1.25
	return c.Zoom(min(float64(size.Width)/short*radius/(room*wide+radius/4), float64(size.Height)/short*radius/(room*high)))
}

// triad returns the axes of the file, named, at the low corner of the points.
func triad(w study.World, points []r3.Vec) []widgets.Axis {
	if len(points) == 0 {
		return nil
	}
	low, high := points[0], points[0]
	for _, p := range points {
		low = r3.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = r3.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	length := r3.Norm(r3.Sub(high, low)) / 7
	origin := r3.Sub(low, r3.Vec{X: length, Y: length})
	lab := labAxes(w)
	var axes []widgets.Axis
	for i, name := range []string{"x", "y", "z"} {
		unit := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[i]
		axes = append(axes, widgets.Axis{From: origin, To: r3.Add(origin, r3.Scale(length, lab.scene(unit))),
			Label: name, Color: widgets.Palette[[3]int{1, 2, 0}[i]]})
	}
	return axes
}
