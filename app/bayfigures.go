package app

import (
	"fmt"
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// bayFigures is a table of large figures: as large as its room allows, the first
// row small and the second column the largest. Headings are made to fit their
// columns.
type bayFigures struct {
	widget.BaseWidget

	rows  [][]figureCell
	large bool // the second column
	plain bool // no words under figures, which then have the height for themselves
}

// A figureCell is one figure, with a small word under it.
type figureCell struct {
	text, under string
	color       color.Color         // of a line under a heading that stands for a shaft, nil for none
	ink         fyne.ThemeColorName // "" for the usual
	bold        bool
}

// spreadCell shows a mean, and how far single swings lie from it where there are
// several.
func spreadCell(v study.Summary, digits int) figureCell {
	text := decimal(v.Mean, digits)
	if v.Runs > 1 {
		text += " ± " + decimal(v.SD, digits)
	}
	return figureCell{text: text}
}

// differenceHead is the heading over differences of two shafts.
func differenceHead(b Bay, reference, other study.Shaft) figureCell {
	return figureCell{text: "difference", under: fmt.Sprintf("%d − %d", b.slotOf(other.Club)+1, b.slotOf(reference.Club)+1)}
}

// differenceCell shows a difference of two shafts and how it stands.
func differenceCell(d study.Standing, digits int) figureCell {
	c := figureCell{text: signed(d.Value, digits), under: tag(d)}
	if d.Telling == study.Apart {
		c.ink, c.bold = theme.ColorNamePrimary, true
	}
	return c
}

func newBayFigures() *bayFigures {
	f := &bayFigures{}
	f.ExtendBaseWidget(f)
	return f
}

// set shows rows, each as long as the first, which is the heading.
func (f *bayFigures) set(rows [][]figureCell) {
	f.rows = rows
	f.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (f *bayFigures) CreateRenderer() fyne.WidgetRenderer { return &figuresRenderer{of: f} }

type figuresRenderer struct {
	of      *bayFigures
	texts   []*canvas.Text
	bars    []*canvas.Rectangle
	objects []fyne.CanvasObject
}

func (r *figuresRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 120) }
func (r *figuresRenderer) Destroy()           {}

func (r *figuresRenderer) Objects() []fyne.CanvasObject { return r.objects }

func (r *figuresRenderer) Refresh() {
	r.Layout(r.of.Size())
	canvas.Refresh(r.of)
}

// Sizes of text by the height of a row: of this swing's figures, of means, of others,
// of headings and of the words under figures.
const (
	largeFigure = 0.80
	meanText    = 0.58
	figureText  = 0.46
	headingText = 0.40
	underText   = 0.29
	plainText   = 0.48
	headingMore = 0.25 // by how much the heading is higher
	figureLine  = 4    // dp, under headings
)

// share returns the size of the text of a cell by the height of a row.
func (f *bayFigures) share(row, col int) float32 {
	switch {
	case row == 0:
		return headingText
	case f.plain:
		return plainText
	case col == 1 && f.large:
		return largeFigure
	case col > 0 && f.large && f.rows[row][col].under == "":
		return meanText
	}
	return figureText
}

// Layout is part of fyne.WidgetRenderer.
func (r *figuresRenderer) Layout(size fyne.Size) {
	rows := r.of.rows
	r.objects = r.objects[:0]
	if len(rows) == 0 || size.Width <= 0 || size.Height <= 0 {
		return
	}
	columns := len(rows[0])
	high := size.Height / (float32(len(rows)) + headingMore)
	style := func(c figureCell) fyne.TextStyle { return fyne.TextStyle{Bold: c.bold} }
	scale := float32(1)
	var widths []float32
	for { // all smaller where it is too wide
		widths = make([]float32, columns)
		total := float32(0)
		for col := range columns {
			if head := rows[0][col]; r.of.plain && head.color != nil { // a name is to be read, if it is not too long
				widths[col] = min(4*scale*high, 0.72*fyne.MeasureText(head.text, scale*high*headingText, fyne.TextStyle{}).Width)
			}
			if col == 1 && !r.of.plain { // dashes leave its heading room
				widths[col] = 0.6 * fyne.MeasureText(rows[0][col].text, scale*high*headingText, fyne.TextStyle{}).Width
			}
			if col > 1 && !r.of.plain { // a column does not grow with its second swing
				widths[col] = fyne.MeasureText("00.0 ± 0.0", scale*high*r.of.share(1, col), fyne.TextStyle{}).Width
			}
			for row := 1; row < len(rows); row++ {
				c := rows[row][col]
				w := max(fyne.MeasureText(c.text, scale*high*r.of.share(row, col), style(c)).Width,
					fyne.MeasureText(c.under, scale*high*underText, fyne.TextStyle{}).Width)
				widths[col] = max(widths[col], w)
			}
			total += widths[col]
		}
		gap := (size.Width - total) / float32(columns)
		if gap >= high*0.22 || scale < 0.3 {
			for col := range widths {
				widths[col] += max(0, gap)
			}
			break
		}
		scale *= 0.96
	}
	variant := fyne.CurrentApp().Settings().ThemeVariant()
	colour := func(name fyne.ThemeColorName) color.Color {
		if name == "" {
			name = theme.ColorNameForeground
		}
		return r.of.Theme().Color(name, variant)
	}
	n, bars := 0, 0
	text := func(s string, size float32, st fyne.TextStyle, ink color.Color, right bool, left, width, mid float32) {
		if s == "" {
			return
		}
		s = strings.ReplaceAll(s, "−", "–") // the font lacks the minus, and another stands higher
		if w := fyne.MeasureText(s, size, st).Width; w > width*0.92 {
			size *= max(0.6, width*0.92/w)
		}
		for r := []rune(s); len(r) > 2 && fyne.MeasureText(s, size, st).Width > width; {
			r = r[:len(r)-1]
			s = string(r) + "…"
		}
		if n == len(r.texts) {
			r.texts = append(r.texts, canvas.NewText("", nil))
		}
		t := r.texts[n]
		n++
		t.Text, t.TextSize, t.TextStyle, t.Color, t.Alignment = s, size, st, ink, fyne.TextAlignLeading
		if right {
			t.Alignment = fyne.TextAlignTrailing
		}
		h := t.MinSize().Height
		t.Move(fyne.NewPos(left, mid-h/2))
		t.Resize(fyne.NewSize(width, h))
		t.Refresh()
		r.objects = append(r.objects, t)
	}
	bar := func(c color.Color, left, top, width, height float32) {
		if bars == len(r.bars) {
			r.bars = append(r.bars, canvas.NewRectangle(c))
		}
		b := r.bars[bars]
		bars++
		b.FillColor = c
		b.Move(fyne.NewPos(left, top))
		b.Resize(fyne.NewSize(width, height))
		b.Refresh()
		r.objects = append(r.objects, b)
	}
	for row := range rows {
		top := high * float32(row)
		if row > 0 {
			top += high * headingMore
			bar(colour(theme.ColorNameSeparator), 0, top, size.Width, 1)
		}
		x := float32(0)
		for col, c := range rows[row] {
			ink, small := colour(c.ink), colour(theme.ColorNamePlaceHolder)
			if c.ink != "" {
				small = ink
			}
			mid := top + high/2
			s := scale * high * r.of.share(row, col)
			if c.under != "" {
				mid = top + high*0.31
				text(c.under, scale*high*underText, fyne.TextStyle{}, small, col > 0, x, widths[col], top+high*0.76)
			}
			text(c.text, s, style(c), ink, col > 0, x, widths[col], mid)
			if c.color != nil {
				bar(c.color, x+widths[col]*0.25, top+high*(1+headingMore)-figureLine-1, widths[col]*0.75, figureLine)
			}
			x += widths[col]
		}
	}
}
