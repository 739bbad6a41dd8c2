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
// A title takes the place of the question.
func (m *material) cover(title string) Slide {
	s := Slide{Title: m.question(m.name), cover: true}
	x := side
	// Bars in the clubs' colours: the key of all that follows.
	for i := range max(1, min(len(m.shown), len(m.looks))) {
		s.parts = append(s.parts, newBlock(x, Height-46, 44, 5, m.looks[i].color))
		x += 48
	}
	study := newPassage(sans(15, muted), side, Height-78, bodyWide-160, m.study.Title, 1)

	// The question is said, the answer is shouted.
	sty := sans(20, ink)
	head := passage{x: side, y: study.next() - 20, wide: bodyWide, style: sty, role: heading1}
	if title != "" {
		head.paragraphs = [][]string{fit(sty, title, bodyWide, 2)}
	} else {
		head.paragraphs = [][]string{m.sentence(sty, m.question, bodyWide, 2)}
	}
	say := passage{x: side, y: head.next() - 16, wide: bodyWide, style: bold(27, ink)}
	say.paragraphs = [][]string{m.sentence(say.style, m.answer, say.wide, 3)}

	s.parts = append(s.parts, study, head, say)
	s.parts = append(s.parts, figureParts(206, m.figures())...)
	s.parts = append(s.parts, m.factParts(114)...)
	return s
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
			f := figure{head: d.Measure.Label + " at impact, difference", value: m.signed(d.Value, d.Measure.Digits), weak: !d.Resolved()}
			if f.value != absent {
				f.value += suffix
			}
			f.note = "no 95\u00a0% interval"
			if known(d) {
				f.note = fmt.Sprintf("95\u00a0%% interval %s%s", m.span(d.Low, d.High, d.Measure.Digits), suffix)
				switch {
				case f.weak && d.Same():
					f.note += fmt.Sprintf(": same (±%s%s)", m.number(d.Equivalence.Margin.Value, -1), suffix)
				case f.weak:
					f.note += ": not resolved"
				}
			}
			all = append(all, f)
		}
	case len(m.shown) == 1:
		for _, me := range deflections() {
			_, suffix := unit(me)
			mean, sd := m.shown[0].mean(1, atImpact(me))
			f := figure{head: me.Label + " at impact", value: m.number(mean[0], me.Digits), note: "SD " + m.number(sd[0], me.Digits) + suffix}
			if f.value != absent {
				f.value += suffix
			}
			all = append(all, f)
		}
	}
	return all
}

// figureParts sets figures side by side, their numbers on the baseline y.
func figureParts(y vg.Length, all []figure) []part {
	wide := bodyWide / vg.Length(max(1, len(all)))
	var parts []part
	for i, f := range all {
		x := side + vg.Length(i)*wide
		big, small := bold(34, ink), sans(13, muted)
		if f.weak {
			big = sans(34, muted)
		}
		room := wide - 16
		parts = append(parts, line(bold(leadSize, ink), x, y+40, room, f.head), line(big, x, y, room, f.value), line(small, x, y-21, room, f.note))
	}
	return parts
}

// factParts sets what was measured in columns under a rule.
func (m *material) factParts(y vg.Length) []part {
	parts := []part{newRule(side, y+44, bodyWide)}
	x := side
	const w = bodyWide / 3 // as the figures above
	for _, f := range m.facts() {
		parts = append(parts, line(bold(13, ink), x, y+22, w-18, f[0]), newPassage(sans(13, muted), x, y+5, w-18, f[1], 3))
		x += w
	}
	return parts
}

// facts returns heading and text for players, clubs and runs, players and clubs
// in the order of the study.
func (m *material) facts() [3][2]string {
	sty := sans(13, muted)
	ofPlayer, ofClub, runs := map[string]bool{}, map[string]bool{}, 0
	for _, g := range m.all {
		for _, r := range g.runs {
			ofPlayer[r.Run.Player], ofClub[r.Run.Club] = true, true
		}
		runs += len(g.runs)
	}
	var players, clubs []string
	for _, p := range append(slices.Clone(m.study.Players), study.Player{}) { // last, runs that name none
		n := m.playerLabels().short(sty, playerName(m.study, p.ID), 120)
		if ofPlayer[p.ID] && !slices.Contains(players, n) {
			players = append(players, n)
		}
	}
	for _, c := range m.study.Clubs {
		if n := m.shortClub(sty, c.ID, 200); ofClub[c.ID] && !slices.Contains(clubs, n) {
			clubs = append(clubs, n)
		}
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
	return [3][2]string{
		{count(len(players), "player"), strings.Join(players, "; ")},
		{count(len(clubs), "club"), strings.Join(clubs, "; ")},
		{count(len(m.results), "run"), text + "; " + m.rates()},
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
	case m.number(lo, 0) == m.number(hi, 0):
		return m.number(lo, 0) + " frames a second"
	}
	return m.number(lo, 0) + " to " + m.number(hi, 0) + " frames a second"
}

// deflections returns the first three measures: the deflections drawn as curves.
func deflections() []study.Measure { return study.Measures[:3] }
