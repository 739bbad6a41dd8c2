package app

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"fyne.io/fyne/v2/theme"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// bayShape is the picture of a swing in the grip's frame, seen from two sides:
// where lead shows and where droop shows. It has the shaft at impact, on its way
// there from the greatest lag, and the mean at impact with the player's other
// shafts.
type bayShape struct {
	lead, droop *widgets.ShaftView
	drawn       shapeKey
	hand        kinematics.Hand
	points      []r3.Vec // what is to be in the picture
}

// A shapeKey is what the picture depends on.
type shapeKey struct {
	swing  *kinematics.Swing
	others string // which runs the means are of
	slot   int
}

// onTheWay is how many pictures of the shaft there are from the greatest lag to
// impact, the latter not counted.
const onTheWay = 4

// fromAfar is how much thicker than it is the shaft is drawn, and bayBend how
// much larger the bend.
const (
	fromAfar = 1.8
	bayBend  = 5
)

func newBayShape() *bayShape {
	return &bayShape{lead: widgets.NewShaftView(), droop: widgets.NewShaftView()}
}

// slotOf returns the place of a club in the session, which gives its colour.
func (b Bay) slotOf(club string) int { return max(0, slices.Index(b.Clubs, club)) }

// colourOf returns the colour of a slot, lighter on a dark ground, to be told
// from afar.
func colourOf(slot int) color.Color {
	c, _ := widgets.Style(slot)
	if r, _, _, _ := theme.Color(theme.ColorNameBackground).RGBA(); r > 0x7fff {
		return c
	}
	const part = 0.35
	lift := func(v uint8) uint8 { return v + uint8(part*float64(255-v)) }
	return color.NRGBA{lift(c.R), lift(c.G), lift(c.B), c.A}
}

// present shows a swing, nil for none, of a club, among the player's shafts.
func (p *bayShape) present(s State, sw *kinematics.Swing, club string, shafts []study.Shaft) {
	others := ""
	for _, f := range shafts {
		if f.Club != club {
			for _, r := range f.Runs {
				others += r.Run.ID + " "
			}
			others += "/"
		}
	}
	key := shapeKey{sw, others, s.Bay.slotOf(club)}
	if key == p.drawn {
		return
	}
	p.drawn = key
	if sw == nil || math.IsNaN(sw.Impact.Value) {
		for _, v := range []*widgets.ShaftView{p.lead, p.droop} {
			v.SetScene(widgets.Scene{})
			v.SetCaption("")
			v.SetNote("")
		}
		return
	}
	f := newFigure(sw, *s.Study.Club(club), s.Study.World, GripStill, bayBend)
	scene := p.scene(s, f, club, shafts)
	p.hand, p.points = sw.Hand, nil
	for _, rod := range scene.Rods {
		p.points = append(p.points, rod.Line...)
	}
	for _, o := range scene.Outlines {
		for _, face := range o.Faces {
			p.points = append(p.points, face...)
		}
	}
	for _, v := range []*widgets.ShaftView{p.lead, p.droop} {
		v.SetScene(scene)
		v.SetNote(fmt.Sprintf("bend drawn %d times as large", bayBend))
	}
	p.lead.SetCaption("Lead, face on")
	p.droop.SetCaption("Droop, down the line")
	p.fill()
}

// fill makes the picture fill both views, which are higher than wide.
func (p *bayShape) fill() {
	if len(p.points) == 0 {
		return
	}
	side := GripStill.camera(p.hand, nil)
	end := side
	end.Azimuth = math.Pi // from behind, along the target line
	for v, c := range map[*widgets.ShaftView]widgets.Camera{p.lead: side, p.droop: end} {
		size := v.Size()
		if size.Width <= 0 || size.Height <= captionRoom {
			continue
		}
		// The heads of the rods are all below; the caption and the key are above.
		aspect := float64(min(1, size.Width/(size.Height-captionRoom)))
		v.SetCamera(frameIn(c, p.points, aspect))
	}
}

// captionRoom is about how much of a view its caption, key and note take, dp.
const captionRoom = 70

// frameIn is frame for a picture that is so many times as wide as high, and not
// wider.
func frameIn(c widgets.Camera, points []r3.Vec, aspect float64) widgets.Camera {
	_, up, _ := c.Axes()
	mid := 0.0
	for _, q := range points {
		mid += r3.Dot(q, up) / float64(len(points))
	}
	squeezed := make([]r3.Vec, len(points))
	for i, q := range points {
		h := r3.Dot(q, up)
		squeezed[i] = r3.Add(q, r3.Scale((mid+(h-mid)*aspect)-h, up))
	}
	f := frame(c, squeezed)
	// The middle of what was squeezed is not that of what was not.
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range points {
		lo, hi = math.Min(lo, r3.Dot(q, up)), math.Max(hi, r3.Dot(q, up))
	}
	f = f.Pan(0, (lo+hi)/2-r3.Dot(f.Target, up))
	return f.Zoom(1.12) // words stand above the picture, not beside it
}

// scene returns the picture of a figure.
func (p *bayShape) scene(s State, f *figure, club string, shafts []study.Shaft) widgets.Scene {
	sw := f.swing
	at := lastBefore(sw)
	own := colourOf(s.Bay.slotOf(club))
	grey := theme.Color(theme.ColorNameDisabled)
	scene := f.scene(at, own, false)
	scene.Trails = nil
	rods := slices.Clone(scene.Rods)
	for i := range rods {
		rods[i].Line = slices.Clone(rods[i].Line)
		rods[i].Radius[0] *= fromAfar
		rods[i].Radius[1] *= fromAfar
	}
	rods[0].Label, rods[1].Label = "no bend", "impact"
	if from := sw.FrameAt(sw.PeakLag.Time); from < at {
		for k := range onTheWay {
			i := from + (at-from)*k/onTheWay
			step := f.scene(i, own, false).Rods[1]
			step.Line = slices.Clone(step.Line)
			step.Label, step.Color = "", grey
			if k == 0 {
				step.Label = "on the way"
			}
			rods = append(rods, step)
		}
	}
	for _, other := range shafts {
		if other.Club == club || len(other.Runs) == 0 {
			continue
		}
		rods = append(rods, widgets.Rod{
			Label: fmt.Sprintf("%d, mean", s.Bay.slotOf(other.Club)+1),
			Line:  f.meanLine(other.Runs), Radius: rods[1].Radius, Color: colourOf(s.Bay.slotOf(other.Club))})
	}
	// The swing itself is painted last.
	scene.Rods = append(rods[2:], rods[0], rods[1])
	return scene
}

// lastBefore returns the last frame before contact.
func lastBefore(sw *kinematics.Swing) int {
	return max(0, min(int(math.Ceil((sw.Impact.Value-sw.Start)*sw.Rate))-1, sw.Frames()-1))
}

// meanLine returns the mean centreline of runs in the last frame before contact,
// as the figure would draw it.
func (f *figure) meanLine(runs []*study.Result) []r3.Vec {
	sum, line := make([]r3.Vec, shaftPoints), make([]r3.Vec, shaftPoints)
	n := 0.0
	for _, r := range runs {
		r.Swing.Centreline(lastBefore(r.Swing), line)
		if !finite(line[shaftPoints-1]) {
			continue
		}
		for k, q := range line {
			sum[k] = r3.Add(sum[k], q)
		}
		n++
	}
	for k := range sum {
		q := r3.Scale(1/n, sum[k])
		rest := f.swing.Length * float64(k) / (shaftPoints - 1)
		sum[k] = f.place(0, r3.Vec{X: f.factor * q.X, Y: f.factor * q.Y, Z: rest + f.factor*(q.Z-rest)})
	}
	return sum
}
