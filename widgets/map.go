package widgets

import (
	"image"
	"image/color"
	"math"
	"sort"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// A Map is a value over x and y, painted in colours under the curves of a Plot:
// blue below zero, the ground at zero, vermilion above, which all common kinds
// of colour vision tell apart. Its y is the plot's.
type Map struct {
	X, Y  []float64   // rising, at least two each
	Z     [][]float64 // by x, then y; NaN is a gap
	Limit float64     // positive: the values ±Limit have the strongest colours
}

// check panics where the slices of a map do not belong together.
func (m *Map) check() {
	if len(m.X) < 2 || len(m.Y) < 2 || len(m.Z) != len(m.X) || !(m.Limit > 0) {
		panic("widgets: a map needs two columns and rows, values for each, and a limit above 0")
	}
	for _, column := range m.Z {
		if len(column) != len(m.Y) {
			panic("widgets: a column of a map is not as long as its rows")
		}
	}
}

// A place is where a value lies between two of a rising list: part of the way
// from at to at + 1.
type place struct {
	at   int
	part float64
}

// placeIn finds a value in a rising list, false beyond its ends.
func placeIn(list []float64, v float64) (place, bool) {
	last := len(list) - 1
	if !(v >= list[0] && v <= list[last]) {
		return place{}, false
	}
	i := min(max(sort.SearchFloat64s(list, v)-1, 0), last-1)
	return place{i, (v - list[i]) / (list[i+1] - list[i])}, true
}

// at returns the value between the four around a place, NaN beside a gap.
func (m *Map) at(x, y place) float64 {
	a, b := m.Z[x.at], m.Z[x.at+1]
	low := a[y.at] + x.part*(b[y.at]-a[y.at])
	high := a[y.at+1] + x.part*(b[y.at+1]-a[y.at+1])
	return low + y.part*(high-low)
}

// shades is how many colours a map has on each side of zero.
const shades = 127

// A ramp is the colours of a map from −Limit to Limit.
type ramp [2*shades + 1]color.RGBA

// newRamp returns the colours on a ground.
func newRamp(l look) *ramp {
	r := new(ramp)
	for i := range r {
		part := float64(i-shades) / shades
		c := l.legible(Palette[1])
		if part < 0 {
			c = l.legible(Palette[0])
		}
		r[i] = color.RGBAModel.Convert(mix(l.ground, c, math.Pow(math.Abs(part), 0.8))).(color.RGBA)
	}
	return r
}

// of returns the colour of a part of the limit; beyond ±1 it is that of ±1.
func (r *ramp) of(part float64) color.RGBA {
	return r[shades+int(math.Round(shades*math.Max(-1, math.Min(1, part))))]
}

// paint paints the map on a picture.
func (m *Map) paint(img *image.RGBA, f *frame) {
	colours := newRamp(f.look)
	rows := make([]place, f.h)
	known := make([]bool, f.h)
	for j := range rows {
		rows[j], known[j] = placeIn(m.Y, f.y.value(1-(float64(j)+0.5)/float64(f.h)))
	}
	for i := range f.w {
		column, ok := placeIn(m.X, f.x.value((float64(i)+0.5)/float64(f.w)))
		if !ok {
			continue
		}
		for j := range rows {
			if !known[j] {
				continue
			}
			if v := m.at(column, rows[j]); !math.IsNaN(v) {
				img.SetRGBA(i, j, colours.of(v/m.Limit))
			}
		}
	}
}

// A scale tells beside a plot what the colours of its map stand for.
type scale struct {
	raster *canvas.Raster
	labels words
	look   look
	ink    ink
}

// scaleWidth is the width of a scale's strip, dp.
const scaleWidth = 10

func newScale() *scale {
	s := &scale{}
	s.raster = canvas.NewRaster(s.draw)
	s.raster.Hide()
	return s
}

// width returns the width of the scale with its labels; 0 without a map.
func (s *scale) width(m *Map, l look) float32 {
	if m == nil {
		return 0
	}
	widest := float32(0)
	for _, t := range m.scaleTexts() {
		widest = max(widest, fyne.MeasureText(t, l.small, fyne.TextStyle{}).Width)
	}
	return scaleWidth + widest + 3*l.pad
}

// scaleTexts are the labels of the limits and of zero, from the top down.
func (m *Map) scaleTexts() [3]string {
	_, decimals := extent{-m.Limit, m.Limit}.ticks(4)
	return [3]string{number(m.Limit, decimals), "0", number(-m.Limit, decimals)}
}

// layout places the scale; without a map it hides it.
func (s *scale) layout(m *Map, l look, left, top, height float32) {
	if m == nil {
		s.raster.Hide()
		s.labels.hide(0)
		return
	}
	s.look = l
	s.raster.Move(fyne.NewPos(left+l.pad, top))
	s.raster.Resize(fyne.NewSize(scaleWidth, height))
	s.raster.Show()
	s.raster = repaint(s.raster)
	for i, text := range m.scaleTexts() {
		t := s.labels.take(i, text, l.faint, l.small)
		stand(t, left+2*l.pad+scaleWidth, top+height*float32(i)/2+l.small*0.36)
	}
}

// draw paints the strip.
func (s *scale) draw(w, h int) image.Image {
	s.ink.start(w, h, s.look.ground)
	colours := newRamp(s.look)
	for j := range h {
		c := colours.of(1 - 2*(float64(j)+0.5)/float64(h))
		for i := range w {
			s.ink.img.SetRGBA(i, j, c)
		}
	}
	return s.ink.img
}

func (s *scale) objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{s.raster}
	for _, t := range s.labels {
		objects = append(objects, t)
	}
	return objects
}
