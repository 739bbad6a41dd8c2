package report

import (
	"fmt"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
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

// A Slide is one page of a deck.
type Slide struct {
	Title      string // plain text: bookmark in a PDF
	Subtitle   string // what is shown and how
	cover      bool   // draws its own title
	key        []sample
	glyphs     bool // the key shows glyphs
	foot       footer
	number, of int
	draw       func(c draw.Canvas) // fills the body
}

// A footer names what every slide rests on.
type footer struct {
	title, clubs, runs, made string
}

// Draw draws the slide on a canvas of Width × Height with its origin at the
// lower left corner.
func (s Slide) Draw(c vg.Canvas) {
	vg.Initialize(c)
	page := draw.NewCanvas(c, Width, Height)
	page.SetColor(paper)
	page.Fill(page.Rectangle.Path())
	if !s.cover {
		s.drawTitle(page)
	}
	body := page
	body.Rectangle = vg.Rectangle{Min: vg.Point{X: side, Y: bodyFoot}, Max: vg.Point{X: Width - side, Y: bodyTop}}
	if s.draw != nil {
		s.draw(body)
	}
	s.drawFooter(page)
}

// drawTitle draws the title, the line under it and the key of the clubs: beside
// that line where there is room, else beneath.
func (s Slide) drawTitle(c draw.Canvas) {
	title := bold(24, ink)
	write(c, title, side, titleTop, shorten(title, s.Title, bodyWide))
	sub := sans(12.5, muted)
	if wide := s.keyWidth(); wide+20+width(sub, s.Subtitle) > bodyWide {
		s.drawKey(c, side, titleTop-46)
	} else {
		s.drawKey(c, Width-side-wide, titleTop-24)
	}
	write(c, sub, side, titleTop-24, shorten(sub, s.Subtitle, bodyWide))
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

func keyStyle() draw.TextStyle { return sans(12.5, ink) }

// key returns the entries of a key of groups, in one line of a slide.
func (m *material) key(groups []group) []sample {
	each := bodyWide/vg.Length(max(1, len(groups))) - sampleLine - sampleGap - sampleNext
	all := make([]sample, len(groups))
	for i, g := range groups {
		all[i] = sample{g.look, m.shortClub(keyStyle(), g.club.ID, min(each, 240))}
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

// drawKey draws a sample of line and name for each entry, from x to the right.
func (s Slide) drawKey(c draw.Canvas, x, y vg.Length) {
	sty := keyStyle()
	mid := y + sty.Font.Size*0.35
	for _, k := range s.key {
		line := k.look.line(2.2)
		if s.glyphs {
			line.Dashes, line.Width = nil, 1.6
		}
		c.StrokeLine2(line, x, mid, x+sampleLine, mid)
		if s.glyphs {
			c.DrawGlyphNoClip(draw.GlyphStyle{Color: k.look.color, Radius: 3.2, Shape: k.look.glyph}, vg.Point{X: x + sampleLine/2, Y: mid})
		}
		x += sampleLine + sampleGap
		write(c, sty, x, y, k.name)
		x += width(sty, k.name) + sampleNext
	}
}

// drawFooter draws two lines: the study and the page, the clubs, runs and
// version.
func (s Slide) drawFooter(c draw.Canvas) {
	c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.75}, side, 44, Width-side, 44)
	sty := sans(9.5, muted)
	page := fmt.Sprintf("%d / %d", s.number, s.of)
	write(c, right(sty), Width-side, 29, page)
	write(c, sty, side, 29, shorten(sty, s.foot.title, bodyWide-width(sty, page)-24))
	made := shorten(sty, s.foot.made, bodyWide*0.3)
	write(c, right(sty), Width-side, 15, made)
	runs := shorten(sty, s.foot.runs, bodyWide*0.4)
	clubs := shorten(sty, s.foot.clubs, bodyWide-width(sty, made)-width(sty, runs)-36)
	write(c, sty, side, 15, clubs)
	write(c, sty, side+width(sty, clubs+" "), 15, runs)
}

// footer returns what the foot of every slide says.
func (m *material) footer() footer {
	f := footer{title: m.study.Title, made: "Bendline"}
	if m.o.Version != "" {
		f.made += " " + m.o.Version
	}
	if !m.o.Date.IsZero() {
		f.made += "  ·  " + m.o.Date.Format("2 January 2006")
	}
	sty := sans(9.5, muted)
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
	return f
}
