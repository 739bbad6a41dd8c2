package report

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
	"bendline/kinematics"
)

// method states conventions, method and settings, in the largest type that has
// room.
func (m *material) method() Slide {
	for size := labelSize; ; size -= 0.5 {
		if s, foot := m.methodIn(size); foot >= body.Min.Y || size <= leastSize {
			return s
		}
	}
}

// methodIn sets the slide in a size of type, and returns where it ends.
func (m *material) methodIn(size vg.Length) (Slide, vg.Length) {
	left, gap := vg.Length(0.54)*bodyWide, vg.Length(36)
	top := body.Max.Y + 14
	s := Slide{Title: "Conventions, method and settings", parts: m.conventions(side, top, left)}

	method := []string{
		"Grip, shaft and head markers are fitted together by one bent rod; its stiffness is the bench profile where there is one.",
		"Lead, droop and twist are those of the tip end against the undeflected line: the unloaded axis carried by the grip.",
		"Impact is the instant of first contact, between frames. Values at impact use nothing after it.",
		fmt.Sprintf("Markers’ paths are smoothed by penalised least squares (Whittaker, order %d), half gain at %s; window: %s.",
			kinematics.SmoothingOrder, m.cutOff(), m.window()),
		"u95 is the half width of a 95\u00a0% interval (expanded uncertainty, JCGM 100:2008).",
		m.statistics(),
	}
	if m.c != nil {
		method = append(method, "Curves are shaded where t of the difference passes a level that chance alone passes anywhere in 5\u00a0% of studies; the dotted band holds all of the difference in 95\u00a0%. Both are told by the runs alone, without the errors that all runs of a club share.")
	}
	foot := top
	add := func(x, y, wide vg.Length, head string, text []string) vg.Length {
		parts, next := section(size, x, y, wide, head, text)
		s.parts = append(s.parts, parts...)
		foot = min(foot, next)
		return next
	}
	add(side, top-158, left, "Method", method)

	x := side + left + gap
	wide := body.Max.X - x
	y := add(x, top, wide, "Clubs", m.clubLines())
	y = add(x, y-8, wide, "Settings", m.settings())
	add(x, y-8, wide, "Care", []string{
		"Check head, ferrule and markers of an instrumented club before every session; keep people clear of swing and ball. " +
			"Fitness and technique are for qualified practitioners.",
	})
	return s, foot
}

// section returns a heading with paragraphs under it, its top at y, and where
// the next may start.
func section(size, x, y, wide vg.Length, head string, text []string) (parts []part, next vg.Length) {
	h, sty := bold(leadSize, ink), sans(size, ink)
	y -= h.Font.Size
	p := passage{x: x, y: y - leading(h) - 1, wide: wide, style: sty, space: 2.5}
	for _, t := range text {
		p.paragraphs = append(p.paragraphs, fit(sty, t, wide, 3))
	}
	return []part{line(h, x, y, wide, head), p}, p.next() + sty.Font.Size
}

// statistics says how the clubs were compared.
func (m *material) statistics() string {
	switch {
	case m.c == nil:
		return "Nothing is compared in this deck."
	case m.c.Design == study.ManyPlayer:
		return "Comparison: each player’s difference of means, paired t over players. p is two-sided; p, Holm is adjusted for the number of measures in its table."
	}
	return "Comparison: runs of one player, Welch’s t. p is two-sided; p, Holm is adjusted for the number of measures in its table."
}

// clubLines describes each club in a line or two, at most six.
func (m *material) clubLines() []string {
	var lines []string
	for i := range m.study.Clubs {
		if n := len(m.study.Clubs); len(lines) == 5 && n > 6 {
			return append(lines, fmt.Sprintf("… and %d more.", n-5))
		}
		c := &m.study.Clubs[i]
		stiffness := "stiffness not given"
		switch {
		case c.FitShaft().Known():
			stiffness = "stiffness from the bench"
		case c.Shaft.Known():
			stiffness = "stiffness from too short a stretch to be used"
		}
		lines = append(lines, fmt.Sprintf("%s: %s, %s-handed, shaft %s\u00a0mm, %s; markers: %d grip, %d shaft, %d head.",
			m.shortClub(sans(labelSize, ink), c.ID, 180), c.Role, c.Hand, m.number(c.Shaft.Length*1e3, 0), stiffness,
			len(c.Markers.Grip), len(c.Markers.Shaft), len(c.Markers.Head)))
	}
	return lines
}

// settings lists what was set for the study and by hand.
func (m *material) settings() []string {
	axes := "Axes of the captures: not given."
	if w := m.study.World; w.Up != "" || w.Target != "" {
		axes = strings.ReplaceAll(fmt.Sprintf("Axes of the captures: up %s, target %s.", w.Up, w.Target), "-", "−")
	}
	var hints []string
	for _, r := range m.study.Runs {
		h := r.Import
		if h.Delimiter != "" || h.DecimalMark != "" || h.Unit != "" || h.Rate != 0 || len(h.Columns) > 0 {
			hints = append(hints, r.ID)
		}
	}
	corrected := strings.TrimPrefix(m.byHand(), "* ")
	if corrected == "" {
		corrected = "Corrected by hand: none."
	}
	lines := []string{
		axes,
		corrected,
		"Import corrected by hand: " + orNone(hints) + ".",
		fmt.Sprintf("Not used: %s.", count(len(m.omitted), "run")),
	}
	if m.c != nil {
		lines = append(lines, strings.Join(m.c.FlaggedWords(), " "))
	}
	return lines
}

func orNone(ids []string) string {
	if len(ids) == 0 {
		return "none"
	}
	return strings.Join(ids, ", ")
}

// conventions shows what lead, droop and twist are, three pictures over the
// width given, their top at y.
func (m *material) conventions(x, y, wide vg.Length) []part {
	head := bold(leadSize, ink)
	parts := []part{line(head, x, y-head.Font.Size, wide, "Conventions (positive senses)")}
	third := wide / 3
	d := diagram{m.looks[1].color}
	for i, p := range []struct {
		draw       func(c draw.Canvas, x, y vg.Length)
		name, note string
	}{
		{d.lead, "Lead", "tip towards the target; lag is negative"},
		{d.droop, "Droop", "tip towards the toe-down side"},
		{d.twist, "Twist", "tip closes against the grip (from the grip, right-handed)"},
	} {
		px := x + vg.Length(i)*third
		box := vg.Rectangle{Min: vg.Point{X: px, Y: y - 26 - pictureHigh - 16}, Max: vg.Point{X: px + 70, Y: y - 22}}
		parts = append(parts,
			illustration{box, p.name + ": " + p.note, func(c draw.Canvas) { p.draw(c, c.Min.X+34, c.Max.Y-4) }},
			line(bold(labelSize, ink), px+74, y-62, third-82, p.name),
			newPassage(sans(labelSize, muted), px+74, y-76, third-82, p.note, 5))
	}
	return parts
}

// A diagram shows a sense, with arrows in a colour.
type diagram struct{ arrows color.NRGBA }

const pictureHigh vg.Length = 104

// bent draws the unbent shaft, dashed, from x, y downwards, the bent one
// leaving it by reach, and an arrow between their tips.
func (d diagram) bent(c draw.Canvas, x, y, reach vg.Length) vg.Point {
	c.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.9, Dashes: []vg.Length{3, 2.5}}, x, y, x, y-pictureHigh)
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: 4.5}, x, y, x, y-22)
	var bent vg.Path
	bent.Move(vg.Point{X: x, Y: y})
	bent.CubeTo(vg.Point{X: x, Y: y - pictureHigh*0.45}, vg.Point{X: x + reach*0.35, Y: y - pictureHigh*0.75}, vg.Point{X: x + reach, Y: y - pictureHigh})
	c.SetLineStyle(draw.LineStyle{Color: ink, Width: 2})
	c.Stroke(bent)
	d.arrow(c, vg.Point{X: x, Y: y - pictureHigh - 9}, vg.Point{X: x + reach, Y: y - pictureHigh - 9})
	return vg.Point{X: x + reach, Y: y - pictureHigh}
}

func (d diagram) lead(c draw.Canvas, x, y vg.Length) { d.bent(c, x, y, 30) }

func (d diagram) droop(c draw.Canvas, x, y vg.Length) {
	tip := d.bent(c, x, y, 24)
	// The head, heel at the shaft and toe away from it.
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: 4.5}, tip.X-1, tip.Y, tip.X+13, tip.Y-6)
}

func (d diagram) twist(c draw.Canvas, x, y vg.Length) {
	mid := vg.Point{X: x + 6, Y: y - pictureHigh/2}
	const r = 26
	var ring, turn vg.Path
	ring.Move(vg.Point{X: mid.X + r, Y: mid.Y})
	ring.Arc(mid, r, 0, 2*math.Pi)
	c.SetLineStyle(draw.LineStyle{Color: muted, Width: 0.9, Dashes: []vg.Length{3, 2.5}})
	c.Stroke(ring)
	c.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.9}, mid.X, mid.Y-r, mid.X, mid.Y+r)
	const angle = 0.65
	end := vg.Point{X: mid.X - vg.Length(math.Sin(angle))*r, Y: mid.Y + vg.Length(math.Cos(angle))*r}
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: 2}, 2*mid.X-end.X, 2*mid.Y-end.Y, end.X, end.Y)
	const out = r + 8
	turn.Move(vg.Point{X: mid.X, Y: mid.Y + out})
	turn.Arc(mid, out, math.Pi/2, angle)
	c.SetLineStyle(draw.LineStyle{Color: d.arrows, Width: 1.6})
	c.Stroke(turn)
	tip := vg.Point{X: mid.X - vg.Length(math.Sin(angle))*out, Y: mid.Y + vg.Length(math.Cos(angle))*out}
	d.arrowHead(c, tip, math.Pi+angle)
}

// arrow draws an arrow from a to b.
func (d diagram) arrow(c draw.Canvas, a, b vg.Point) {
	c.StrokeLine2(draw.LineStyle{Color: d.arrows, Width: 1.6}, a.X, a.Y, b.X, b.Y)
	d.arrowHead(c, b, math.Atan2(float64(b.Y-a.Y), float64(b.X-a.X)))
}

// arrowHead draws a head that points along the angle, its point at p.
func (d diagram) arrowHead(c draw.Canvas, p vg.Point, angle float64) {
	at := func(back, across vg.Length) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: p.X - back*vg.Length(cos) - across*vg.Length(sin), Y: p.Y - back*vg.Length(sin) + across*vg.Length(cos)}
	}
	c.FillPolygon(d.arrows, []vg.Point{p, at(7, 3.2), at(7, -3.2)})
}
