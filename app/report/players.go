package report

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// byPlayer sets each player's own difference beside the one over all players.
func (m *material) byPlayer() []Slide {
	if m.c == nil || m.c.Design != study.ManyPlayer || len(m.c.Measures) < 3 {
		return nil
	}
	var row []*panel
	for i, d := range m.c.Measures[:3] {
		if len(d.ByPlayer) == 0 {
			return nil
		}
		row = append(row, m.forest(d, i == 0))
	}
	sub := "Dots: difference of the player’s means. Bars: 95\u00a0% interval. Last row: all players, paired t. Dark: the interval leaves out zero."
	rows := [][]*panel{row}
	box := body
	// Few rows need not fill the slide.
	box.Min.Y = max(box.Min.Y, box.Max.Y-headingHeight-30-52*vg.Length(len(m.c.Measures[0].ByPlayer)+2))
	return []Slide{{Title: "Difference at impact, player by player", Subtitle: sub,
		parts: []part{illustration{box, described(rows), func(c draw.Canvas) { drawPanels(c, rows) }}}}}
}

// forest draws one measure's differences, a row each, top to bottom.
func (m *material) forest(d study.Difference, named bool) *panel {
	n := len(d.ByPlayer)
	rows := make([]interval, 0, n+1)
	rowNames := make(names, n+1)
	sty := sans(labelSize, muted)
	for i, b := range d.ByPlayer {
		rows = append(rows, interval{b.Value, b.Low, b.High, float64(n - i), false})
		rowNames[n-i] = visual(m.playerLabels().short(sty, playerName(m.study, b.Player), 120))
	}
	rows = append(rows, interval{d.Value, d.Low, d.High, 0, true})
	rowNames[0] = "All players"
	if !named {
		for i := range rowNames {
			rowNames[i] = " "
		}
	}
	p := m.newPanel(heading(d.Measure), "prototype minus baseline", "")
	p.Y.Min, p.Y.Max, p.Y.Tick.Marker = -0.7, float64(n)+0.7, rowNames
	values := []float64{0}
	for _, r := range rows {
		values = append(values, r.value, r.low, r.high)
	}
	lo, hi := extent(values)
	p.X.Min, p.X.Max, p.X.Tick.Marker = m.round(lo, hi, 4)
	for i := range rows {
		p.Add(rows[i])
	}
	return p
}

// An interval is one row of a forest.
type interval struct {
	value, low, high, y float64
	whole               bool // the row of all players
}

// Plot implements plot.Plotter.
func (r interval) Plot(c draw.Canvas, p *plot.Plot) {
	y := c.Y(p.Y.Norm(r.y))
	zero := c.X(p.X.Norm(0))
	if r.whole {
		c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.75}, c.Min.X, c.Y(p.Y.Norm(0.5)), c.Max.X, c.Y(p.Y.Norm(0.5)))
		c.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.9}, zero, c.Min.Y, zero, c.Max.Y)
	}
	if math.IsNaN(r.value) {
		return
	}
	color, wide, glyph := muted, vg.Length(1.5), draw.GlyphStyle{Color: muted, Radius: 3.5, Shape: draw.CircleGlyph{}}
	if r.whole {
		wide, glyph.Shape, glyph.Radius = 3, diamond{}, 6
	}
	if r.low > 0 || r.high < 0 {
		color = ink
	}
	glyph.Color = color
	if !math.IsNaN(r.low + r.high) {
		c.StrokeLine2(draw.LineStyle{Color: color, Width: wide}, c.X(p.X.Norm(r.low)), y, c.X(p.X.Norm(r.high)), y)
	}
	c.DrawGlyphNoClip(glyph, vg.Point{X: c.X(p.X.Norm(r.value)), Y: y})
}

// strips shows each run's values at impact by player and club.
func (m *material) strips() []Slide {
	if len(m.all) == 0 {
		return nil
	}
	var players []string
	for _, g := range m.all {
		for _, id := range g.players() {
			if !slices.Contains(players, id) {
				players = append(players, id)
			}
		}
	}
	// Players in the study's order.
	place := func(id string) int {
		return slices.IndexFunc(m.study.Players, func(p study.Player) bool { return p.ID == id })
	}
	slices.SortStableFunc(players, func(a, b string) int { return place(a) - place(b) })

	sty := sans(labelSize, muted)
	under := make(names, len(players))
	for i, id := range players {
		under[i] = visual(m.playerLabels().short(sty, playerName(m.study, id), 780/vg.Length(len(players))-10))
	}
	var rows [][]*panel
	for i, me := range deflections() {
		p := m.newPanel(heading(me), "", "")
		p.X.Min, p.X.Max = -0.5, float64(len(players))-0.5
		p.X.Tick.Marker = under
		if i < len(deflections())-1 {
			p.X.Tick.Marker = names{}
		}
		s := strip{players, m.all, me}
		p.span(4, s.values())
		p.Add(s)
		rows = append(rows, []*panel{p})
	}
	sub := "Dot: run, with its u95. Bar: mean of the player’s runs with the club."
	return []Slide{{Title: "Every run at impact, by player and club", Subtitle: sub, key: m.key(m.all), glyphs: true, parts: panels(rows)}}
}

// A strip draws the runs of each player and club side by side.
type strip struct {
	players []string
	groups  []group
	measure study.Measure
}

// values returns the ends of every run's interval.
func (s strip) values() []float64 {
	var v []float64
	for _, g := range s.groups {
		for _, r := range g.runs {
			e := s.measure.AtImpact(r.Swing)
			half := e.U95
			if math.IsNaN(half) {
				half = 0
			}
			v = append(v, (e.Value-half)*s.measure.Scale, (e.Value+half)*s.measure.Scale)
		}
	}
	return v
}

// Plot implements plot.Plotter.
func (s strip) Plot(c draw.Canvas, p *plot.Plot) {
	lane := (c.Max.X - c.Min.X) / vg.Length(len(s.players))
	slot := min(lane*0.86/vg.Length(len(s.groups)), 110)
	for i, id := range s.players {
		if i > 0 {
			edge := c.X(p.X.Norm(float64(i) - 0.5))
			c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.75}, edge, c.Min.Y, edge, c.Max.Y)
		}
		for k, g := range s.groups {
			mid := c.X(p.X.Norm(float64(i))) + slot*(vg.Length(k)-vg.Length(len(s.groups)-1)/2)
			s.slot(c, p, g.of(id), mid, slot)
		}
	}
}

// slot draws the runs of one player with one club around mid.
func (s strip) slot(c draw.Canvas, p *plot.Plot, g group, mid, wide vg.Length) {
	if len(g.runs) == 0 {
		return
	}
	step := min(wide*0.8/vg.Length(len(g.runs)), 12)
	radius := min(3.2, max(1.6, step*0.4))
	y := func(v float64) vg.Length { return c.Y(p.Y.Norm(v)) }
	for i, r := range g.runs {
		e := s.measure.AtImpact(r.Swing)
		v, u := e.Value*s.measure.Scale, e.U95*s.measure.Scale
		if math.IsNaN(v) {
			continue
		}
		x := mid + step*(vg.Length(i)-vg.Length(len(g.runs)-1)/2)
		if !math.IsNaN(u) {
			c.StrokeLine2(draw.LineStyle{Color: faint(g.look.color, 0.5), Width: 0.9}, x, y(v-u), x, y(v+u))
		}
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: g.look.color, Radius: radius, Shape: g.look.glyph}, vg.Point{X: x, Y: y(v)})
	}
	mean, _ := g.mean(1, atImpact(s.measure))
	if !math.IsNaN(mean[0]) {
		half := max(step*vg.Length(len(g.runs))/2, 4)
		c.StrokeLine2(draw.LineStyle{Color: g.look.color, Width: 1.6}, mid-half, y(mean[0]), mid+half, y(mean[0]))
	}
}
