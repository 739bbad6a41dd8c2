package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// A curvesPage shows where a measure differs on the way to impact, and where the
// bend at impact differs along the shaft.
type curvesPage struct {
	root             fyne.CanvasObject
	axes             *choice
	course, along    *pick // of study.Measures, of study.AlongShaft
	courses, alongs  fyne.CanvasObject
	again            *widget.Button
	means, apart, ts *widgets.Plot // of each club, of the difference, of its t
	curveWords       *widget.Label
	numbers          *widgets.ValueTable // what the plots draw, to copy
}

// axisNames name the axes of curves.
var axisNames = map[study.Axis]string{
	study.ToImpact: "time to impact", study.Downswing: "% of the downswing", study.Station: "along the shaft at impact",
}

func newCurvesPage(w *Window) *curvesPage {
	c := &curvesPage{curveWords: newWords(""), numbers: widgets.NewValueTable(),
		means: widgets.NewPlot("", "", ""), apart: widgets.NewPlot("", "", ""), ts: widgets.NewPlot("", "", "")}
	var names []string
	for _, a := range study.Axes {
		names = append(names, capital(axisNames[a]))
	}
	c.axes = newChoice(names, func(i int) { w.store.Do(TurnAxis{i}) })
	c.course = newPick(w, labelsOf(study.Measures), func(i int) { w.store.Do(CompareMeasure{study.Measures[i].Key}) })
	c.along = newPick(w, labelsOf(study.AlongShaft), func(i int) { w.store.Do(LookAlong{i}) })
	c.courses, c.alongs = wide(c.course, 260), wide(c.along, 260)
	c.again = widget.NewButton("Compare the curves", w.compareCurves)
	plots := []*widgets.Plot{c.means, c.apart, c.ts}
	for _, p := range plots { // what one is asked, all show
		p.OnCursor = func(x float64) {
			for _, o := range plots {
				o.SetCursor(x)
			}
		}
		p.OnRange = func(from, to float64) {
			for _, o := range plots {
				o.SetRange(from, to)
			}
		}
	}
	copied := w.copyButton("Copy", c.numbers.Text, "The curves are on the clipboard, with tabs between the columns.")
	head := container.NewHBox(c.axes.root, container.NewStack(c.courses, c.alongs), copied, c.again)
	left, right := container.NewVSplit(c.means, c.apart), container.NewVSplit(c.ts, container.NewVScroll(c.curveWords))
	both := container.NewHSplit(left, right)
	both.Offset = 0.55
	c.root = container.NewBorder(head, nil, nil, nil, both)
	return c
}

func (c *curvesPage) object() fyne.CanvasObject { return c.root }

func (c *curvesPage) present(s State, cmp *study.Comparison) {
	axis := study.Axes[s.Axis]
	c.axes.set(s.Axis)
	c.course.set(slices.IndexFunc(study.Measures, func(m study.Measure) bool { return m.Key == s.measure().Key }))
	c.along.set(s.Along)
	show(c.courses, axis != study.Station)
	show(c.alongs, axis == study.Station)
	found := s.curves()
	show(c.again, found == nil && s.Comparison != nil && s.Job.Title == "")
	m := s.measure()
	if axis == study.Station {
		m = study.AlongShaft[s.Along]
	}
	d, ok := found.of(axis, m)
	switch {
	case cmp == nil:
		c.curveWords.SetText("")
	case found == nil && s.Job.Title != "":
		c.curveWords.SetText("The curves follow.")
	case found == nil:
		c.curveWords.SetText("The curves are not compared yet.")
	case found.Err != nil:
		c.curveWords.SetText(sentence(found.Err))
	case len(found.Along[axis]) == 0:
		c.curveWords.SetText("Some runs have no bend along the shaft, so it cannot be compared.")
	case !ok:
		c.curveWords.SetText(m.Label + " is one number a run and has no course.\n" + curveWords(found.Along[axis]))
	default:
		c.curveWords.SetText(thresholdWords(d) + "\n" + curveWords(found.Along[axis]))
	}
	c.draw(axis, m, d, ok)
}

// of returns the curve of a measure over an axis; ok is false where there is
// none.
func (c *CurvesFound) of(axis study.Axis, m study.Measure) (d study.CurveDifference, ok bool) {
	if c == nil {
		return d, false
	}
	list := c.Along[axis]
	i := slices.IndexFunc(list, func(d study.CurveDifference) bool { return d.Measure.Key == m.Key })
	if i < 0 {
		return d, false
	}
	return list[i], true
}

// shownAxis returns the axis as it is shown: its label and its values.
func shownAxis(axis study.Axis, x []float64) (label string, shown []float64) {
	switch axis {
	case study.Downswing:
		return "% of the downswing, top to impact", x
	case study.Station:
		return "mm from the butt end", x
	}
	ms := make([]float64, len(x))
	for i, s := range x {
		ms[i] = s * 1e3
	}
	return "ms to impact", ms
}

// draw shows the curves of a difference, or none.
func (c *curvesPage) draw(axis study.Axis, m study.Measure, d study.CurveDifference, ok bool) {
	plots := []*widgets.Plot{c.means, c.apart, c.ts}
	label, x := shownAxis(axis, d.Baseline.X)
	c.means.SetTitles(m.Label+", mean ± SD", label, m.Unit)
	c.apart.SetTitles("Prototype minus baseline", label, m.Unit)
	v := d.Told()
	whose := ""
	if v.About == study.Narrow {
		whose = ", " + v.About
	}
	c.ts.SetTitles("t of the difference"+whose, label, "")
	for _, p := range plots {
		if from, to := p.Range(); !ok || len(x) == 0 || from < x[0] || to > x[len(x)-1] {
			p.SetRange(math.NaN(), math.NaN())
			p.SetCursor(math.NaN())
		}
	}
	if !ok {
		for _, p := range plots {
			p.SetCurves(nil)
		}
		c.numbers.SetHeader("")
		c.numbers.SetRows(nil)
		return
	}
	third, _ := widgets.Style(3)
	c.means.SetCurves([]widgets.Curve{
		{Label: "baseline", X: x, Y: d.Baseline.Mean, Low: d.Baseline.Low, High: d.Baseline.High},
		{Label: "prototype", X: x, Y: d.Prototype.Mean, Low: d.Prototype.Low, High: d.Prototype.High, Dash: widgets.Dashed},
	})
	c.apart.SetCurves([]widgets.Curve{{Label: "difference, 95 % band for the whole curve", X: x, Y: v.Value, Low: v.Low, High: v.High, Color: third}})
	c.ts.SetCurves(tCurves(x, v))
	header, rows := curveNumbers(label, x, d)
	c.numbers.SetHeader(header...)
	c.numbers.SetRows(rows)
}

// tCurves returns t with its thresholds. What is beyond that of permutation is
// shaded: there the clubs differ. A threshold of random fields far above all else
// is left to the words.
func tCurves(x []float64, d study.CurveView) []widgets.Curve {
	level := func(v float64) []float64 { return slices.Repeat([]float64{v}, len(x)) }
	third, _ := widgets.Style(3)
	first, _ := widgets.Style(0)
	second, _ := widgets.Style(2)
	curves := []widgets.Curve{{Label: "t", X: x, Y: d.T, Color: third}}
	if v := d.Threshold; !math.IsNaN(v) {
		t := &curves[0]
		t.Low, t.High = level(math.NaN()), level(math.NaN())
		for i := range x {
			switch {
			case d.T[i] > v:
				t.Low[i], t.High[i] = v, d.T[i]
			case d.T[i] < -v:
				t.Low[i], t.High[i] = d.T[i], -v
			}
		}
		curves = append(curves,
			widgets.Curve{Label: "threshold by permutation", X: x, Y: level(v), Color: first, Dash: widgets.Dashed},
			widgets.Curve{X: x, Y: level(-v), Color: first, Dash: widgets.Dashed})
	}
	most := math.Max(d.Threshold, 3) // NaN stays
	for _, t := range d.T {
		if math.Abs(t) > most || math.IsNaN(most) {
			most = math.Abs(t)
		}
	}
	if v := d.Field; v < 2*most {
		curves = append(curves,
			widgets.Curve{Label: "by random fields", X: x, Y: level(v), Color: second, Dash: widgets.Dotted},
			widgets.Curve{X: x, Y: level(-v), Color: second, Dash: widgets.Dotted})
	}
	return curves
}

// curveNumbers returns a difference of curves as a table.
func curveNumbers(label string, x []float64, d study.CurveDifference) (header []string, rows []widgets.Row) {
	n := d.Measure.Digits + 1
	header = []string{label, "baseline mean, " + d.Measure.Unit, "SD", "prototype mean, " + d.Measure.Unit, "SD",
		"difference, " + d.Measure.Unit, "band, low", "band, high", "t"}
	v := d.Told()
	for i := range x {
		sd := func(s study.CurveSet) string { return decimal((s.High[i]-s.Low[i])/2, n) }
		rows = append(rows, widgets.Row{Cells: []string{decimal(x[i], 0), decimal(d.Baseline.Mean[i], n), sd(d.Baseline), decimal(d.Prototype.Mean[i], n), sd(d.Prototype),
			decimal(v.Value[i], n), decimal(v.Low[i], n), decimal(v.High[i], n), decimal(v.T[i], 2)}})
	}
	return header, rows
}

// curveWords says where the curves differ, a line each.
func curveWords(curves []study.CurveDifference) string {
	var lines []string
	for _, d := range curves {
		lines = append(lines, d.Words())
	}
	return strings.Join(lines, "\n")
}

// thresholdWords says what |t| must pass for a curve to differ.
func thresholdWords(d study.CurveDifference) string {
	what, v := strings.ToLower(d.Measure.Label), d.Told()
	field := "random field theory gives none"
	if !math.IsNaN(v.Field) {
		field = "random field theory gives " + decimal(v.Field, 2)
	}
	if math.IsNaN(v.Threshold) {
		return fmt.Sprintf("So few curves of %s give no threshold by permutation; %s.", what, field)
	}
	how := fmt.Sprintf("%d relabellings drawn", v.Ways)
	if v.Exact {
		how = fmt.Sprintf("all %d relabellings", v.Ways)
	}
	text := fmt.Sprintf("Where |t| passes %s, %s differs: chance passes it anywhere along the curve once in twenty (%s); %s.", decimal(v.Threshold, 2), what, how, field)
	if v.About == study.Narrow {
		text += " So few players do not tell about others like them: runs were dealt anew within each player, which tells about these."
	}
	return text
}

// sideBySide gives what is shown of its objects an equal part of the width.
type sideBySide struct{}

func (sideBySide) MinSize(objects []fyne.CanvasObject) (size fyne.Size) {
	for _, o := range objects {
		if o.Visible() {
			size = fyne.NewSize(size.Width+o.MinSize().Width, max(size.Height, o.MinSize().Height))
		}
	}
	return size
}

func (sideBySide) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	shown := slices.DeleteFunc(slices.Clone(objects), func(o fyne.CanvasObject) bool { return !o.Visible() })
	width := size.Width / float32(len(shown))
	for i, o := range shown {
		o.Move(fyne.NewPos(float32(i)*width, 0))
		o.Resize(fyne.NewSize(width, size.Height))
	}
}
