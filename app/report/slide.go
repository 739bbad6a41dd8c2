package report

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
	"bendline/kinematics"
)

// Size of a slide: 13.333 × 7.5 inches.
const (
	Width  vg.Length = 960
	Height vg.Length = 540
)

// Margins and fixed heights on a slide.
const (
	side     vg.Length = 48
	titleTop           = Height - 56 // baseline of the title's first line
	bodyTop            = Height - 108
	bodyFoot vg.Length = 58
	bodyWide           = Width - 2*side
)

// body is the rectangle between title and footer.
var body = vg.Rectangle{Min: vg.Point{X: side, Y: bodyFoot}, Max: vg.Point{X: Width - side, Y: bodyTop}}

// A Slide is one page of a deck.
type Slide struct {
	Kind     Kind
	Title    string // plain text
	Subtitle string // what is shown and how
	Note     string // for the speaker
	Hidden   bool   // not shown when a presentation runs
	Choice   int    // index in the plan of the choice that it is of

	cover      bool // its body has its own title
	key        []sample
	glyphs     bool // the key shows glyphs
	parts      []part
	sheet      int // which of the slides of one table, from 1; 0 for the only one
	sheets     int
	logo       *logo
	foot       footer
	number, of int
}

// Heading is the title as shown: with a number where a table takes several
// slides.
func (s Slide) Heading() string {
	if s.sheet == 0 {
		return s.Title
	}
	return fmt.Sprintf("%s (%d of %d)", s.Title, s.sheet, s.sheets)
}

// Draw draws the slide on a canvas of Width × Height with its origin at the
// lower left corner.
func (s Slide) Draw(c vg.Canvas) {
	vg.Initialize(c)
	page := draw.NewCanvas(c, Width, Height)
	page.SetColor(paper)
	page.Fill(page.Rectangle.Path())
	for _, p := range s.all() {
		p.draw(page)
	}
}

// all returns everything on the slide, in reading order.
func (s Slide) all() []part {
	var all []part
	if !s.cover {
		all = s.head()
	}
	all = append(all, s.parts...)
	all = append(all, s.footParts()...)
	if s.logo != nil {
		all = append(all, s.emblem())
	}
	return all
}

// emblem is the house's logo in the upper right corner.
func (s Slide) emblem() emblem {
	room := vg.Rectangle{Min: vg.Point{X: Width - side - 140, Y: titleTop - 4}, Max: vg.Point{X: Width - side, Y: titleTop + 28}}
	return emblem{s.logo.within(room), s.logo}
}

// head is the title, the line under it and the key of the clubs: beside that
// line where there is room, else beneath.
func (s Slide) head() []part {
	wide := bodyWide
	if s.logo != nil {
		wide = s.emblem().Min.X - 16 - side
	}
	title := line(bold(titleSize, ink), side, titleTop, wide, s.Heading())
	title.role = heading1
	all := []part{title}
	sub := sans(leadSize, muted)
	if wide := s.keyWidth(); wide+20+width(sub, s.Subtitle) > bodyWide {
		all = append(all, s.keyParts(side, titleTop-46)...)
	} else {
		all = append(all, s.keyParts(Width-side-wide, titleTop-24)...)
	}
	if s.Subtitle != "" {
		all = append(all, line(sub, side, titleTop-24, bodyWide, s.Subtitle))
	}
	return all
}

// A sample is one entry of a key.
type sample struct {
	look look
	name string
}

// Widths in a key.
const (
	sampleLine vg.Length = 26
	sampleGap  vg.Length = 6
	sampleNext vg.Length = 20
)

func keyStyle() draw.TextStyle { return sans(leadSize, ink) }

// key returns the entries of a key of groups, in one line of a slide.
func (m *material) key(groups []group) []sample {
	each := bodyWide/vg.Length(max(1, len(groups))) - sampleLine - sampleGap - sampleNext - width(keyStyle(), " *")
	all := make([]sample, len(groups))
	for i, g := range groups {
		all[i] = sample{g.look, m.shortClub(keyStyle(), g.club.ID, min(each, 240)) + g.star()}
	}
	return all
}

func (s Slide) keyWidth() vg.Length {
	var w vg.Length
	for i, k := range s.key {
		if i > 0 {
			w += sampleNext
		}
		w += sampleLine + sampleGap + width(keyStyle(), k.name)
	}
	return w
}

// keyParts is a sample of line and name for each entry, from x to the right.
func (s Slide) keyParts(x, y vg.Length) []part {
	var all []part
	sty := keyStyle()
	mid := y + sty.Font.Size*0.35
	for _, k := range s.key {
		box := vg.Rectangle{Min: vg.Point{X: x, Y: mid - 4}, Max: vg.Point{X: x + sampleLine, Y: mid + 4}}
		all = append(all, illustration{box, "line of " + k.name, func(c draw.Canvas) { k.look.draw(c, s.glyphs) }})
		x += sampleLine + sampleGap
		w := width(sty, k.name)
		all = append(all, line(sty, x, y, w, k.name))
		x += w + sampleNext
	}
	return all
}

// draw draws a sample across the middle of c.
func (l look) draw(c draw.Canvas, glyph bool) {
	sty := l.line(2.2)
	if glyph {
		sty.Dashes, sty.Width = nil, 1.6
	}
	mid := c.Center()
	c.StrokeLine2(sty, c.Min.X, mid.Y, c.Max.X, mid.Y)
	if glyph {
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: l.color, Radius: 3.2, Shape: l.glyph}, mid)
	}
}

// A footer names what every slide rests on.
type footer struct {
	title, clubs, runs, method, made string
}

// footParts are two lines: the study and the page; the clubs, the runs, how
// they were read out, and who made it.
func (s Slide) footParts() []part {
	sty := sans(footSize, muted)
	end := Width - side
	page := " " // of what has no pages
	if s.of > 0 {
		page = fmt.Sprintf("%d / %d", s.number, s.of)
	}
	number := line(right(sty), end, 29, width(sty, page), page)
	number.role = pageNumber
	made := line(right(sty), end, 15, bodyWide*0.42, s.foot.made)
	method := line(right(sty), end-width(sty, page)-24, 29, bodyWide*0.62, s.foot.method)
	room := bodyWide - made.long() - 24
	runs := shorten(sty, s.foot.runs, room*0.5)
	clubs := shorten(sty, s.foot.clubs, room-width(sty, runs)-12)
	return []part{
		newRule(side, 44, bodyWide),
		number,
		line(sty, side, 29, bodyWide-width(sty, page)-method.long()-48, s.foot.title),
		method,
		made,
		line(sty, side, 15, room, clubs+" "+runs),
	}
}

// footer returns what the foot of every slide says.
func (m *material) footer() footer {
	f := footer{title: m.study.Title, made: "Bendline", method: m.filter()}
	if m.o.Version != "" {
		f.made += " " + m.o.Version
	}
	if m.o.Style.Name != "" {
		f.made = m.o.Style.Name + "  ·  " + f.made
	}
	if m.replaces() {
		f.made = replacedNote + "  ·  " + f.made
	}
	if !m.o.Date.IsZero() {
		f.made += "  ·  " + m.o.Date.Format("2 January 2006")
	}
	sty := sans(footSize, muted)
	if m.c != nil {
		half := bodyWide * 0.17
		f.clubs = "Baseline: " + m.shortClub(sty, m.c.Baseline, half) +
			"  ·  Prototype: " + m.shortClub(sty, m.c.Prototype, half) + "  · "
	} else {
		f.clubs = count(len(m.shown), "club") + "  · "
	}
	used, players := 0, map[string]bool{}
	for _, g := range m.shown {
		used += len(g.runs)
		for _, p := range g.players() {
			players[p] = true
		}
	}
	verb := "shown"
	if m.c != nil {
		verb = "compared"
	}
	f.runs = fmt.Sprintf("%d of %s %s, %s", used, count(len(m.results), "run"), verb, count(len(players), "player"))
	if n := m.excluded(); n > 0 {
		f.runs += fmt.Sprintf(", %d excluded", n)
	}
	if n := m.corrected(); n > 0 {
		f.runs += fmt.Sprintf(", * %d corrected by hand", n)
	}
	return f
}

// filter says in a few words how every value comes about.
func (m *material) filter() string {
	return fmt.Sprintf("Filter: order %d, %s, up to contact  ·  Window: %s  ·  Reference: unloaded axis on the grip",
		kinematics.SmoothingOrder, m.cutOff(), m.window())
}

// cutOff is the frequency at which the filter passes half, and who chose it.
func (m *material) cutOff() string {
	if c := m.study.Settings.CutOff; c != 0 {
		return m.number(c, -1) + "\u00a0Hz (by hand)"
	}
	low, high := study.CutOffs(m.results)
	from, to := m.number(low, 0), m.number(high, 0)
	switch {
	case math.IsNaN(low):
		return "automatic"
	case from == to:
		return from + "\u00a0Hz (automatic)"
	}
	return from + " to " + to + "\u00a0Hz (automatic)"
}

// window is what was fitted of each capture, and who chose it.
func (m *material) window() string {
	s := m.study.Settings
	before, after := "start", "end"
	if s.Before != nil {
		before = m.number(-math.Round(*s.Before*1e6)/1e3, -1) + "\u00a0ms"
	}
	if s.After != nil {
		after = m.number(math.Round(*s.After*1e6)/1e3, -1) + "\u00a0ms"
	}
	if s.Before == nil && s.After == nil {
		return "whole capture"
	}
	return before + " to " + after + " (by hand)"
}

// excludedOf returns how many runs of a player were left out by hand.
func (m *material) excludedOf(player string) int {
	n := 0
	for _, o := range m.omitted {
		if o.run.Player == player && o.run.Excluded != "" && !o.failed {
			n++
		}
	}
	return n
}

// excluded returns how many runs were left out by hand.
func (m *material) excluded() int {
	n := 0
	for _, o := range m.omitted {
		if o.run.Excluded != "" && !o.failed {
			n++
		}
	}
	return n
}
