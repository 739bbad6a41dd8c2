package report

import (
	"bytes"
	"image"
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A part is one thing on a slide. It is laid out once: draw puts it on a canvas,
// shape into a presentation that can be edited.
type part interface {
	draw(c draw.Canvas)
	shape(s *shapes)
}

// A passage is text in a style: paragraphs of lines one under the other, the
// first with its baseline at y. x is their left end, or their right one where
// the style stands right; wide is the room they were broken to.
type passage struct {
	x, y, wide vg.Length
	style      draw.TextStyle
	paragraphs [][]string
	space      vg.Length // between paragraphs, beside the leading
	role       role
}

// A role is what a passage is beside a piece of text.
type role int

// The roles.
const (
	plain      role = iota // nothing more
	heading1               // the slide's title in the outline of a presentation
	pageNumber             // starts with the number of the slide
)

// newPassage returns text broken to lines of width wide, at most n, the last
// shortened where there was more.
func newPassage(sty draw.TextStyle, x, y, wide vg.Length, text string, n int) passage {
	return passage{x: x, y: y, wide: wide, style: sty, paragraphs: [][]string{fit(sty, text, wide, n)}}
}

// line returns one line of text, shortened where it is wider than the room.
func line(sty draw.TextStyle, x, y, wide vg.Length, text string) passage {
	return passage{x: x, y: y, wide: wide, style: sty, paragraphs: [][]string{{shorten(sty, text, wide)}}}
}

// next is the baseline that would follow the last line.
func (p passage) next() vg.Length {
	y := p.y
	for _, lines := range p.paragraphs {
		y -= vg.Length(len(lines))*leading(p.style) + p.space
	}
	return y
}

// long is the width of the longest line.
func (p passage) long() vg.Length {
	var w vg.Length
	for _, lines := range p.paragraphs {
		for _, l := range lines {
			w = max(w, width(p.style, l))
		}
	}
	return w
}

func (p passage) draw(c draw.Canvas) {
	y := p.y
	for _, lines := range p.paragraphs {
		y = paragraph(c, p.style, p.x, y, lines) - p.space
	}
}

// A block is a filled rectangle.
type block struct {
	vg.Rectangle
	color color.NRGBA
}

// newBlock returns a block with its upper left corner at x, y.
func newBlock(x, y, wide, high vg.Length, clr color.NRGBA) block {
	return block{vg.Rectangle{Min: vg.Point{X: x, Y: y - high}, Max: vg.Point{X: x + wide, Y: y}}, clr}
}

// newRule returns a horizontal rule.
func newRule(x, y, wide vg.Length) block { return newBlock(x, y, wide, 0.75, rule) }

func (b block) draw(c draw.Canvas) {
	c.FillPolygon(b.color, bar(b.Min.X, b.Max.Y, b.Size().X, b.Size().Y))
}

// An illustration is a drawing in a rectangle, and what it shows in words.
type illustration struct {
	vg.Rectangle
	alt   string
	paint func(c draw.Canvas)
}

func (i illustration) draw(c draw.Canvas) {
	c.Rectangle = i.Rectangle
	i.paint(c)
}

// bleed is the room around an illustration for what its lines and glyphs draw
// beyond their ends.
const bleed vg.Length = 6

// outer returns the rectangle with the room around it.
func (i illustration) outer() vg.Rectangle {
	return vg.Rectangle{
		Min: vg.Point{X: i.Min.X - bleed, Y: i.Min.Y - bleed},
		Max: vg.Point{X: i.Max.X + bleed, Y: i.Max.Y + bleed},
	}
}

// on draws the illustration alone on a canvas of the outer rectangle's size.
func (i illustration) on(c vg.Canvas) {
	vg.Initialize(c)
	size := i.Size()
	alone := draw.NewCanvas(c, size.X+2*bleed, size.Y+2*bleed)
	alone.Rectangle = vg.Rectangle{Min: vg.Point{X: bleed, Y: bleed}, Max: vg.Point{X: bleed + size.X, Y: bleed + size.Y}}
	i.paint(alone)
}

// svg returns the illustration as vectors.
func (i illustration) svg() ([]byte, error) {
	size := i.outer().Size()
	c := vgsvg.New(size.X, size.Y)
	i.on(c)
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, err
	}
	// Arial has the widths of Liberation Sans and is where that is not.
	return bytes.ReplaceAll(b.Bytes(), []byte("font-family:Liberation Sans;"), []byte("font-family:Arial,Liberation Sans,sans-serif;")), nil
}

// raster returns the illustration on no ground, with scale dots a point.
func (i illustration) raster(scale int) image.Image {
	size := i.outer().Size()
	c := vgimg.NewWith(vgimg.UseWH(size.X, size.Y), vgimg.UseDPI(72*scale), vgimg.UseBackgroundColor(color.Transparent))
	i.on(c)
	return c.Image()
}

// An emblem is the house's own picture.
type emblem struct {
	vg.Rectangle
	logo *logo
}

func (e emblem) draw(c draw.Canvas) { c.DrawImage(e.Rectangle, e.logo.picture) }
