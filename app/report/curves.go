package report

import (
	"context"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// fewRuns is how many runs may each have a thin line of their own.
const fewRuns = 24

// curves are lead, droop and twist up to impact, with the differences beneath.
func (m *material) curves(ctx context.Context) ([]Slide, error) {
	if len(m.shown) == 0 {
		return nil, nil
	}
	rows := [][]*panel{nil}
	compare := m.c != nil && len(m.shown) == 2
	for _, me := range deflections() {
		rows[0] = append(rows[0], m.curvePanel(me, !compare))
	}
	var t telling
	if compare {
		curves, err := m.c.Curves(ctx, study.ToImpact, nil)
		if err != nil {
			return nil, err
		}
		curves = curves[:len(deflections())]
		rows = append(rows, nil)
		for _, d := range curves {
			rows[1] = append(rows[1], m.differencePanel(d))
		}
		t = tell(curves)
	}
	sub := band(m.shown)
	if m.few() {
		sub += " Thin: runs."
	}
	if m.anyFilled() {
		sub += " Thin dashes: markers hidden."
	}
	return []Slide{{Title: t.title("On the way to impact ", "Lead, droop and twist up to impact"), Subtitle: sub + t.key(), key: m.key(m.shown), parts: panels(rows)}}, nil
}

// few reports whether the runs shown are few enough to draw each.
func (m *material) few() bool {
	n := 0
	for _, g := range m.shown {
		n += len(g.runs)
	}
	return n <= fewRuns
}

// anyFilled reports whether a curve that is drawn rests somewhere on markers that
// the rod fills.
func (m *material) anyFilled() bool {
	filled := func(runs []*study.Result) bool { return study.MeanCurve(runs, study.Measures[0]).Filled != nil }
	for _, g := range m.shown {
		if filled(g.runs) {
			return true
		}
		for _, r := range g.runs {
			if m.few() && filled([]*study.Result{r}) {
				return true
			}
		}
	}
	return false
}

func (m *material) curvePanel(me study.Measure, labelled bool) *panel {
	p := m.timePanel(heading(me), sense(me), labelled)
	var all [][]float64
	if m.few() {
		for _, g := range m.shown {
			for _, r := range g.runs {
				c := study.MeanCurve([]*study.Result{r}, me)
				p.Add(filledCurve{curve{milliseconds(c.X), c.Mean, draw.LineStyle{Color: faint(g.look.color, 0.4), Width: 0.6}}, c.Filled})
				all = append(all, c.Mean)
			}
		}
	}
	means := make([]filledCurve, len(m.shown))
	for i, g := range m.shown {
		c := study.MeanCurve(g.runs, me)
		p.Add(ribbon{milliseconds(c.X), c.Low, c.High, g.look})
		means[i] = filledCurve{curve{milliseconds(c.X), c.Mean, g.look.line(2)}, c.Filled}
		all = append(all, c.Mean, c.Low, c.High)
	}
	for _, c := range means {
		p.Add(c)
	}
	p.span(5, all...)
	return p
}

// differencePanel draws prototype minus baseline: each player, the mean, and
// where the curves differ.
func (m *material) differencePanel(d study.CurveDifference) *panel {
	p := m.timePanel(heading(d.Measure)+": difference", "", true)
	base, proto := m.shown[0], m.shown[1]
	t := milliseconds(d.Baseline.X)
	mean := subtract(d.Prototype.Mean, d.Baseline.Mean)
	all := [][]float64{mean, {0}}
	var thin []curve
	if players := base.players(); len(players) > 1 {
		p.remark = "thin: players"
		for _, id := range players {
			y := subtract(study.MeanCurve(proto.of(id).runs, d.Measure).Mean, study.MeanCurve(base.of(id).runs, d.Measure).Mean)
			thin = append(thin, curve{t, y, draw.LineStyle{Color: faint(ink, 0.4), Width: 0.6}})
			all = append(all, y)
		}
	}
	all = append(all, p.told(t, d.Told(), 1e3)...)
	for _, c := range thin {
		p.Add(c)
	}
	p.Add(curve{t, mean, draw.LineStyle{Color: ink, Width: 2}})
	p.span(3, all...)
	return p
}

// shadedWords says what shading means.
func shadedWords(v study.CurveView) string {
	if v.About == study.Narrow {
		return " Shaded: they differ, for these players."
	}
	return " Shaded: they differ."
}

// differs shades where two curves differ.
type differs struct {
	intervals []study.CurveInterval
	scale     float64 // from the curve's axis to that of the panel
}

// Plot implements plot.Plotter.
func (d differs) Plot(c draw.Canvas, p *plot.Plot) {
	for _, i := range d.intervals {
		// A difference at one instant is still seen.
		from, to := c.X(p.X.Norm(i.From*d.scale)), c.X(p.X.Norm(i.To*d.scale))
		wide := max(to-from, vg.Points(1.5))
		from = min(from, c.Max.X-wide)
		c.FillPolygon(faint(muted, 0.18), bar(from, c.Max.Y, wide, c.Max.Y-c.Min.Y))
	}
}

// milliseconds returns seconds in ms.
func milliseconds(s []float64) []float64 {
	ms := make([]float64, len(s))
	for i := range s {
		ms[i] = s[i] * 1e3
	}
	return ms
}

// timePanel returns an empty panel over the last 300 ms to impact.
func (f format) timePanel(head, remark string, labelled bool) *panel {
	label := ""
	if labelled {
		label = "time to impact, ms"
	}
	p := f.newPanel(head, remark, label)
	p.X.Min, p.X.Max = -300, 0
	p.X.Tick.Marker = ticks{format: f, step: 100}
	return p
}

// sense says what a positive value means.
func sense(m study.Measure) string {
	switch m.Key {
	case "lead_mm":
		return "lag below 0"
	case "droop_mm":
		return "toe-down above 0"
	case "twist_deg":
		return "closing above 0"
	}
	return ""
}
