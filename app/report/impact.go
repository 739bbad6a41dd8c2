package report

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// impact is the table of values at impact.
func (m *material) impact() []Slide {
	if len(m.shown) == 0 {
		return nil
	}
	if m.c == nil {
		return m.impactAlone()
	}
	t := m.differences("At impact", m.c.Measures)
	return t.slides(Slide{Title: verdict(m.c.Measures, "At impact"), Subtitle: m.counts()})
}

// loadingTable is the table of how the shafts are loaded and released.
func (m *material) loadingTable() []Slide {
	if m.c == nil || len(m.c.Peaks) == 0 || len(m.shown) == 0 {
		return nil
	}
	t := m.differences("In the downswing", m.c.Peaks)
	return t.slides(Slide{Title: verdict(m.c.Peaks, "In loading and release"), Subtitle: m.counts()})
}

// differences is a table of measures that are judged together.
func (m *material) differences(when string, measures []study.Difference) *table {
	names := m.clubLabels()
	t := &table{columns: []column{
		{head: when, words: true, lines: 3},
		{head: "Unit", words: true},
		{head: m.starred(m.c.Baseline), heads: &names, unit: "mean ± SD"},
		{head: m.starred(m.c.Prototype), heads: &names, unit: "mean ± SD"},
		{head: "Difference"},
		{head: "95\u00a0% interval"},
		{head: "", room: 95},
		{head: "p"},
		{head: "p", unit: "Holm"},
		{head: "Run u95", unit: "typical"},
	}}
	for _, d := range measures {
		k := d.Measure.Digits
		loud := usual
		if d.Resolved() {
			loud = strong
		}
		interval := absent
		if known(d) {
			interval = m.span(d.Low, d.High, k)
		}
		sign, _ := unit(d.Measure)
		t.rows = append(t.rows, []cell{
			{text: d.Measure.Label, tone: loud},
			words(sign),
			{text: m.plusMinus(d.Baseline.Mean, d.Baseline.SD, k)},
			{text: m.plusMinus(d.Prototype.Mean, d.Prototype.SD, k)},
			{text: m.signed(d.Value, k), tone: loud},
			{text: interval, tone: loud},
			{draw: func(c draw.Canvas) { drawInterval(c, d) }, alt: "difference and interval of " + strings.ToLower(d.Measure.Label)},
			{text: m.probability(d.P)},
			{text: m.probability(d.Holm)},
			{text: m.number(m.typicalU95(d.Measure), k)},
		})
	}
	over := "over runs of one player; differences by Welch’s t"
	if m.c.Design == study.ManyPlayer {
		over = "over the players’ own means; differences by paired t, each player a block"
	}
	t.note = "Difference is prototype minus baseline. Means and SD " + over +
		". Bold: the interval leaves out zero. The title counts those that do so with p, Holm below " + m.number(significant, 2) + ". The bars show difference and interval about zero, each row on its own scale. Holm: p adjusted for the number of measures in the table." +
		" Run u95: half width of the 95\u00a0% interval of one run’s value, median of the runs."
	t.note += m.sharedNote(measures) + m.sameness(measures) + unknownIntervals(measures)
	return t
}

// sharedNote says how far what all runs of a club share goes into the intervals.
func (m *material) sharedNote(measures []study.Difference) string {
	var by []string
	for _, d := range measures {
		if u := d.SharedU95(); u > 0 && known(d) {
			_, suffix := unit(d.Measure)
			by = append(by, strings.ToLower(d.Measure.Label)+" ±"+m.number(u, d.Measure.Digits+1)+suffix)
		}
	}
	if by == nil {
		return ""
	}
	return " Interval and p count what all runs of a club share, the errors of its reference and its stiffness: " + list(by) + "."
}

// unknownIntervals says why intervals are missing.
func unknownIntervals(measures []study.Difference) string {
	var note string
	var said []string
	for _, d := range measures {
		if d.Why != "" && !slices.Contains(said, d.Why) {
			said = append(said, d.Why)
			note += " No interval: " + strings.TrimPrefix(d.Why, "contrast: ") + "."
		}
	}
	return note
}

// counts says how many runs and players each side has.
func (m *material) counts() string {
	s := ""
	for i, g := range m.shown {
		if i > 0 {
			s += "; "
		}
		s += m.shortClub(sans(leadSize, muted), g.club.ID, 220) + ": " + g.note()
	}
	return s
}

// impactAlone is the table without a comparison: a column for each club.
func (m *material) impactAlone() []Slide {
	names := m.clubLabels()
	t := &table{columns: []column{{head: "At impact", words: true}, {head: "Unit", words: true}}}
	for _, g := range m.shown {
		t.columns = append(t.columns, column{head: m.starred(g.club.ID), heads: &names, unit: count(len(g.runs), "run")})
	}
	t.columns = append(t.columns, column{head: "Run u95", unit: "typical"})
	for _, me := range study.Measures {
		sign, _ := unit(me)
		row := []cell{words(me.Label), words(sign)}
		for _, g := range m.shown {
			mean, sd := g.mean(1, atImpact(me))
			row = append(row, cell{text: m.plusMinus(mean[0], sd[0], me.Digits)})
		}
		t.rows = append(t.rows, append(row, cell{text: m.number(m.typicalU95(me), me.Digits)}))
	}
	t.note = "Mean ± SD of the runs, of the players' means where a club has several players. Run u95: half width of the 95\u00a0% interval of one run’s value, median of the runs."
	return t.slides(Slide{Title: "Values at impact", Subtitle: "Nothing is compared"})
}

// typicalU95 returns the median uncertainty of the runs shown, in the measure's
// own unit.
func (m *material) typicalU95(me study.Measure) float64 {
	var u []float64
	for _, g := range m.shown {
		for _, r := range g.runs {
			if v := me.AtImpact(r.Swing).U95; !math.IsNaN(v) {
				u = append(u, v*me.Scale)
			}
		}
	}
	if len(u) == 0 {
		return math.NaN()
	}
	return median(u)
}

// median returns the median of some values; it sorts them.
func median(v []float64) float64 {
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// drawInterval draws a difference with its interval about a zero line in the
// middle, scaled to fill the box.
func drawInterval(c draw.Canvas, d study.Difference) {
	mid := c.Center()
	c.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.75}, mid.X, c.Min.Y, mid.X, c.Max.Y)
	if !known(d) {
		return
	}
	reach := math.Max(math.Abs(d.Low), math.Abs(d.High))
	if reach == 0 {
		reach = 1
	}
	at := func(v float64) vg.Length { return mid.X + vg.Length(v/reach)*(c.Max.X-mid.X-6) }
	color := muted
	if d.Resolved() {
		color = ink
	}
	c.StrokeLine2(draw.LineStyle{Color: color, Width: 2}, at(d.Low), mid.Y, at(d.High), mid.Y)
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: color, Radius: 4, Shape: draw.CircleGlyph{}}, vg.Point{X: at(d.Value), Y: mid.Y})
}
