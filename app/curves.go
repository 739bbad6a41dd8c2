package app

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// shownCurves is how many of the measures are drawn as curves: lead, droop and
// twist.
const shownCurves = 3

// milli takes the common time, s, to the curves' axis, ms.
const milli = 1e3

// curves are the plots under the panes.
type curves struct {
	root  fyne.CanvasObject
	plots []*widgets.Plot
	drawn []*kinematics.Swing
	align Align
}

func newCurves(w *Window) *curves {
	c := &curves{}
	row := container.NewGridWithColumns(shownCurves)
	for _, m := range study.Measures[:shownCurves] {
		p := widgets.NewPlot(m.Label, "", m.Unit)
		p.Format = func(y float64) string { return decimal(y, m.Digits) }
		p.OnCursor = func(x float64) { w.store.Do(Seek{x / milli}) }
		p.OnRange = func(from, to float64) { w.store.Do(SetZoom{zoomOf(from, to)}) }
		c.plots = append(c.plots, p)
		row.Add(p)
	}
	c.root = row
	return c
}

// zoomOf returns the zoom of a plot's range; NaN stands for all.
func zoomOf(from, to float64) Zoom {
	if !(from < to) {
		return wholeSwing
	}
	return Zoom{from / milli, to / milli}
}

func (c *curves) present(s State) {
	swings := make([]*kinematics.Swing, len(s.Panes)) // nil where a pane has no curve
	for i, id := range s.Panes {
		swings[i] = s.Swing(id)
	}
	if !slices.Equal(swings, c.drawn) || s.Align != c.align {
		c.drawn, c.align = swings, s.Align
		c.draw(s)
	}
	zoom := s.zoomed()
	for _, p := range c.plots {
		p.SetRange(zoom.From*milli, zoom.To*milli)
		p.SetCursor(s.Time * milli)
	}
}

// draw sets curves and marks anew.
func (c *curves) draw(s State) {
	event := "impact"
	if s.Align == AlignTop {
		event = "top"
	}
	for k, m := range study.Measures[:shownCurves] {
		var list []widgets.Curve
		for i, sw := range c.drawn {
			if sw == nil {
				continue
			}
			origin, ok := s.event(sw)
			if !ok {
				continue
			}
			series := m.Series(sw)
			curve := widgets.Curve{Label: s.Panes[i], Color: widgets.Palette[i]}
			for f, v := range series.Value {
				v, u := v*m.Scale, series.U95[f]*m.Scale
				curve.X = append(curve.X, (sw.Time(f)-origin)*milli)
				curve.Y = append(curve.Y, v)
				curve.Low = append(curve.Low, v-u)
				curve.High = append(curve.High, v+u)
			}
			list = append(list, curve)
		}
		p := c.plots[k]
		p.SetTitles(m.Label, "time from "+event+", ms", m.Unit)
		p.SetCurves(list)
		p.SetMarks(marks(s, milli))
	}
}
