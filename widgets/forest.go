package widgets

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// An Effect is one row of a Forest: a value and its interval.
type Effect struct {
	Label            string
	Value, Low, High float64 // NaN where not known
	Text             string  // the same in words, at the right
	Whole            bool    // of all together: drawn heavier, apart by a line
	Warn             bool    // needs a look
}

// A Forest shows effects one below the other on a common axis, each a dot with
// a bar for its interval, over a line at zero and a band of effects too small to
// matter.
type Forest struct {
	widget.BaseWidget

	label   string
	effects []Effect
	margin  float64 // half width of the band; NaN or 0 for none
	drawn   *forestRenderer
}

// NewForest returns a forest without effects.
func NewForest() *Forest {
	f := &Forest{}
	f.ExtendBaseWidget(f)
	return f
}

// SetEffects shows effects over an axis with a label, which carries the unit,
// and a band of ±margin; NaN for none. The slice must not change afterwards.
func (f *Forest) SetEffects(label string, effects []Effect, margin float64) {
	f.label, f.effects, f.margin = label, effects, margin
	f.Refresh()
}

// extent returns the extent of the axis: all bars, the band and zero.
func (f *Forest) extent() extent {
	e := nowhere.with(0).with(f.margin).with(-f.margin)
	for _, v := range f.effects {
		e = e.with(v.Value).with(v.Low).with(v.High)
	}
	return e.roomy(0.06)
}

// CreateRenderer is part of fyne.Widget.
func (f *Forest) CreateRenderer() fyne.WidgetRenderer {
	f.ExtendBaseWidget(f)
	r := &forestRenderer{forest: f, axis: canvas.NewText("", nil)}
	r.raster = canvas.NewRaster(r.draw)
	f.drawn = r
	return r
}

// forestRow is the height of a row, and forestLeast the width of the axis below
// which the words at the right give way, dp.
const (
	forestRow   = 26
	forestLeast = 160
)

// A forestRenderer paints dots and bars as one picture, with words around it.
type forestRenderer struct {
	forest *Forest
	raster *canvas.Raster
	axis   *canvas.Text
	words  words
	ink    ink
	look   look
	x      extent
	ticks  []float64
	top    float32 // height of the axis, dp
	rows   float32 // height of all rows, dp
}

// MinSize is part of fyne.WidgetRenderer.
func (r *forestRenderer) MinSize() fyne.Size {
	look := lookOf(r.forest.Theme())
	small := fyne.MeasureText("0", look.small, fyne.TextStyle{}).Height
	return fyne.NewSize(2*forestLeast, forestRow*float32(len(r.forest.effects))+2*small+3*look.pad)
}

// Refresh is part of fyne.WidgetRenderer.
func (r *forestRenderer) Refresh() {
	r.Layout(r.forest.Size())
	canvas.Refresh(r.forest)
}

// Layout is part of fyne.WidgetRenderer.
func (r *forestRenderer) Layout(size fyne.Size) {
	f, look := r.forest, lookOf(r.forest.Theme())
	r.look, r.x = look, f.extent()
	pad := look.pad
	var left, right float32
	for _, v := range f.effects {
		style := fyne.TextStyle{}
		left = max(left, fyne.MeasureText(v.Label, look.text, style).Width)
		right = max(right, fyne.MeasureText(v.Text, look.small, style).Width)
	}
	left = min(left, 0.42*size.Width)
	if size.Width-left-right-6*pad < forestLeast {
		right = 0
	}
	start := left + 2*pad
	width := max(0, size.Width-start-right-4*pad)
	r.rows = forestRow * float32(len(f.effects))
	small := fyne.MeasureText("0", look.small, fyne.TextStyle{}).Height
	r.top = 2*small + 2*pad // the axis stands above, so that it is seen however many rows there are
	r.raster.Move(fyne.NewPos(start, r.top))
	r.raster.Resize(fyne.NewSize(width, r.rows))
	n := 0
	for i, v := range f.effects {
		middle := r.top + forestRow*(float32(i)+0.5)
		t := r.words.take(n, shorten(v.Label, left, look.text, fyne.TextStyle{}), look.ink, look.text)
		stand(t, pad, middle+look.text*0.36) // half the height of a digit
		n++
		if right > 0 {
			colour := look.faint
			if v.Warn {
				colour = look.readable(r.warning())
			}
			t = r.words.take(n, v.Text, colour, look.small)
			stand(t, start+width+2*pad, middle+look.small*0.36)
			n++
		}
	}
	values, decimals := r.x.ticks(max(3, int(width/50)))
	if len(f.effects) == 0 { // an axis of nothing says nothing
		values = nil
	}
	r.ticks = values
	var taken []extent
	for _, v := range values {
		text := number(v, decimals)
		w := fyne.MeasureText(text, look.small, fyne.TextStyle{}).Width
		at := start + float32(r.x.at(v))*width - w/2
		if claim(&taken, at, w, pad) {
			t := r.words.take(n, text, look.faint, look.small)
			stand(t, at, r.top-pad-small*0.2)
			n++
		}
	}
	r.words.hide(n)
	r.axis.Text, r.axis.Color, r.axis.TextSize = shorten(f.label, size.Width-2*pad, look.small, fyne.TextStyle{}), look.faint, look.small
	r.axis.Resize(r.axis.MinSize())
	r.axis.Move(fyne.NewPos(min(start, max(pad, size.Width-pad-r.axis.MinSize().Width)), 0))
	r.axis.Refresh()
	r.raster = repaint(r.raster)
}

// draw paints band, grid, bars and dots.
func (r *forestRenderer) draw(w, h int) image.Image {
	k, f, look := &r.ink, r.forest, r.look
	k.start(w, h, look.ground)
	if r.rows <= 0 || w == 0 || h == 0 {
		return k.img
	}
	px := float64(h) / float64(r.rows)
	thick := max(1, int(math.Round(px)))
	at := func(v float64) float64 { return r.x.at(v) * float64(w) }
	if f.margin > 0 {
		k.rect(image.Rect(int(at(-f.margin)), 0, int(at(f.margin)), h), mix(look.ground, look.ink, 0.09))
	}
	for _, v := range r.ticks {
		x := int(at(v))
		k.rect(image.Rect(x, 0, x+thick, h), look.line)
	}
	zero := int(at(0))
	k.rect(image.Rect(zero, 0, zero+thick, h), mix(look.ground, look.ink, 0.6))
	k.rect(image.Rect(0, 0, w, thick), mix(look.ground, look.ink, 0.35))
	for i, v := range f.effects {
		y := float32((float64(i) + 0.5) * forestRow * px)
		colour, bar, dot := look.legible(Palette[0]), float32(1.1*px), float32(3.6*px)
		if v.Whole {
			colour, bar, dot = look.ink, float32(1.7*px), float32(5*px)
			for _, edge := range []int{i, i + 1} {
				if at := int(float64(edge) * forestRow * px); edge > 0 && edge < len(f.effects) {
					k.rect(image.Rect(0, at, w, at+thick), look.line)
				}
			}
		}
		if v.Warn {
			colour = look.legible(r.warning())
		}
		if !math.IsNaN(v.Low + v.High) {
			low, high := float32(at(v.Low)), float32(at(v.High))
			k.line([]spot{{low, y, bar}, {high, y, bar}}, plain(colour))
			for _, end := range []float32{low, high} {
				k.line([]spot{{end, y - dot, bar}, {end, y + dot, bar}}, plain(colour))
			}
		}
		if !math.IsNaN(v.Value) {
			k.disc(spot{float32(at(v.Value)), y, dot})
			k.paint(colour)
		}
	}
	return k.img
}

// warning is the colour of what needs a look.
func (r *forestRenderer) warning() color.Color {
	return r.forest.Theme().Color(theme.ColorNameWarning, fyne.CurrentApp().Settings().ThemeVariant())
}

// Objects is part of fyne.WidgetRenderer.
func (r *forestRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.raster, r.axis}
	for _, t := range r.words {
		objects = append(objects, t)
	}
	return objects
}

// Destroy is part of fyne.WidgetRenderer.
func (r *forestRenderer) Destroy() {}
