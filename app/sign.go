package app

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// A sign is text to be read from afar: broken into lines, and as large as its
// room allows.
type sign struct {
	widget.BaseWidget

	text   string
	most   float32             // text size, dp
	ink    fyne.ThemeColorName // of the text
	ground fyne.ThemeColorName // behind it, "" for none
	bold   bool
}

// leastSign is the smallest text of a sign, dp: below it, lines are left out.
const leastSign = 9

func newSign(bold bool) *sign {
	s := &sign{most: 20, ink: theme.ColorNameForeground, bold: bold}
	s.ExtendBaseWidget(s)
	return s
}

// set shows a text.
func (s *sign) set(text string, ink, ground fyne.ThemeColorName) {
	if text != s.text || ink != s.ink || ground != s.ground {
		s.text, s.ink, s.ground = text, ink, ground
		s.Refresh()
	}
}

// setMost limits the size of the text.
func (s *sign) setMost(size float32) {
	if size != s.most {
		s.most = size
		s.Refresh()
	}
}

// CreateRenderer is part of fyne.Widget.
func (s *sign) CreateRenderer() fyne.WidgetRenderer {
	r := &signRenderer{sign: s, back: canvas.NewRectangle(color.Transparent)}
	r.back.CornerRadius = theme.InputRadiusSize()
	r.Refresh()
	return r
}

type signRenderer struct {
	sign  *sign
	back  *canvas.Rectangle
	lines []*canvas.Text
}

// breakLines breaks a text into lines no wider than width. Words wider than that
// stand alone.
func breakLines(text string, width, size float32, style fyne.TextStyle) []string {
	var lines []string
	for _, paragraph := range strings.Split(text, "\n") {
		line := ""
		for _, word := range strings.Fields(paragraph) {
			longer := strings.TrimSpace(line + " " + word)
			if line != "" && fyne.MeasureText(longer, size, style).Width > width {
				lines, line = append(lines, line), word
			} else {
				line = longer
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// fit returns the lines and the size of the text that fill the room.
func (s *sign) fit(room fyne.Size) (lines []string, size float32) {
	style := fyne.TextStyle{Bold: s.bold}
	for size = s.most; ; size-- {
		lines = breakLines(s.text, room.Width, size, style)
		height, wide := fyne.MeasureText("Ag", size, style).Height, false
		for _, l := range lines {
			wide = wide || fyne.MeasureText(l, size, style).Width > room.Width
		}
		if size <= leastSign {
			return lines[:min(len(lines), max(1, int(room.Height/height)))], size
		}
		if !wide && height*float32(len(lines)) <= room.Height {
			return lines, size
		}
	}
}

func (r *signRenderer) MinSize() fyne.Size { return fyne.NewSize(40, 16) }

func (r *signRenderer) Layout(size fyne.Size) {
	r.back.Resize(size)
	s := r.sign
	pad := float32(0)
	if s.ground != "" {
		pad = theme.Padding() * 2
	}
	room := fyne.NewSize(size.Width-2*pad, size.Height)
	if s.text == "" || room.Width <= 0 || room.Height <= 0 {
		for _, t := range r.lines {
			t.Hide()
		}
		return
	}
	lines, text := s.fit(room)
	style := fyne.TextStyle{Bold: s.bold}
	height := fyne.MeasureText("Ag", text, style).Height
	y := (size.Height - height*float32(len(lines))) / 2
	ink := s.Theme().Color(s.ink, fyne.CurrentApp().Settings().ThemeVariant())
	for i, l := range lines {
		if i == len(r.lines) {
			r.lines = append(r.lines, canvas.NewText("", nil))
		}
		t := r.lines[i]
		t.Text, t.TextSize, t.TextStyle, t.Color = l, text, style, ink
		t.Move(fyne.NewPos(pad, y+float32(i)*height))
		t.Resize(fyne.NewSize(room.Width, height))
		t.Show()
		t.Refresh()
	}
	for _, t := range r.lines[len(lines):] {
		t.Hide()
	}
}

func (r *signRenderer) Refresh() {
	r.back.FillColor = color.Transparent
	if r.sign.ground != "" {
		r.back.FillColor = r.sign.Theme().Color(r.sign.ground, fyne.CurrentApp().Settings().ThemeVariant())
	}
	r.back.Refresh()
	r.Layout(r.sign.Size())
}

func (r *signRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.back}
	for _, t := range r.lines {
		objects = append(objects, t)
	}
	return objects
}

func (r *signRenderer) Destroy() {}
