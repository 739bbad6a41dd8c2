package widgets

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// A cell is one text of a table on its ground.
type cell struct {
	widget.BaseWidget
	text   string
	right  bool
	bold   bool
	tone   Tone
	marked bool
	tight  bool // with half of the room beside the text
	box    box
}

// A box is how the ground of a cell is drawn that can be typed into.
type box int

const (
	noBox box = iota
	openBox
	typedBox
	refusedBox
)

func newCell() *cell {
	c := &cell{}
	c.ExtendBaseWidget(c)
	return c
}

func (c *cell) show(text string, right bool, tone Tone, marked bool) {
	c.text = strings.ReplaceAll(text, "−", minus)
	c.right, c.tone, c.marked = right, tone, marked
	c.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (c *cell) CreateRenderer() fyne.WidgetRenderer {
	c.ExtendBaseWidget(c)
	r := &cellRenderer{cell: c, ground: canvas.NewRectangle(nil), text: canvas.NewText("", nil), above: canvas.NewText("", nil)}
	r.Refresh()
	return r
}

type cellRenderer struct {
	cell   *cell
	ground *canvas.Rectangle
	text   *canvas.Text
	above  *canvas.Text // the first of two lines
}

// Refresh is part of fyne.WidgetRenderer.
func (r *cellRenderer) Refresh() {
	c, th, v := r.cell, r.cell.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	look := lookOf(th)
	r.text.TextStyle.Bold = c.bold
	r.text.TextSize = look.text
	r.text.Color = look.ink
	switch c.tone {
	case Warn:
		r.text.Color = look.readable(th.Color(theme.ColorNameWarning, v))
	case Muted:
		r.text.Color = look.faint
	}
	switch {
	case c.bold:
		r.ground.FillColor = mix(look.ground, look.ink, 0.07)
	case c.marked:
		r.ground.FillColor = mix(look.ground, look.accent, 0.25)
	case c.box != noBox:
		r.ground.FillColor = mix(look.ground, look.ink, 0.04)
	default:
		r.ground.FillColor = look.ground
	}
	r.ground.StrokeWidth, r.ground.StrokeColor = 0, nil
	switch c.box {
	case openBox:
		r.ground.StrokeWidth, r.ground.StrokeColor = 1, mix(look.ground, look.ink, 0.18)
	case typedBox:
		r.ground.StrokeWidth, r.ground.StrokeColor = 2, look.accent
	case refusedBox:
		r.ground.StrokeWidth, r.ground.StrokeColor = 2, th.Color(theme.ColorNameError, v)
	}
	r.above.TextStyle, r.above.TextSize, r.above.Color = r.text.TextStyle, r.text.TextSize, r.text.Color
	r.Layout(c.Size())
	r.ground.Refresh()
	r.text.Refresh()
	r.above.Refresh()
}

// Layout spreads the ground over half the space between cells, so that a marked
// row has no gaps.
func (r *cellRenderer) Layout(size fyne.Size) {
	th := r.cell.Theme()
	inset, pad := th.Size(theme.SizeNameInnerPadding), th.Size(theme.SizeNamePadding)
	if r.cell.tight {
		inset /= 2
	}
	if r.cell.box != noBox { // its frame is not to be drawn over by its neighbours
		pad -= 2
	}
	r.ground.Move(fyne.NewPos(-pad/2, -pad/2))
	r.ground.Resize(size.AddWidthHeight(pad, pad))
	above, last, two := strings.Cut(r.cell.text, "\n")
	if !two {
		above, last = "", above
	}
	room := size.Width - 2*inset + 0.5
	r.text.Text, r.above.Text = shorten(last, room, r.text.TextSize, r.text.TextStyle), shorten(above, room, r.text.TextSize, r.text.TextStyle)
	if r.cell.box == typedBox && r.text.Text != last { // what was typed last is seen
		end := []rune(last)
		for len(end) > 1 && fyne.MeasureText(string(end), r.text.TextSize, r.text.TextStyle).Width > size.Width-2*inset {
			end = end[1:]
		}
		r.text.Text = string(end)
	}
	line := cellHeight(th, 1)
	place := func(t *canvas.Text, top float32) {
		text := t.MinSize()
		left := inset
		if r.cell.right {
			left = size.Width - inset - text.Width
		}
		t.Resize(text)
		t.Move(fyne.NewPos(left, top+(line-text.Height)/2))
	}
	place(r.text, size.Height-line) // a short header stands on the line of its neighbours' second
	place(r.above, size.Height-line-r.text.MinSize().Height)
}

// cellHeight is the height of a cell with so many lines of text.
func cellHeight(th fyne.Theme, lines int) float32 {
	text := fyne.MeasureText("0", th.Size(theme.SizeNameText), fyne.TextStyle{}).Height
	return float32(lines)*text + th.Size(theme.SizeNameInnerPadding)/2
}

// MinSize is part of fyne.WidgetRenderer.
func (r *cellRenderer) MinSize() fyne.Size {
	th := r.cell.Theme()
	return fyne.NewSize(2*th.Size(theme.SizeNameInnerPadding), cellHeight(th, 1))
}

// Objects is part of fyne.WidgetRenderer.
func (r *cellRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.text, r.above}
}

// Destroy is part of fyne.WidgetRenderer.
func (r *cellRenderer) Destroy() {}
