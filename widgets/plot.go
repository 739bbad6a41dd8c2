package widgets

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// A Plot shows curves over a common x, and may show a Map under them. The wheel
// zooms in x about the pointer, dragging with the secondary button or with
// shift moves along x, a double tap shows all; y follows what is seen. Pressing
// and dragging with the primary button moves the cursor. The key above the
// curves reads them at the cursor.
type Plot struct {
	widget.BaseWidget

	OnCursor func(x float64)        // the user moved the cursor
	OnRange  func(from, to float64) // the user zoomed, moved or reset x: NaN, NaN is all
	Format   func(y float64) string // read-out at the cursor; nil for decimals to suit the axis
	Room     fyne.Size              // left free at the top left, before the title, for what the owner puts there

	title, xLabel, yLabel string
	curves                []Curve
	marks                 []Mark
	field                 *Map
	span                  extent  // of y; NaN to follow what is seen
	cursor                float64 // NaN for none
	from, to              float64 // NaN for all

	grip   fyne.Position // where the secondary button last was
	moving bool          // the drag moves x
	drawn  *plotRenderer // nil before there is one
}

var (
	_ fyne.Draggable      = (*Plot)(nil)
	_ fyne.Scrollable     = (*Plot)(nil)
	_ fyne.DoubleTappable = (*Plot)(nil)
	_ desktop.Mouseable   = (*Plot)(nil)
	_ desktop.Hoverable   = (*Plot)(nil)
)

// NewPlot returns a plot without curves. Labels carry their unit: "lead, mm".
func NewPlot(title, xLabel, yLabel string) *Plot {
	p := &Plot{title: title, xLabel: xLabel, yLabel: yLabel, cursor: math.NaN(), from: math.NaN(), to: math.NaN(), span: extent{math.NaN(), math.NaN()}}
	p.ExtendBaseWidget(p)
	return p
}

// SetTitles replaces title and axis labels.
func (p *Plot) SetTitles(title, xLabel, yLabel string) {
	if title != p.title || xLabel != p.xLabel || yLabel != p.yLabel {
		p.title, p.xLabel, p.yLabel = title, xLabel, yLabel
		p.Refresh()
	}
}

// SetCurves shows the curves, in painting order, and keeps their slices: they
// must not change afterwards. It panics if the slices of a curve differ in
// length, x falls or only one side of a band is there.
func (p *Plot) SetCurves(curves []Curve) {
	for i := range curves {
		curves[i].check()
	}
	p.curves = curves
	p.Refresh()
}

// SetMap shows a map under the curves, nil for none, and keeps its slices: they
// must not change afterwards. It panics if they do not belong together.
func (p *Plot) SetMap(m *Map) {
	if m != nil {
		m.check()
	}
	p.field = m
	p.Refresh()
}

// SetSpan holds y to a span, whatever is seen; NaN, NaN lets it follow again.
func (p *Plot) SetSpan(low, high float64) {
	if !(low < high) {
		low, high = math.NaN(), math.NaN()
	}
	if e := (extent{low, high}); e != p.span && !(math.IsNaN(low) && math.IsNaN(p.span.lo)) {
		p.span = e
		p.Refresh()
	}
}

// SetMarks shows vertical marks. Of two labels that would touch, the later in
// marks is left out.
func (p *Plot) SetMarks(marks []Mark) {
	p.marks = marks
	p.Refresh()
}

// SetCursor moves the cursor to x; NaN takes it away. The curves are not drawn
// again.
func (p *Plot) SetCursor(x float64) {
	if x == p.cursor || math.IsNaN(x) && math.IsNaN(p.cursor) {
		return
	}
	came := math.IsNaN(x) != math.IsNaN(p.cursor)
	p.cursor = x
	switch {
	case p.drawn == nil:
	case came: // the key needs room for read-outs, or no longer
		p.Refresh()
	default:
		p.drawn.point()
	}
}

// Cursor returns where the cursor is, NaN if there is none.
func (p *Plot) Cursor() float64 { return p.cursor }

// SetRange shows x from one value to a greater one; NaN, NaN shows all.
func (p *Plot) SetRange(from, to float64) {
	if !(from < to) {
		from, to = math.NaN(), math.NaN()
	}
	if from == p.from && to == p.to || math.IsNaN(from) && math.IsNaN(p.from) {
		return
	}
	p.from, p.to = from, to
	p.Refresh()
}

// Range returns the ends of x shown.
func (p *Plot) Range() (from, to float64) {
	e := p.seen()
	return e.lo, e.hi
}

// bare reports whether there is nothing to show, and so nothing to measure.
func (p *Plot) bare() bool { return len(p.curves) == 0 && p.field == nil }

// all returns the extent of x over all curves.
func (p *Plot) all() extent {
	e := nowhere
	for _, c := range p.curves {
		for _, x := range c.X {
			e = e.with(x)
		}
	}
	if m := p.field; m != nil {
		e = e.with(m.X[0]).with(m.X[len(m.X)-1])
	}
	return e.roomy(0)
}

// seen returns the extent of x shown.
func (p *Plot) seen() extent {
	if math.IsNaN(p.from) {
		return p.all()
	}
	return extent{p.from, p.to}
}

// values returns the extent of y over the x shown, bands included.
func (p *Plot) values(x extent) extent {
	if !math.IsNaN(p.span.lo) {
		return p.span
	}
	if m := p.field; m != nil {
		return extent{m.Y[0], m.Y[len(m.Y)-1]}
	}
	e := nowhere
	for i := range p.curves {
		c := &p.curves[i]
		e = e.with(c.at(x.lo)).with(c.at(x.hi))
		from, to := c.window(x)
		for j := from; j < to; j++ {
			if !x.has(c.X[j]) {
				continue
			}
			e = e.with(c.Y[j])
			if c.Low != nil {
				e = e.with(c.Low[j]).with(c.High[j])
			}
		}
	}
	return e.roomy(0.06)
}

// show takes an extent of x from a gesture. It stays within the curves, no
// narrower than a thousandth of them.
func (p *Plot) show(e extent) {
	all := p.all()
	whole := all.hi - all.lo
	length := math.Max(whole/1000, e.hi-e.lo)
	from, to := math.NaN(), math.NaN()
	if length < whole {
		from = math.Max(all.lo, math.Min(all.hi-length, e.lo))
		to = from + length
	}
	before := [2]float64{p.from, p.to}
	p.SetRange(from, to)
	changed := before[0] != p.from && !(math.IsNaN(before[0]) && math.IsNaN(p.from)) || before[1] != p.to && !(math.IsNaN(before[1]) && math.IsNaN(p.to))
	if changed && p.OnRange != nil {
		p.OnRange(from, to)
	}
}

// pointAt takes the cursor from a gesture at a place in the widget.
func (p *Plot) pointAt(pos fyne.Position) {
	if p.drawn == nil || p.drawn.raster.Size().Width <= 0 {
		return
	}
	x := p.seen().hold(p.drawn.xAt(pos.X))
	if x == p.cursor {
		return
	}
	p.SetCursor(x)
	if p.OnCursor != nil {
		p.OnCursor(x)
	}
}

// slide moves x by a distance on the screen.
func (p *Plot) slide(dx float32) {
	if p.drawn == nil || p.drawn.raster.Size().Width <= 0 {
		return
	}
	e := p.seen()
	d := float64(dx/p.drawn.raster.Size().Width) * (e.hi - e.lo)
	p.show(extent{e.lo - d, e.hi - d})
}

// Dragged is part of fyne.Draggable.
func (p *Plot) Dragged(e *fyne.DragEvent) {
	if p.moving {
		p.slide(e.Dragged.DX)
		return
	}
	p.pointAt(e.Position)
}

// DragEnd is part of fyne.Draggable.
func (p *Plot) DragEnd() { p.moving = false }

// MouseDown is part of desktop.Mouseable.
func (p *Plot) MouseDown(e *desktop.MouseEvent) {
	p.moving = e.Button != desktop.MouseButtonPrimary || e.Modifier&fyne.KeyModifierShift != 0
	p.grip = e.Position
	if !p.moving && p.drawn != nil && p.drawn.inside(e.Position) {
		p.pointAt(e.Position)
	}
}

// MouseUp is part of desktop.Mouseable.
func (p *Plot) MouseUp(*desktop.MouseEvent) { p.moving = false }

// MouseIn is part of desktop.Hoverable.
func (p *Plot) MouseIn(*desktop.MouseEvent) {}

// MouseMoved is part of desktop.Hoverable. Fyne sends no drag for the secondary
// button, but moves with the button in them.
func (p *Plot) MouseMoved(e *desktop.MouseEvent) {
	if e.Button == desktop.MouseButtonSecondary && p.moving {
		p.slide(e.Position.X - p.grip.X)
		p.grip = e.Position
	}
}

// MouseOut is part of desktop.Hoverable.
func (p *Plot) MouseOut() {}

// Scrolled is part of fyne.Scrollable.
func (p *Plot) Scrolled(e *fyne.ScrollEvent) {
	if p.drawn == nil || p.drawn.raster.Size().Width <= 0 {
		return
	}
	x, seen, factor := p.drawn.xAt(e.Position.X), p.seen(), zoomOf(e)
	x = seen.hold(x)
	p.show(extent{x - (x-seen.lo)/factor, x + (seen.hi-x)/factor})
}

// DoubleTapped is part of fyne.DoubleTappable.
func (p *Plot) DoubleTapped(*fyne.PointEvent) { p.show(p.all()) }
