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
	t := &table{size: 13.5, columns: []column{
		{head: "At impact", words: true},
		{head: "Unit", words: true},
		{head: m.shortClub(bold(12.4, ink), m.c.Baseline, 140), unit: "mean ± SD"},
		{head: m.shortClub(bold(12.4, ink), m.c.Prototype, 140), unit: "mean ± SD"},
		{head: "Difference"},
		{head: "95\u00a0% interval"},
		{head: "", room: 130},
		{head: "p"},
		{head: "Run u95", unit: "typical"},
	}}
	for _, d := range m.c.Measures {
		k := d.Measure.Digits
		sty := t.style()
		if resolved(d) {
			sty = bold(t.size, ink)
		}
		interval := absent
		if known(d) {
			interval = number(d.Low, k) + " to " + number(d.High, k)
		}
		sign, _ := unit(d.Measure)
		t.rows = append(t.rows, []cell{
			{text: d.Measure.Label, ink: &sty},
			words(sign),
			{text: plusMinus(d.Baseline.Mean, d.Baseline.SD, k)},
			{text: plusMinus(d.Prototype.Mean, d.Prototype.SD, k)},
			{text: signed(d.Value, k), ink: &sty},
			{text: interval, ink: &sty},
			{draw: func(c draw.Canvas) { drawInterval(c, d) }},
			{text: probability(d.P)},
			{text: number(m.typicalU95(d.Measure), k)},
		})
	}
	over := "over runs of one player; differences by Welch's t"
	if m.c.Design == study.ManyPlayer {
		over = "over the players’ own means; differences by paired t, each player a block"
	}
	t.note = "Difference is prototype minus baseline. Means and SD " + over +
		". Bold: the interval leaves out zero. The bars show difference and interval about zero, each row on its own scale. p is not adjusted for the number of measures." +
		" Run u95: half width of the 95\u00a0% interval of one run’s value, median of the runs."
	t.note += m.unknownIntervals()
	return t.slides(Slide{Title: verdict(m.c), Subtitle: m.counts()})
}

// unknownIntervals says why intervals are missing.
func (m *material) unknownIntervals() string {
	var note string
	var said []string
	for _, d := range m.c.Measures {
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
		s += m.shortClub(sans(12.5, muted), g.club.ID, 220) + ": " + g.note()
	}
	return s
}

// impactAlone is the table without a comparison: a column for each club.
func (m *material) impactAlone() []Slide {
	t := &table{size: 13.5, columns: []column{{head: "At impact", words: true}, {head: "Unit", words: true}}}
	for _, g := range m.shown {
		t.columns = append(t.columns, column{head: m.shortClub(bold(12.4, ink), g.club.ID, 112), unit: count(len(g.runs), "run")})
	}
	t.columns = append(t.columns, column{head: "Run u95", unit: "typical"})
	for _, me := range study.Measures {
		sign, _ := unit(me)
		row := []cell{words(me.Label), words(sign)}
		for _, g := range m.shown {
			mean, sd := g.mean(1, atImpact(me))
			row = append(row, cell{text: plusMinus(mean[0], sd[0], me.Digits)})
		}
		t.rows = append(t.rows, append(row, cell{text: number(m.typicalU95(me), me.Digits)}))
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
	slices.Sort(u)
	return (u[(len(u)-1)/2] + u[len(u)/2]) / 2
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
	if resolved(d) {
		color = ink
	}
	c.StrokeLine2(draw.LineStyle{Color: color, Width: 2}, at(d.Low), mid.Y, at(d.High), mid.Y)
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: color, Radius: 4, Shape: draw.CircleGlyph{}}, vg.Point{X: at(d.Value), Y: mid.Y})
}
