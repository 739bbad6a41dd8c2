package widgets

import (
	"image"
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// tilted is a map that rises with x from −2 to 2 and does not change with y,
// with a gap at its last column.
func tilted() *Map {
	m := &Map{Y: []float64{0, 500, 1000}, Limit: 2}
	for i := range 41 {
		x := float64(i)
		v := -2 + x/10
		if i == 40 {
			v = math.NaN()
		}
		m.X = append(m.X, x)
		m.Z = append(m.Z, []float64{v, v, v})
	}
	return m
}

func TestMapPaintsItsValues(t *testing.T) {
	newApp(t, theme.VariantLight)
	p := NewPlot("Curvature", "ms", "mm")
	p.SetMap(tilted())
	c := shown(t, p, 700, 300).Canvas()
	img := p.drawn.draw(400, 200).(*image.RGBA)
	if from, to := p.Range(); from != 0 || to != 40 {
		t.Errorf("x goes from %v to %v", from, to)
	}
	if p.drawn.frame.y != (extent{0, 1000}) {
		t.Errorf("y goes over %v", p.drawn.frame.y)
	}
	ground := color.RGBAModel.Convert(p.drawn.frame.look.ground).(color.RGBA)
	at := func(x float64) color.RGBA { return img.RGBAAt(int(p.drawn.frame.pixelX(x)), 60) }
	if left := at(1); left.B <= left.R {
		t.Errorf("below zero it is %v, want blue", left)
	}
	if right := at(38.5); right.R <= right.B {
		t.Errorf("above zero it is %v, want vermilion", right)
	}
	if got := at(39.5); got != ground {
		t.Errorf("beside a gap it is %v, want the ground %v", got, ground)
	}
	near := func(a, b uint8) bool { return math.Abs(float64(a)-float64(b)) < 12 }
	if got := at(20); !near(got.R, ground.R) || !near(got.G, ground.G) || !near(got.B, ground.B) {
		t.Errorf("at zero it is %v, want nearly the ground %v", got, ground)
	}
	strong := func(x float64) float64 { return contrast(at(x), ground) }
	if !(strong(1) > strong(10) && strong(10) > strong(15)) {
		t.Error("the colours do not grow with the value")
	}
	if !p.drawn.scale.raster.Visible() {
		t.Error("there is no scale")
	}
	c.Capture()
	p.SetMap(nil)
	if p.drawn.scale.raster.Visible() {
		t.Error("the scale stays without the map")
	}
	defer func() {
		if recover() == nil {
			t.Error("a map of one column is taken")
		}
	}()
	p.SetMap(&Map{X: []float64{1}, Y: []float64{1, 2}, Z: [][]float64{{1, 2}}, Limit: 1})
}

func TestPlotSpanAndRoom(t *testing.T) {
	p, _ := newPlot(t)
	p.SetSpan(-10, 30)
	if p.drawn.frame.y != (extent{-10, 30}) {
		t.Errorf("y is %v", p.drawn.frame.y)
	}
	p.SetSpan(math.NaN(), math.NaN())
	if p.drawn.frame.y == (extent{-10, 30}) {
		t.Error("y does not follow again")
	}
	p.SetTitles("", "ms", "mm")
	was := p.drawn.labels[1].Position().X
	p.Room = fyne.NewSize(120, 30)
	p.Refresh()
	if got := p.drawn.labels[1].Position().X; got < was+120 {
		t.Errorf("the unit is at %v, over what the owner put there", got)
	}
	if top := p.drawn.raster.Position().Y; top < 30 {
		t.Errorf("the picture begins at %v", top)
	}
}

// BenchmarkMap is what a new map or zoom costs.
func BenchmarkMap(b *testing.B) {
	newApp(b, theme.VariantLight)
	m := &Map{Limit: 1}
	for j := range 45 {
		m.Y = append(m.Y, float64(j))
	}
	for i := range 300 {
		m.X = append(m.X, float64(i))
		column := make([]float64, len(m.Y))
		for j := range column {
			column[j] = math.Sin(float64(i*j) / 2000)
		}
		m.Z = append(m.Z, column)
	}
	p := NewPlot("", "", "")
	p.SetMap(m)
	shown(b, p, 700, 300)
	for b.Loop() {
		p.drawn.stale = true
		p.drawn.draw(640, 240)
	}
}
