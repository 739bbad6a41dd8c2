package report

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"

	"bendline/app/study"
	"bendline/kinematics"
)

// A plane is one of the two in which a shaft bends.
type plane struct {
	name, measure, sense string
	across               func(r3.Vec, kinematics.Hand) float64 // positive in the sense
}

var planes = []plane{
	{"Lead plane", "lead", "towards the target", func(v r3.Vec, h kinematics.Hand) float64 {
		if h == kinematics.Left {
			return -v.X
		}
		return v.X
	}},
	{"Droop plane", "droop", "toe-down", func(v r3.Vec, _ kinematics.Hand) float64 { return -v.Y }},
}

// shapePoints is the number of points of a centreline.
const shapePoints = 80

// shape is the bent shaft at impact in the lead and the droop plane, both with
// one exaggeration, which is stated.
func (m *material) shape() []Slide {
	x := m.stations(profilePoints)
	var rows [][]*panel
	var all [][]float64
	for j, plane := range planes {
		p := m.stationPanel(plane.name+": "+plane.measure+", mm", plane.sense+" above 0, the unbent shaft at 0", j == len(planes)-1)
		read := centreline(x, plane, 0)
		tips := tipLabels{}
		for _, g := range m.shown {
			mean, sd := g.mean(len(x), read)
			p.Add(ribbon{x, subtract(mean, sd), add(mean, sd), g.look}, curve{x, mean, g.look.line(2.6)})
			all = append(all, mean, add(mean, sd), subtract(mean, sd))
			tips = append(tips, m.tip(g.look, x, mean))
		}
		p.Add(tips)
		rows = append(rows, []*panel{p})
	}
	if lo, hi := extent(all...); lo > hi {
		return nil
	}
	for _, row := range rows {
		row[0].span(4, append(all, []float64{0})...)
		// Room beyond the tip for its label.
		row[0].X.Max *= 1.08
	}
	// The rectangle fixes how large a millimetre is drawn.
	p := rows[1][0]
	factor := exaggeration(draw.Canvas{Canvas: &recorder.Canvas{}, Rectangle: body}, p.Plot)
	p.remark += " · both planes drawn " + m.number(factor, 1) + " times as large as along the shaft"
	return []Slide{{Title: "Shape of the shaft in the last frame before contact", Subtitle: band(m.shown), key: m.key(m.shown), parts: panels(rows)}}
}

// exaggeration returns how much larger a millimetre is drawn across the shaft
// than along it, on a plot that fills half of c's height.
func exaggeration(c draw.Canvas, p *plot.Plot) float64 {
	tiles := draw.Tiles{Rows: 2, Cols: 1, PadY: headingHeight + 8, PadTop: headingHeight}
	bare := format{}.newPanel("", "", "")
	*bare.Plot = *p
	bare.X.Label.Text = ""
	area := plot.Align([][]*plot.Plot{{bare.Plot}, {p}}, tiles, c)[1][0]
	size := p.DataCanvas(area).Size()
	across := float64(size.Y) / (p.Y.Max - p.Y.Min)
	along := float64(size.X) / (p.X.Max - p.X.Min)
	return across / along
}

// centreline returns a reading of the centreline's distance from the
// undeflected line, mm, at stations x, mm, before seconds before contact:
// linear between frames, and the last frame before contact from there on. It is
// NaN beyond the tip and where a frame could not be fitted.
func centreline(x []float64, in plane, before float64) reading {
	return func(r *study.Result) []float64 {
		s := r.Swing
		impact := (s.Impact.Value - s.Start) * s.Rate // in frames
		last := math.Ceil(impact) - 1
		at := math.Min(impact-before*s.Rate, last)
		if !(at >= 0) || int(last) >= s.Frames() || !(s.Length > 0) {
			return unknown(len(x))
		}
		i := int(at)
		y := across(s, i, x, in)
		if part := at - float64(i); part > 0 {
			for k, v := range across(s, i+1, x, in) {
				y[k] = between(y[k], v, part)
			}
		}
		return y
	}
}

// across returns the centreline's distance from the undeflected line in frame
// i, mm, at stations x, mm.
func across(s *kinematics.Swing, i int, x []float64, in plane) []float64 {
	y := unknown(len(x))
	points := make([]r3.Vec, shapePoints)
	s.Centreline(i, points)
	for k := range x {
		const slack = 1e-9 // for rounding at the tip
		at := x[k] / 1e3 / s.Length * (shapePoints - 1)
		if at <= shapePoints-1+slack {
			j := min(int(at), shapePoints-2)
			y[k] = 1e3 * between(in.across(points[j], s.Hand), in.across(points[j+1], s.Hand), at-float64(j))
		}
	}
	return y
}

// unknown returns n values that are not known.
func unknown(n int) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = math.NaN()
	}
	return y
}

// tipLabels writes the value at the tip beside each curve, moved apart where
// they would touch.
type tipLabels []tipLabel

type tipLabel struct {
	look look
	x, y float64
	text string
}

// tip returns the label of a curve's last known value, mm.
func (m *material) tip(l look, x, y []float64) tipLabel {
	for i := len(y) - 1; i >= 0; i-- {
		if !math.IsNaN(y[i]) {
			return tipLabel{l, x[i], y[i], m.number(y[i], 1) + "\u00a0mm"}
		}
	}
	return tipLabel{}
}

// Plot implements plot.Plotter.
func (t tipLabels) Plot(c draw.Canvas, p *plot.Plot) {
	type mark struct {
		at   vg.Point
		text string
		look look
	}
	var marks []mark
	for _, l := range t {
		if l.text != "" {
			marks = append(marks, mark{vg.Point{X: c.X(p.X.Norm(l.x)), Y: c.Y(p.Y.Norm(l.y))}, l.text, l.look})
		}
	}
	const apart = 13
	for i := range marks {
		for k := range marks[:i] {
			if d := marks[i].at.Y - marks[k].at.Y; d >= 0 && d < apart {
				marks[i].at.Y = marks[k].at.Y + apart
			} else if d < 0 && d > -apart {
				marks[i].at.Y = marks[k].at.Y - apart
			}
		}
	}
	for _, m := range marks {
		write(c, bold(labelSize, m.look.text()), m.at.X+6, m.at.Y-4, m.text)
	}
}

// between returns a at 0, b at 1, and linear values between them.
func between(a, b, at float64) float64 { return a + at*(b-a) }
