package report

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Inks of text and rules.
var (
	ink   = color.NRGBA{0x1d, 0x27, 0x30, 0xff}
	muted = color.NRGBA{0x5c, 0x69, 0x75, 0xff}
	rule  = color.NRGBA{0xd3, 0xd9, 0xde, 0xff}
	grid  = color.NRGBA{0xe9, 0xec, 0xef, 0xff}
	paper = color.NRGBA{0xff, 0xff, 0xff, 0xff}
)

// Sizes of type on a slide of 13.333 inches: nothing but the footer is smaller
// than what the back of a room can read (common practice, no source).
const (
	titleSize vg.Length = 26
	leadSize  vg.Length = 14 // the line under the title, the key, headings in the body
	labelSize vg.Length = 12 // axes, remarks, notes
	footSize  vg.Length = 10
)

// A look tells one club from the others in every figure: by colour, and by
// dashes and glyph where colour does not carry.
type look struct {
	color  color.NRGBA
	dashes []vg.Length
	glyph  draw.GlyphDrawer
}

// looks are of the colour-blind safe palette of Okabe & Ito (2008). The first
// is the baseline's, the second the prototype's.
var looks = []look{
	{color.NRGBA{0x00, 0x72, 0xb2, 0xff}, nil, draw.CircleGlyph{}},
	{color.NRGBA{0xd5, 0x5e, 0x00, 0xff}, []vg.Length{7, 2.5}, draw.PyramidGlyph{}},
	{color.NRGBA{0x00, 0x9e, 0x73, 0xff}, []vg.Length{2, 2}, draw.BoxGlyph{}},
	{color.NRGBA{0xcc, 0x79, 0xa7, 0xff}, []vg.Length{9, 2.5, 2, 2.5}, diamond{}},
	{color.NRGBA{0xe6, 0x9f, 0x00, 0xff}, []vg.Length{4, 2}, draw.RingGlyph{}},
	{color.NRGBA{0x56, 0xb4, 0xe9, 0xff}, []vg.Length{9, 2, 2, 2, 2, 2}, draw.CrossGlyph{}},
}

// line returns the style of a mean curve.
func (l look) line(width vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: l.color, Width: width, Dashes: l.dashes}
}

// text returns the colour as text on paper has it: darker where it would be hard
// to read, in the contrast that WCAG 2.2 asks of text (success criterion 1.4.3).
func (l look) text() color.NRGBA {
	const enough = 4.5
	c := l.color
	for contrast(c) < enough {
		c.R, c.G, c.B = c.R-c.R/16, c.G-c.G/16, c.B-c.B/16
	}
	return c
}

// contrast returns the contrast ratio of a colour with white (WCAG 2.2, relative
// luminance of sRGB).
func contrast(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 1.05 / (0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B) + 0.05)
}

// faint returns the colour thinned to the given opacity.
func faint(c color.NRGBA, opacity float64) color.NRGBA {
	c.A = uint8(255*opacity + 0.5)
	return c
}

// diamond is a glyph: a filled square on its corner.
type diamond struct{}

// DrawGlyph implements draw.GlyphDrawer.
func (diamond) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, pt vg.Point) {
	r := sty.Radius * 1.15
	c.FillPolygon(sty.Color, []vg.Point{{X: pt.X - r, Y: pt.Y}, {X: pt.X, Y: pt.Y + r}, {X: pt.X + r, Y: pt.Y}, {X: pt.X, Y: pt.Y - r}})
}
