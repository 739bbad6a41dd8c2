package widgets

import (
	"image"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// A plotRenderer keeps the painted curves as one picture, with the cursor as a
// line over it and all words as texts around it.
type plotRenderer struct {
	plot   *Plot
	raster *canvas.Raster
	cursor *canvas.Line
	title  *canvas.Text
	labels [2]*canvas.Text // of x, y
	key    *key
	named  []int // the curve of each sample of the key
	ticks  words
	marks  words
	scale  *scale

	chart    chart
	frame    frame
	decimals int  // of a read-out
	stale    bool // the picture must be painted again
	pace     pace
}

// CreateRenderer is part of fyne.Widget.
func (p *Plot) CreateRenderer() fyne.WidgetRenderer {
	p.ExtendBaseWidget(p)
	r := &plotRenderer{
		plot:   p,
		cursor: canvas.NewLine(nil),
		title:  canvas.NewText("", nil),
		labels: [2]*canvas.Text{canvas.NewText("", nil), canvas.NewText("", nil)},
		key:    newKey(),
		scale:  newScale(),
	}
	r.title.TextStyle.Bold = true
	r.cursor.Hide()
	r.raster = canvas.NewRaster(r.draw)
	p.drawn = r
	r.frame.look = lookOf(p.Theme())
	return r
}

// Refresh is part of fyne.WidgetRenderer.
func (r *plotRenderer) Refresh() { r.Layout(r.plot.Size()) }

// Layout reads the state of the plot and places everything from the top down:
// title and key, labels of the marks, curves, ticks of x, label of x.
func (r *plotRenderer) Layout(size fyne.Size) {
	p, look := r.plot, lookOf(r.plot.Theme())
	pad := look.pad
	r.frame.look = look
	r.frame.x = p.seen()
	r.frame.y = p.values(r.frame.x)

	small := fyne.MeasureText("0", look.small, fyne.TextStyle{}).Height
	bottom := size.Height - small - 1.5*pad
	if p.xLabel != "" {
		bottom -= small
	}
	_, decimals := r.rows(bottom - 4*small) // the height is known only roughly yet
	r.decimals = decimals + 1
	const perRow = 85 // dp of height for each row of the key
	r.key.rows = max(keyRows, int(size.Height/perRow))
	top := r.head(size.Width)
	if len(p.marks) > 0 {
		top += small
	}
	height := max(0, bottom-top-small/2)
	top += small / 2 // for the upper half of the topmost label

	var yTexts []string
	r.frame.yTicks, decimals = r.rows(height)
	// At least as wide as a usual label, so that plots one below the other line up.
	gutter := fyne.MeasureText("–100.0", look.small, fyne.TextStyle{}).Width
	for _, v := range r.frame.yTicks {
		s := number(v, decimals)
		yTexts = append(yTexts, s)
		gutter = max(gutter, fyne.MeasureText(s, look.small, fyne.TextStyle{}).Width)
	}
	left := 2*pad + gutter + pad
	width := max(0, size.Width-left-3*pad-r.scale.width(p.field, look))
	r.scale.layout(p.field, look, left+width, top, height)
	r.raster.Move(fyne.NewPos(left, top))
	r.raster.Resize(fyne.NewSize(width, height))

	n := 0
	var taken []extent
	for i, v := range r.frame.yTicks {
		y := top + float32(1-r.frame.y.at(v))*height
		if !claim(&taken, y, 0, look.small/2) {
			continue
		}
		t := r.ticks.take(n, yTexts[i], look.faint, look.small)
		stand(t, left-pad-t.Size().Width, y+look.small*0.36) // half the height of a digit
		n++
	}
	n = r.columns(n, left, bottom, width)
	r.ticks.hide(n)
	r.flags(left, top-small/2-small, width)

	x := r.labels[0]
	x.Text, x.Color, x.TextSize = shorten(p.xLabel, size.Width-4*pad, look.small, x.TextStyle), look.faint, look.small
	x.Resize(x.MinSize())
	x.Move(fyne.NewPos(max(2*pad, left+width-x.MinSize().Width), bottom+small+pad/2))
	x.Refresh()

	r.cursor.StrokeColor, r.cursor.StrokeWidth = look.ink, 1.5
	r.cursor.Resize(fyne.NewSize(0, height))
	r.stale = true
	r.raster = repaint(r.raster)
	r.place()
	r.read() // without waiting: the values go where their labels went
}

// rows returns the ticks of y for a height: at least two, if need be closer
// than is comfortable; none where nothing is shown.
func (r *plotRenderer) rows(height float32) (values []float64, decimals int) {
	if r.plot.bare() {
		return nil, 0
	}
	const apart, most = 40, 8
	for n := max(2, int(height/apart)); ; n++ {
		values, decimals = r.frame.y.ticks(n)
		if len(values) >= 2 || n >= most {
			return values, decimals
		}
	}
}

// head places title, label of y and key, and returns the height they take.
func (r *plotRenderer) head(width float32) float32 {
	p, look := r.plot, r.frame.look
	pad := look.pad
	room := width - 4*pad
	r.title.Text, r.title.Color, r.title.TextSize = shorten(p.title, room, look.text, r.title.TextStyle), look.ink, look.text
	title := r.title.MinSize()
	r.title.Move(fyne.NewPos(2*pad, pad))
	r.title.Resize(title)
	r.title.Refresh()
	if p.title == "" {
		title.Width = 0
	}
	if p.Room.Width > 0 {
		title.Width, title.Height = p.Room.Width, max(title.Height, p.Room.Height)
	}
	y := r.labels[1]
	gap := float32(0)
	if title.Width > 0 {
		gap = 2 * pad
	}
	y.Text, y.Color, y.TextSize = shorten(p.yLabel, room-title.Width-gap, look.small, y.TextStyle), look.faint, look.small
	label := y.MinSize()
	stand(y, 2*pad+title.Width+gap, r.under(title.Height))
	y.Resize(label)
	y.Refresh()

	r.samples()
	used := title.Width + gap + label.Width + 4*pad
	if p.title == "" && p.yLabel == "" && p.Room.Width == 0 {
		title.Height, used = 0, 0
	}
	if w := r.key.width(); w > 0 && used+w <= room {
		row := r.key.layout(fyne.NewPos(width-2*pad-w, pad+max(0, (title.Height-r.key.rowHeight())/2)), w)
		return pad + max(title.Height, row)
	}
	return pad + title.Height + r.key.layout(fyne.NewPos(2*pad, pad+title.Height), room)
}

// under returns where the letters of the label of y stand: on the line of the
// title, or in the middle of the owner's room.
func (r *plotRenderer) under(height float32) float32 {
	if r.plot.Room.Width > 0 {
		return height/2 + r.frame.look.small*0.36 + 2
	}
	return r.frame.look.pad + baseline(r.title)
}

// samples sets the key: curves with a label, each label once.
func (r *plotRenderer) samples() {
	p := r.plot
	r.key.look = r.frame.look
	r.key.samples, r.named = r.key.samples[:0], r.named[:0]
	widest := ""
	if !math.IsNaN(p.cursor) {
		low, high := r.format(r.frame.y.lo), r.format(r.frame.y.hi)
		widest = low
		if len([]rune(high)) > len([]rune(low)) {
			widest = high
		}
	}
	for i, c := range p.curves {
		if c.Label == "" || slices.ContainsFunc(r.key.samples, func(s sample) bool { return s.label == c.Label }) {
			continue
		}
		width := float32(2)
		if c.Muted {
			width = 1
		}
		r.key.samples = append(r.key.samples, sample{c.Label, colorOf(p.curves, i, r.frame.look), c.Dash, width, widest})
		r.named = append(r.named, i)
	}
}

// columns places the ticks of x, from the nth text on, and returns the next.
// Their number goes with the room their texts need.
func (r *plotRenderer) columns(n int, left, top, width float32) int {
	look := r.frame.look
	if r.plot.bare() {
		r.frame.xTicks = nil
		return n
	}
	var decimals int
	for count := max(2, int(width/50)); count > 0; count-- {
		r.frame.xTicks, decimals = r.frame.x.ticks(count)
		widest := float32(0)
		for _, v := range r.frame.xTicks {
			widest = max(widest, fyne.MeasureText(number(v, decimals), look.small, fyne.TextStyle{}).Width)
		}
		if float32(len(r.frame.xTicks))*(widest+2*look.pad) <= width {
			break
		}
	}
	var taken []extent
	for _, v := range r.frame.xTicks {
		t := r.ticks.take(n, number(v, decimals), look.faint, look.small)
		x := left + float32(r.frame.x.at(v))*width - t.Size().Width/2
		x = min(x, left+width+3*look.pad-t.Size().Width)
		if !claim(&taken, x, t.Size().Width, look.pad/2) { // still too tight: leave it out
			continue
		}
		stand(t, x, top+look.small*1.35)
		n++
	}
	return n
}

// flags places the labels of the marks.
func (r *plotRenderer) flags(left, top, width float32) {
	look := r.frame.look
	n := 0
	var taken []extent
	for _, m := range r.plot.marks {
		if !r.frame.x.has(m.At) || m.Label == "" {
			continue
		}
		t := r.marks.take(n, m.Label, look.ink, look.small)
		w := t.Size().Width
		x := left + float32(r.frame.x.at(m.At))*width - w/2
		x = max(2*look.pad, min(x, left+width+2*look.pad-w))
		if !claim(&taken, x, w, look.pad) {
			continue
		}
		t.Move(fyne.NewPos(x, top))
		n++
	}
	r.marks.hide(n)
}

// point moves the cursor's line and, at the pace of read-outs, the values.
func (r *plotRenderer) point() {
	r.place()
	r.pace.do(r.read)
}

// place puts the cursor's line where the cursor is.
func (r *plotRenderer) place() {
	x, size := r.plot.cursor, r.raster.Size()
	if math.IsNaN(x) || !r.frame.x.has(x) || r.plot.bare() {
		r.cursor.Hide()
	} else {
		r.cursor.Move(r.raster.Position().AddXY(float32(r.frame.x.at(x))*size.Width, 0))
		r.cursor.Show()
	}
}

// read shows the values at the cursor.
func (r *plotRenderer) read() {
	p := r.plot
	r.key.read(func(i int) string {
		if math.IsNaN(p.cursor) || i >= len(r.named) {
			return ""
		}
		return r.format(p.curves[r.named[i]].at(p.cursor))
	})
}

func (r *plotRenderer) format(y float64) string {
	if r.plot.Format != nil && !math.IsNaN(y) {
		return strings.ReplaceAll(r.plot.Format(y), "−", minus)
	}
	return number(y, r.decimals)
}

// xAt returns the x at a horizontal place in the widget.
func (r *plotRenderer) xAt(left float32) float64 {
	return r.frame.x.value(float64((left - r.raster.Position().X) / r.raster.Size().Width))
}

// inside reports whether a place in the widget is on the curves' picture.
func (r *plotRenderer) inside(pos fyne.Position) bool {
	p, s := r.raster.Position(), r.raster.Size()
	return pos.X >= p.X && pos.X <= p.X+s.Width && pos.Y >= p.Y && pos.Y <= p.Y+s.Height
}

// draw paints the curves, if they changed since they were painted.
func (r *plotRenderer) draw(w, h int) image.Image {
	if !r.stale && w == r.frame.w && h == r.frame.h {
		return r.chart.ink.img
	}
	r.stale = false
	r.frame.w, r.frame.h = w, h
	r.frame.px = float64(w) / math.Max(1, float64(r.raster.Size().Width))
	r.chart.paint(r.plot.field, r.plot.curves, r.plot.marks, &r.frame)
	return r.chart.ink.img
}

// MinSize is part of fyne.WidgetRenderer.
func (r *plotRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 140) }

// Objects is part of fyne.WidgetRenderer.
func (r *plotRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.raster, r.cursor, r.title, r.labels[0], r.labels[1]}
	for _, t := range r.ticks {
		objects = append(objects, t)
	}
	for _, t := range r.marks {
		objects = append(objects, t)
	}
	objects = append(objects, r.scale.objects()...)
	return append(objects, r.key.objects()...)
}

// Destroy is part of fyne.WidgetRenderer.
func (r *plotRenderer) Destroy() {
	if r.plot.drawn == r {
		r.plot.drawn = nil
	}
}
