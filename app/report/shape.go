package report

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
	"bendline/kinematics"
)

// shapePoints is the number of points of a centreline.
const shapePoints = 80

// shape is the bent shaft at impact in the lead and the droop plane, both with
// one exaggeration, which is stated.
func (m *material) shape() []Slide {
	planes := []struct {
		head, remark string
		across       func(r3.Vec, kinematics.Hand) float64
	}{
		{"Lead plane: lead, mm", "towards the target above 0, the unbent shaft at 0", func(v r3.Vec, h kinematics.Hand) float64 {
			if h == kinematics.Left {
				return -v.X
			}
			return v.X
		}},
		{"Droop plane: droop, mm", "toe-down above 0, the unbent shaft at 0", func(v r3.Vec, _ kinematics.Hand) float64 { return -v.Y }},
	}
	x := m.stations(profilePoints)
	var rows [][]*panel
	var all [][]float64
	for j, plane := range planes {
		p := m.stationPanel(plane.head, plane.remark, j == len(planes)-1)
		read := centreline(x, plane.across)
		tips := tipLabels{}
		for _, g := range m.shown {
			mean, sd := g.mean(len(x), read)
			p.Add(ribbon{x, subtract(mean, sd), add(mean, sd), g.look}, curve{x, mean, g.look.line(2.6)})
			all = append(all, mean, add(mean, sd), subtract(mean, sd))
			tips = append(tips, tipLabel{g.look, x, mean})
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
	return []Slide{{Title: "Shape of the shaft in the last frame before contact", Subtitle: band(m.shown), key: m.key(m.shown), draw: func(c draw.Canvas) {
		p := rows[1][0]
		factor := exaggeration(c, p.Plot)
		p.remark = planes[1].remark + " · both planes drawn " + number(factor, 1) + " times as large as along the shaft"
		drawPanels(c, rows)
	}}}
}

// exaggeration returns how much larger a millimetre is drawn across the shaft
// than along it, on a plot that fills half of c's height.
func exaggeration(c draw.Canvas, p *plot.Plot) float64 {
	tiles := draw.Tiles{Rows: 2, Cols: 1, PadY: headingHeight + 8, PadTop: headingHeight}
	bare := newPanel("", "", "")
	*bare.Plot = *p
	bare.X.Label.Text = ""
	area := plot.Align([][]*plot.Plot{{bare.Plot}, {p}}, tiles, c)[1][0]
	size := p.DataCanvas(area).Size()
	across := float64(size.Y) / (p.Y.Max - p.Y.Min)
	along := float64(size.X) / (p.X.Max - p.X.Min)
	return across / along
}

// centreline returns a reading of the centreline's distance from the
// undeflected line, mm, at stations x, mm, in the last frame before contact;
// NaN beyond the tip and where the frame could not be fitted.
func centreline(x []float64, across func(r3.Vec, kinematics.Hand) float64) reading {
	return func(r *study.Result) []float64 {
		s := r.Swing
		y := make([]float64, len(x))
		for i := range y {
			y[i] = math.NaN()
		}
		last := math.Ceil((s.Impact.Value-s.Start)*s.Rate) - 1
		if !(last >= 0) || int(last) >= s.Frames() || !(s.Length > 0) {
			return y
		}
		points := make([]r3.Vec, shapePoints)
		for i := range points {
			points[i] = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
		}
		s.Centreline(int(last), points)
		for i := range x {
			at := x[i] / 1e3 / s.Length * (shapePoints - 1)
			k := min(int(at), shapePoints-2)
			if at <= shapePoints-1+1e-9 {
				y[i] = 1e3 * between(across(points[k], s.Hand), across(points[k+1], s.Hand), at-float64(k))
			}
		}
		return y
	}
}

// tipLabels writes the value at the tip beside each curve, moved apart where
// they would touch.
type tipLabels []tipLabel

type tipLabel struct {
	look look
	x, y []float64
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
		for i := len(l.y) - 1; i >= 0; i-- {
			if !math.IsNaN(l.y[i]) {
				at := vg.Point{X: c.X(p.X.Norm(l.x[i])), Y: c.Y(p.Y.Norm(l.y[i]))}
				marks = append(marks, mark{at, number(l.y[i], 1) + " mm", l.look})
				break
			}
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
		write(c, bold(11, m.look.color), m.at.X+6, m.at.Y-4, m.text)
	}
}

// between returns a at 0, b at 1, and linear values between them.
func between(a, b, at float64) float64 { return a + at*(b-a) }
