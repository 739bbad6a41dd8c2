package report

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A panel is one plot with its heading.
type panel struct {
	*plot.Plot
	format
	heading, remark string
	size            vg.Length // of the text of its axes
}

// newPanel returns an empty panel in the deck's style, with gridlines at the
// ticks of both axes.
func (f format) newPanel(heading, remark, xLabel string) *panel {
	p := &panel{plot.New(), f, heading, remark, labelSize}
	p.BackgroundColor = nil
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Padding = 0
		a.LineStyle = draw.LineStyle{Color: muted, Width: 0.75}
		a.Tick.LineStyle = draw.LineStyle{Color: grid, Width: 0.75}
		a.Tick.Length = 4
		a.Label.TextStyle.Color = muted
		a.Label.Padding = 3
	}
	p.Y.LineStyle.Width = 0
	p.X.Tick.Length = 7 // keeps the labels of both axes apart in the corner
	// Digits have no descenders: centre them a little lower than their box.
	p.Y.Tick.Label.YAlign -= 0.12
	p.X.Label.Text = xLabel
	p.setType(labelSize)
	p.Add(lattice{})
	return p
}

// setType sets the size of the text of the axes; the heading is larger by two.
func (p *panel) setType(size vg.Length) {
	p.size = size
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		dress(&a.Tick.Label, size)
		dress(&a.Label.TextStyle, size)
	}
}

// dress sets the face and colour of a style, keeping its alignment.
func dress(sty *draw.TextStyle, size font.Length) {
	base := sans(size, muted)
	sty.Font, sty.Color, sty.Handler = base.Font, base.Color, base.Handler
}

// span sets the limits and ticks of the y axis to hold the values, in about n
// steps.
func (p *panel) span(n int, values ...[]float64) {
	lo, hi := extent(values...)
	min, max, t := p.round(lo, hi, n)
	p.Y.Min, p.Y.Max, p.Y.Tick.Marker = min, max, t
}

// extent returns the least and greatest of the finite values, +Inf and -Inf
// where there are none.
func extent(values ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, row := range values {
		for _, v := range row {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	return lo, hi
}

// headingHeight is the room above each row of panels.
const headingHeight vg.Length = 26

// drawPanels draws rows of panels that fill c, their plot areas aligned, with
// each heading over the left edge of its plot area.
func drawPanels(c draw.Canvas, rows [][]*panel) {
	plots := make([][]*plot.Plot, len(rows))
	for j, row := range rows {
		plots[j] = make([]*plot.Plot, len(row))
		for i, p := range row {
			plots[j][i] = p.Plot
		}
	}
	tiles := draw.Tiles{Rows: len(rows), Cols: len(rows[0]), PadX: 22, PadY: headingHeight + 8, PadTop: headingHeight}
	areas := plot.Align(plots, tiles, c)
	for j, row := range rows {
		for i, p := range row {
			area := areas[j][i]
			p.Draw(area)
			data := p.DataCanvas(area)
			head, note := bold(p.size+2, ink), sans(p.size, muted)
			y := data.Max.Y + 9
			wide := c.Max.X - data.Min.X
			if i+1 < len(row) {
				wide = areas[j][i+1].Min.X - data.Min.X - 6
			}
			text := shorten(head, p.heading, wide)
			write(c, head, data.Min.X, y, text)
			x := width(head, text) + 8
			write(c, note, data.Min.X+x, y, shorten(note, p.remark, max(0, wide-x)))
		}
	}
}

// lattice draws gridlines at the ticks, stronger at zero of the y axis.
type lattice struct{}

// Plot implements plot.Plotter.
func (lattice) Plot(c draw.Canvas, p *plot.Plot) {
	if _, ok := p.X.Tick.Marker.(ticks); ok {
		for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
			x := c.X(p.X.Norm(t.Value))
			c.StrokeLine2(draw.LineStyle{Color: grid, Width: 0.75}, x, c.Min.Y, x, c.Max.Y)
		}
	}
	if _, ok := p.Y.Tick.Marker.(ticks); ok {
		for _, t := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
			y := c.Y(p.Y.Norm(t.Value))
			sty := draw.LineStyle{Color: grid, Width: 0.75}
			if t.Value == 0 {
				sty = draw.LineStyle{Color: muted, Width: 0.75}
			}
			c.StrokeLine2(sty, c.Min.X, y, c.Max.X, y)
		}
	}
}

// A curve is a line through points, broken where y is NaN.
type curve struct {
	x, y  []float64
	style draw.LineStyle
}

// Plot implements plot.Plotter.
func (l curve) Plot(c draw.Canvas, p *plot.Plot) {
	for _, s := range stretches(l.y) {
		points := make([]vg.Point, 0, s.to-s.from)
		for i := s.from; i < s.to; i++ {
			points = append(points, vg.Point{X: c.X(p.X.Norm(l.x[i])), Y: c.Y(p.Y.Norm(l.y[i]))})
		}
		c.StrokeLines(l.style, c.ClipLinesXY(points)...)
	}
}

// A filledCurve is a curve that is thin and dashed where its values rest on
// markers that were not seen, and that the rod fills.
type filledCurve struct {
	curve
	filled []bool // nil for nowhere
}

// Plot implements plot.Plotter.
func (l filledCurve) Plot(c draw.Canvas, p *plot.Plot) {
	if l.filled == nil {
		l.curve.Plot(c, p)
		return
	}
	thinly := l.style
	thinly.Width, thinly.Dashes = 0.6*l.style.Width, []vg.Length{2, 2}
	for _, is := range []bool{false, true} {
		part := curve{l.x, slices.Clone(l.y), l.style}
		if is {
			part.style = thinly
		}
		for i := range part.y {
			// On to the next point of the other kind, so that nothing is torn.
			if l.filled[i] != is && (i == 0 || l.filled[i-1] != is) {
				part.y[i] = math.NaN()
			}
		}
		part.Plot(c, p)
	}
}

// A ribbon fills the area from low to high, broken where high is NaN.
type ribbon struct {
	x, low, high []float64
	look         look
}

// Plot implements plot.Plotter.
func (r ribbon) Plot(c draw.Canvas, p *plot.Plot) {
	for _, s := range stretches(r.high) {
		var points []vg.Point
		for i := s.from; i < s.to; i++ {
			points = append(points, vg.Point{X: c.X(p.X.Norm(r.x[i])), Y: c.Y(p.Y.Norm(r.high[i]))})
		}
		for i := s.to - 1; i >= s.from; i-- {
			points = append(points, vg.Point{X: c.X(p.X.Norm(r.x[i])), Y: c.Y(p.Y.Norm(r.low[i]))})
		}
		c.FillPolygon(faint(r.look.color, 0.16), c.ClipPolygonXY(points))
	}
}

// A stretch is a run of indices.
type stretch struct{ from, to int }

// stretches returns the runs of values that are not NaN.
func stretches(v []float64) []stretch {
	var all []stretch
	for i := 0; i < len(v); i++ {
		from := i
		for i < len(v) && !math.IsNaN(v[i]) {
			i++
		}
		if i > from {
			all = append(all, stretch{from, i})
		}
	}
	return all
}

// add and subtract return the sums and differences of two rows.
func add(a, b []float64) []float64 {
	sum := make([]float64, len(a))
	for i := range a {
		sum[i] = a[i] + b[i]
	}
	return sum
}

func subtract(a, b []float64) []float64 {
	diff := make([]float64, len(a))
	for i := range a {
		diff[i] = a[i] - b[i]
	}
	return diff
}

// panels returns the part that draws rows of panels over the body of a slide.
func panels(rows [][]*panel) []part {
	return []part{illustration{body, described(rows), func(c draw.Canvas) { drawPanels(c, rows) }}}
}

// described says in words what rows of panels show.
func described(rows [][]*panel) string {
	var heads []string
	for _, row := range rows {
		for _, p := range row {
			heads = append(heads, p.heading)
		}
	}
	return "Plots: " + strings.Join(heads, "; ")
}
