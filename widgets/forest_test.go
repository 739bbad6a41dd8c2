package widgets

import (
	"image"
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// TestForest finds dot, bar, band and gap where the numbers say.
func TestForest(t *testing.T) {
	test.NewTempApp(t)
	f := NewForest()
	w := test.NewTempWindow(t, f)
	w.Resize(fyne.NewSize(700, 200))
	nan := math.NaN()
	f.SetEffects("difference, mm", []Effect{
		{Label: "A", Value: 4, Low: 2, High: 6, Text: "+4.0"},
		{Label: "B", Value: nan, Low: nan, High: nan, Text: "–"},
		{Label: "all", Value: -5, Low: nan, High: nan, Whole: true},
	}, 1)
	r := f.drawn
	const width, height = 500, 3 * forestRow
	img := r.draw(width, height).(*image.RGBA)
	pixel := func(v float64, row float64) color.Color {
		return img.At(int(r.x.at(v)*width), int((row+0.5)*forestRow))
	}
	ground := color.RGBAModel.Convert(r.look.ground)
	blue := color.RGBAModel.Convert(r.look.legible(Palette[0]))
	if pixel(4, 0) != blue || pixel(2.5, 0) != blue || pixel(5.5, 0) != blue {
		t.Error("the dot or the bar of the first row is missing")
	}
	if pixel(6.3, 0) != ground || pixel(-5, 1) != ground {
		t.Error("there is ink where there is no bar")
	}
	if pixel(0.6, 1) == ground || pixel(1.2, 1) != ground {
		t.Error("the band is not ±1")
	}
	if pixel(-5, 2) != color.RGBAModel.Convert(r.look.ink) {
		t.Error("the dot of all together is missing")
	}
	if e := f.extent(); !e.has(6) || !e.has(-5) || !e.has(1) || !e.has(0) {
		t.Errorf("the axis is %v", e)
	}
	if m, n := f.MinSize(), len(f.effects); m.Height < forestRow*float32(n) {
		t.Errorf("%d rows have the height %v", n, m.Height)
	}
	f.SetEffects("", nil, nan) // nothing to draw, and nothing to fail
	r.draw(width, 0)
}
