package app

import (
	"cmp"
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// A figure is one swing as it is drawn: its bend times a factor, in the scene
// of a view. Only the displacement from the undeflected line, and the turn of
// the tip, are exaggerated; the grip and the lengths along the shaft stay.
type figure struct {
	swing  *kinematics.Swing
	club   study.Club
	lab    axes
	grip   axes
	fixed  bool // to the grip
	factor float64

	head   r3.Vec   // of the head point in the tip's frame
	path   []r3.Vec // of the head point in every frame, in the scene
	turns  []int    // frames whose head points make the trail
	lowest float64  // height of the lowest point of the path

	riders *kinematics.Riders // nil until the markers are to be drawn
	seen   *study.Sighting

	bent, straight, trail []r3.Vec // filled anew for every scene
	band                  []float64
	at                    []r3.Vec // of the markers
}

// shaftPoints is how many points a centreline is drawn with: a bend of a
// driver's shaft, even ten times as large, turns by under 3 degrees between
// two of them.
const shaftPoints = 60

// trailPoints is about how many points the whole path is drawn with.
const trailPoints = 240

func newFigure(sw *kinematics.Swing, club study.Club, world study.World, v View, factor float64) *figure {
	f := &figure{
		swing: sw, club: club, factor: factor, fixed: v.gripFixed(),
		lab: labAxes(world), grip: gripAxes(sw.Hand),
		bent: make([]r3.Vec, shaftPoints), straight: make([]r3.Vec, 2), band: make([]float64, shaftPoints),
		lowest: math.Inf(1),
	}
	for i, g := range sw.Grip {
		if at := sw.Tip(i).ToClub(g.ToClub(sw.Head[i])); finite(at) {
			f.head = at // the head is rigid: any frame will do
			break
		}
	}
	f.path = make([]r3.Vec, sw.Frames())
	for i := range f.path {
		f.path[i] = f.place(i, f.tip(i).ToLab(f.head))
		if finite(f.path[i]) {
			f.lowest = min(f.lowest, f.path[i].Z)
		}
	}
	f.turns = evenly(f.path, trailPoints)
	return f
}

// evenly returns the indices of about n points of a path that lie as far from
// each other, and of those beside its gaps.
func evenly(path []r3.Vec, n int) []int {
	far := make([]float64, len(path)) // along the path, from its beginning
	for i := 1; i < len(path); i++ {
		far[i] = far[i-1]
		if d := r3.Norm(r3.Sub(path[i], path[i-1])); !math.IsNaN(d) {
			far[i] += d
		}
	}
	var list []int
	next := 0.0
	for i, p := range path {
		gap := i > 0 && finite(p) != finite(path[i-1])
		if gap || finite(p) && far[i] >= next {
			list = append(list, i)
			next = far[i] + far[len(far)-1]/float64(n)
		}
	}
	return list
}

// place returns a point of the club frame in the scene at frame i.
func (f *figure) place(i int, p r3.Vec) r3.Vec {
	if f.fixed {
		return f.grip.scene(p)
	}
	return f.lab.scene(f.swing.Grip[i].ToLab(p))
}

// tip returns the exaggerated pose of the tip in frame i, in the frame of the
// grip: displacement and rotation vector times the factor.
func (f *figure) tip(i int) kinematics.Frame {
	t := f.swing.Tip(i)
	rest := r3.Vec{Z: f.swing.Length}
	turn := rotationVector(t)
	t.Origin = r3.Add(rest, r3.Scale(f.factor, r3.Sub(t.Origin, rest)))
	angle := r3.Norm(turn)
	if angle == 0 {
		return t
	}
	r := r3.NewRotation(f.factor*angle, turn)
	t.X, t.Y, t.Z = r.Rotate(r3.Vec{X: 1}), r.Rotate(r3.Vec{Y: 1}), r.Rotate(r3.Vec{Z: 1})
	return t
}

// rotationVector returns the axis of the rotation to f's axes, as long as its
// angle. The angle must be under half a turn.
func rotationVector(f kinematics.Frame) r3.Vec {
	v := r3.Vec{X: f.Y.Z - f.Z.Y, Y: f.Z.X - f.X.Z, Z: f.X.Y - f.Y.X} // 2 sin(angle) along the axis
	sin, cos := r3.Norm(v)/2, (f.X.X+f.Y.Y+f.Z.Z-1)/2
	if sin == 0 {
		return r3.Vec{}
	}
	return r3.Scale(math.Atan2(sin, cos)/(2*sin), v)
}

// points returns what a camera should have in its picture, along the trail up to
// impact: the head's path, the tip unbent and, unless one looks along the
// shaft, the butt.
func (f *figure) points(v View) []r3.Vec {
	last := len(f.path) - 1
	if t := f.swing.Impact.Value; !math.IsNaN(t) {
		last = f.swing.FrameAt(t) // what rings afterwards would make the rest small
	}
	var list []r3.Vec
	for _, i := range f.turns {
		if i > last {
			break
		}
		list = append(list, f.path[i], f.place(i, r3.Vec{Z: f.swing.Length}))
		if v != AlongShaft {
			list = append(list, f.place(i, r3.Vec{}))
		}
	}
	return list
}

// scene returns the picture of frame i in the given colour, with the bend's
// uncertainty if band is set. Its slices are valid until the next call.
func (f *figure) scene(i int, c color.Color, band bool) widgets.Scene {
	f.swing.Centreline(i, f.bent)
	for k, p := range f.bent {
		p.X, p.Y = f.factor*p.X, f.factor*p.Y
		rest := r3.Vec{Z: f.swing.Length * float64(k) / (shaftPoints - 1)}
		p.Z = rest.Z + f.factor*(p.Z-rest.Z)
		f.bent[k] = f.place(i, p)
	}
	f.straight[0] = f.place(i, r3.Vec{})
	f.straight[1] = f.place(i, r3.Vec{Z: f.swing.Length})
	f.trail = f.trail[:0]
	for _, k := range f.turns {
		if k >= i {
			break
		}
		f.trail = append(f.trail, f.path[k])
	}
	f.trail = append(f.trail, f.path[i])
	// Usual diameters of a driver's shaft (common practice, no source) where
	// the study gives none: they only make the picture.
	butt, tip := f.club.ButtDiameter/2, f.club.TipDiameter/2
	if butt == 0 {
		butt = 7.6e-3
	}
	if tip == 0 {
		tip = 4.3e-3
	}
	s := widgets.Scene{
		Rods: []widgets.Rod{
			{Label: "no bend", Line: f.straight, Radius: [2]float64{butt, tip}, Ghost: true},
			{Label: cmp.Or(f.club.Label, f.club.ID), Line: f.bent, Radius: [2]float64{butt, tip}, Color: c},
		},
		Trails: []widgets.Trail{{Points: f.trail, Color: c, Fade: true}},
	}
	if band {
		s.Rods[1].Band = f.spread(i)
	}
	if f.seen != nil {
		f.mark(&s, i, c)
	}
	if finite(f.path[i]) {
		s.Outlines = []widgets.Outline{{Faces: f.headFaces(i), Color: c}}
	}
	if !f.fixed && !math.IsInf(f.lowest, 0) {
		s.Grid, s.Ground, s.GridStep = true, f.lowest-headHeight/2, 0.5
	}
	return s
}

// spread returns half the width of the band of 95 % about the bent line in frame
// i, times the factor. It is known at the tip; towards the butt it is drawn as
// the bend itself grows, with the square of the distance.
func (f *figure) spread(i int) []float64 {
	tip := f.factor * math.Max(f.swing.Lead.U95[i], f.swing.Droop.U95[i])
	if math.IsNaN(tip) {
		return nil
	}
	for k := range f.band {
		part := float64(k) / (shaftPoints - 1)
		f.band[k] = tip * part * part
	}
	return f.band
}

// residualFactor is how much larger than true the distance of a marker from the
// fitted club is drawn: a millimetre would not be seen.
const residualFactor = 20

// see has the markers drawn, or no longer where seen is nil.
func (f *figure) see(seen *study.Sighting) {
	if f.seen == seen {
		return
	}
	if f.seen, f.riders = seen, nil; seen != nil {
		f.riders = kinematics.NewRiders(f.swing, seen.Reference)
		f.at = make([]r3.Vec, len(seen.Names))
	}
}

// mark adds the markers of frame i to a scene: where they ride on the bend as it
// is drawn, with a line to where they were seen. One that was not seen is
// hollow.
func (f *figure) mark(s *widgets.Scene, i int, c color.Color) {
	f.riders.At(i, f.at)
	for k, at := range f.at {
		if !finite(at) {
			continue
		}
		rest := f.seen.Reference.Point[k]
		drawn := r3.Add(rest, r3.Scale(f.factor, r3.Sub(at, rest)))
		dot := widgets.Dot{At: f.place(i, drawn), Size: 5, Color: c, Hollow: true}
		if path := f.seen.Seen[k]; i < len(path) && finite(path[i]) {
			off := r3.Sub(f.swing.Grip[i].ToClub(path[i]), at)
			end := f.place(i, r3.Add(drawn, r3.Scale(residualFactor, off)))
			s.Trails = append(s.Trails, widgets.Trail{Points: []r3.Vec{dot.At, end}})
			dot.Hollow = false
		}
		s.Dots = append(s.Dots, dot)
	}
}

// The head is a sketch about the head point: flat rings one over the other,
// as large as a driver's head commonly is (common practice, no source). Its
// sole is level when the shaft stands at the lie angle.
const (
	headWidth  = 0.120 // heel to toe, m
	headDepth  = 0.105 // face to back, m
	headHeight = 0.060 // sole to crown, m
	headLie    = 58 * math.Pi / 180
)

// headFaces returns the outline of the head in frame i.
func (f *figure) headFaces(i int) [][]r3.Vec {
	t := f.tip(i)
	lead := f.grip.x // of the unbent club; the tip's frame carries it along
	heelToToe := r3.Vec{Y: math.Sin(headLie), Z: math.Cos(headLie)}
	down := r3.Vec{Y: -math.Cos(headLie), Z: math.Sin(headLie)}
	var faces [][]r3.Vec
	for _, ring := range []struct{ height, size float64 }{{-0.5, 0.55}, {-0.1, 1}, {0.5, 0.7}} {
		const corners = 24
		face := make([]r3.Vec, corners)
		for k := range face {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / corners)
			// The front is flat: that is the face.
			depth := min(cos, 0.6) * headDepth / 2
			p := r3.Add(f.head, r3.Add(
				r3.Scale(ring.size*depth, lead),
				r3.Add(r3.Scale(ring.size*sin*headWidth/2, heelToToe), r3.Scale(ring.height*headHeight, down))))
			face[k] = f.place(i, t.ToLab(p))
		}
		faces = append(faces, face)
	}
	return faces
}

// finite reports whether all coordinates are numbers.
func finite(v r3.Vec) bool { return !math.IsNaN(v.X + v.Y + v.Z) }
