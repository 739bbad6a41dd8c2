package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// cover is the title slide: question, answer, three figures, what was measured.
func (m *material) cover() Slide {
	return Slide{Title: m.question(m.name), cover: true, draw: m.drawCover}
}

func (m *material) drawCover(c draw.Canvas) {
	// A bar in the clubs' colours: the key of all that follows.
	x := c.Min.X
	for i := range max(1, min(len(m.shown), len(looks))) {
		c.FillPolygon(looks[i].color, bar(x, Height-46, 44, 5))
		x += 48
	}
	title := sans(15, muted)
	y := paragraph(c, title, c.Min.X, Height-78, fit(title, m.study.Title, bodyWide, 1))

	head := bold(30, ink)
	y -= 26
	y = paragraph(c, head, c.Min.X, y, m.sentence(head, m.question, bodyWide, 2))

	say := sans(20, ink)
	y -= 2
	paragraph(c, say, c.Min.X, y, m.sentence(say, m.answer, bodyWide*0.92, 3))

	drawFigures(c, 206, m.figures())
	m.drawFacts(c, 114)
}

// sentence returns a sentence about clubs in at most n lines, the names cut to
// what tells them apart where they are too long.
func (m *material) sentence(sty draw.TextStyle, say func(name func(string) string) string, w vg.Length, n int) []string {
	if lines := wrap(sty, say(m.name), w); len(lines) <= n {
		return lines
	}
	return fit(sty, say(func(id string) string { return m.shortClub(sty, id, w*0.3) }), w, n)
}

// bar is a rectangle of a path with its upper left corner at x, y.
func bar(x, y, w, h vg.Length) []vg.Point {
	return []vg.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y - h}, {X: x, Y: y - h}}
}

// A figure is one large number of the cover.
type figure struct {
	head, value, note string
	weak              bool // not resolved
}

// figures are the differences of lead, droop and twist, or their values where
// a single club is shown.
func (m *material) figures() []figure {
	var all []figure
	switch {
	case m.c != nil:
		for _, d := range m.c.Measures[:min(3, len(m.c.Measures))] {
			_, suffix := unit(d.Measure)
			f := figure{head: d.Measure.Label + " at impact, difference", value: signed(d.Value, d.Measure.Digits), weak: !resolved(d)}
			if f.value != absent {
				f.value += suffix
			}
			f.note = "no 95\u00a0% interval"
			if known(d) {
				f.note = fmt.Sprintf("95\u00a0%% interval %s to %s%s", number(d.Low, d.Measure.Digits), number(d.High, d.Measure.Digits), suffix)
				if f.weak {
					f.note += ": not resolved"
				}
			}
			all = append(all, f)
		}
	case len(m.shown) == 1:
		for _, me := range deflections() {
			_, suffix := unit(me)
			mean, sd := m.shown[0].mean(1, atImpact(me))
			f := figure{head: me.Label + " at impact", value: number(mean[0], me.Digits), note: "SD " + number(sd[0], me.Digits) + suffix}
			if f.value != absent {
				f.value += suffix
			}
			all = append(all, f)
		}
	}
	return all
}

// drawFigures sets figures side by side, their numbers on the baseline y.
func drawFigures(c draw.Canvas, y vg.Length, all []figure) {
	wide := bodyWide / vg.Length(max(1, len(all)))
	for i, f := range all {
		x := c.Min.X + vg.Length(i)*wide
		big, small := bold(34, ink), sans(12.5, muted)
		if f.weak {
			big = sans(34, muted)
		}
		write(c, bold(13, ink), x, y+38, f.head)
		write(c, big, x, y, f.value)
		write(c, small, x, y-21, shorten(small, f.note, wide-16))
	}
}

// drawFacts sets what was measured in columns under a rule.
func (m *material) drawFacts(c draw.Canvas, y vg.Length) {
	c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.75}, c.Min.X, y+44, c.Max.X, y+44)
	facts := m.facts()
	x := c.Min.X
	wide := []vg.Length{0.24, 0.36, 0.22, 0.18}
	for i, f := range facts {
		w := bodyWide * wide[i]
		write(c, bold(12, ink), x, y+22, f[0])
		sty := sans(12.5, muted)
		paragraph(c, sty, x, y+5, fit(sty, f[1], w-18, 3))
		x += w
	}
}

// facts returns heading and text for players, clubs, runs and rate.
func (m *material) facts() [4][2]string {
	sty := sans(12.5, muted)
	var players []string
	for _, g := range m.all {
		for _, id := range g.players() {
			if n := m.playerLabels().short(sty, playerName(m.study, id), 120); !slices.Contains(players, n) {
				players = append(players, n)
			}
		}
	}
	var clubs []string
	runs := 0
	for _, g := range m.all {
		for _, r := range g.runs {
			if n := m.shortClub(sty, r.Run.Club, 200); !slices.Contains(clubs, n) {
				clubs = append(clubs, n)
			}
		}
		runs += len(g.runs)
	}
	failed := 0
	for _, o := range m.omitted {
		if o.failed {
			failed++
		}
	}
	compared := 0
	for _, g := range m.shown {
		compared += len(g.runs)
	}
	text := fmt.Sprintf("%d shown", compared)
	if m.c != nil {
		text = fmt.Sprintf("%d compared", compared)
	}
	if n := runs - compared; n > 0 {
		text += fmt.Sprintf(", %d with other clubs", n)
	}
	if n := len(m.omitted) - failed; n > 0 {
		text += fmt.Sprintf(", %d left out", n)
	}
	if failed > 0 {
		text += fmt.Sprintf(", %d failed", failed)
	}
	return [4][2]string{
		{count(len(players), "player"), strings.Join(players, "; ")},
		{count(len(clubs), "club"), strings.Join(clubs, "; ")},
		{count(len(m.results), "run"), text},
		{"Capture", m.rates()},
	}
}

// rates says how fast the captures are.
func (m *material) rates() string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range m.results {
		if r.OK() {
			lo, hi = math.Min(lo, r.Capture.Rate), math.Max(hi, r.Capture.Rate)
		}
	}
	switch {
	case lo > hi:
		return absent
	case number(lo, 0) == number(hi, 0):
		return number(lo, 0) + " frames a second"
	}
	return number(lo, 0) + " to " + number(hi, 0) + " frames a second"
}

// deflections returns the first three measures: the deflections drawn as curves.
func deflections() []study.Measure { return study.Measures[:3] }
