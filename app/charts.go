package app

import (
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// milli takes the common time, s, to the curves' axis, ms.
const milli = 1e3

// charts are the plots under the panes.
type charts struct {
	root *fyne.Container
	list []*chart
}

func newCharts(w *Window) *charts {
	c := &charts{root: container.NewGridWithColumns(shownCharts)}
	for i := range shownCharts {
		ch := newChart(w, i)
		c.list = append(c.list, ch)
		c.root.Add(ch.root)
	}
	return c
}

func (c *charts) present(s State) {
	for i, ch := range c.list {
		ch.present(s, contentOf(s.Charts[i]))
	}
}

// A chart shows one content, which is chosen in its corner.
type chart struct {
	root fyne.CanvasObject
	plot *widgets.Plot
	pick *pick

	// What it was last drawn for.
	drawn   chartKey
	swings  []*kinematics.Swing // of the panes; nil where one has no curve
	frames  []int
	results []*study.Result
}

// A chartKey is what a chart depends on beside results and instant.
type chartKey struct {
	content  string
	align    Align
	grouping Grouping
	leader   *kinematics.Swing
	study    *study.Study
}

func newChart(w *Window, number int) *chart {
	c := &chart{plot: widgets.NewPlot("", "", "")}
	var names []string
	for _, o := range contents {
		names = append(names, o.name)
	}
	c.pick = newPick(w, names, func(i int) { w.store.Do(SetChart{number, contents[i].key}) })
	c.plot.Room = fyne.NewSize(150, c.pick.MinSize().Height)
	c.plot.OnCursor = func(x float64) {
		if c.overTime() {
			w.store.Do(Seek{x / milli})
		}
	}
	c.plot.OnRange = func(from, to float64) {
		if c.overTime() {
			w.store.Do(SetZoom{zoomOf(from, to)})
		}
	}
	corner := container.New(cornerLayout{c.plot.Room}, c.pick)
	c.root = container.NewStack(c.plot, corner)
	return c
}

// cornerLayout gives an object a size at the top left.
type cornerLayout struct{ size fyne.Size }

func (l cornerLayout) MinSize([]fyne.CanvasObject) fyne.Size { return l.size }

func (l cornerLayout) Layout(o []fyne.CanvasObject, _ fyne.Size) {
	o[0].Resize(l.size)
	o[0].Move(fyne.NewPos(2, 2))
}

// overTime reports whether the chart's x is the common time.
func (c *chart) overTime() bool {
	k := contentOf(c.drawn.content).kind
	return k == course || k == bendMap
}

// zoomOf returns the zoom of a plot's range; NaN stands for all.
func zoomOf(from, to float64) Zoom {
	if !(from < to) {
		return wholeSwing
	}
	return Zoom{from / milli, to / milli}
}

func (c *chart) present(s State, what content) {
	c.pick.set(slices.IndexFunc(contents, func(o content) bool { return o.key == what.key }))
	swings, frames := make([]*kinematics.Swing, len(s.Panes)), make([]int, len(s.Panes))
	for i, id := range s.Panes {
		if sw := s.Swing(id); sw != nil {
			if f, ok := s.FrameOf(sw); ok {
				swings[i], frames[i] = sw, f
			}
		}
	}
	key := chartKey{what.key, s.Align, s.Grouping, s.Swing(s.Leader()), s.Study}
	now := what.kind == curvature || what.kind == moment
	if key != c.drawn || !slices.Equal(swings, c.swings) || s.Grouping != EachRun && !slices.Equal(s.Results, c.results) ||
		now && !slices.Equal(frames, c.frames) {
		fresh := key != c.drawn || !slices.Equal(swings, c.swings)
		c.drawn, c.swings, c.frames, c.results = key, swings, frames, s.Results
		c.draw(s, what, fresh)
	}
	if now {
		c.plot.SetRange(math.NaN(), math.NaN())
		return
	}
	zoom := s.zoomed()
	c.plot.SetRange(zoom.From*milli, zoom.To*milli)
	c.plot.SetCursor(s.Time * milli)
}

// draw sets curves and marks anew. fresh is false where only the instant has
// moved on.
func (c *chart) draw(s State, what content, fresh bool) {
	switch what.kind {
	case course:
		c.plot.Format = func(y float64) string { return decimal(y, what.measure.Digits) }
		c.plot.SetSpan(math.NaN(), math.NaN())
		if s.Grouping == EachRun {
			c.show(s, what.measure.Unit, courses(s, c.swings, what.measure), nil)
		} else {
			c.show(s, what.measure.Unit+", mean ± SD", means(s, what.measure), nil)
		}
	case bendMap:
		field := mapOf(s, what.plane)
		if field == nil {
			c.show(s, "no run is shown", nil, nil)
			return
		}
		c.plot.SetSpan(math.NaN(), math.NaN())
		c.show(s, "1/m, "+s.Leader(), nil, field)
	default:
		c.along(s, what, fresh)
	}
}

// show shows curves, or a map, over the common time.
func (c *chart) show(s State, label string, list []widgets.Curve, field *widgets.Map) {
	below := "ms from " + alignNames[s.Align]
	if field != nil {
		below = "mm from the butt over " + below
	}
	c.plot.SetTitles("", below+setByHand(s.Study), label)
	c.plot.SetCurves(list)
	c.plot.SetMap(field)
	c.plot.SetMarks(marks(s, milli))
}

// paneDash returns the pattern of the curves of a pane, never the dots of what
// was not seen, so that they differ by
// more than colour.
func paneDash(slot int) widgets.Dash {
	// The palette's vermilion and orange, the nearest to each other, differ in it.
	patterns := [maxPanes]widgets.Dash{widgets.Solid, widgets.Dashed, widgets.DashDot, widgets.Dashed, widgets.Solid, widgets.DashDot}
	return patterns[slot%maxPanes]
}

// courses returns the curves of the runs side by side, each with its
// uncertainty. A curve ends at impact with the value there and begins anew with
// the first frame after it: what the ball does is not drawn into the approach.
func courses(s State, swings []*kinematics.Swing, m study.Measure) []widgets.Curve {
	var list []widgets.Curve
	for i, sw := range swings {
		if sw == nil {
			continue
		}
		origin, _ := s.event(sw)
		series := m.Series(sw)
		curve := widgets.Curve{Label: s.Panes[i], Color: widgets.Palette[i], Dash: paneDash(i)}
		add := func(at, v, u float64, f int) {
			curve.Filled = append(curve.Filled, f >= 0 && f < len(sw.Filled) && sw.Filled[f])
			curve.X, curve.Y = append(curve.X, (at-origin)*milli), append(curve.Y, v*m.Scale)
			curve.Low, curve.High = append(curve.Low, (v-u)*m.Scale), append(curve.High, (v+u)*m.Scale)
		}
		impact := sw.Impact.Value
		for f, v := range series.Value {
			if at := sw.Time(f); at >= impact {
				e := m.AtImpact(sw)
				add(impact, e.Value, e.U95, -1)
				add(impact, math.NaN(), math.NaN(), -1)
				impact = math.NaN()
			}
			add(sw.Time(f), v, series.U95[f], f)
		}
		list = append(list, curve)
	}
	return list
}

// means returns the mean course for each club, or each player with each club,
// over the runs that count, with a standard deviation on each side.
func means(s State, m study.Measure) []widgets.Curve {
	type group struct{ player, club string }
	var order []group
	runs := map[group][]*study.Result{}
	for i, r := range s.Results {
		if s.Waits(i) || !r.OK() || r.Run.Excluded != "" {
			continue
		}
		g := group{club: r.Run.Club}
		if s.Grouping == ByPlayer {
			g.player = r.Run.Player
		}
		if runs[g] == nil {
			order = append(order, g)
		}
		runs[g] = append(runs[g], r)
	}
	shift, _ := s.At(Impact) // of impact on the common time
	var list []widgets.Curve
	for i, g := range order {
		set := study.MeanCurve(runs[g], m)
		if set.N == 0 {
			continue
		}
		name := clubLabel(s.Study, g.club)
		if g.player != "" {
			name = playerLabel(s.Study, g.player) + ", " + name
		}
		color, _ := widgets.Style(i)
		curve := widgets.Curve{Label: name, Color: color, Dash: paneDash(i),
			X: make([]float64, len(set.X)), Y: set.Mean, Low: set.Low, High: set.High, Filled: set.Filled}
		for k, x := range set.X {
			curve.X[k] = (x + shift) * milli
		}
		list = append(list, curve)
	}
	return list
}
