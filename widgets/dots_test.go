package widgets

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestDotAt finds dots where they are drawn: in the middle, beside it, and the
// nearer of two behind each other.
func TestDotAt(t *testing.T) {
	test.NewTempApp(t)
	v := NewShaftView()
	if v.DotAt(fyne.NewPos(10, 10)) != -1 {
		t.Error("found a dot before there is a picture")
	}
	w := test.NewTempWindow(t, v)
	w.Resize(fyne.NewSize(400, 400))
	v.SetCamera(Camera{Distance: 3, Orthographic: true}) // from +x, y to the right
	v.SetScene(Scene{Dots: []Dot{
		{At: r3.Vec{X: -1}, Label: "back"}, {At: r3.Vec{X: 1}, Label: "front"}, {At: r3.Vec{Y: 0.3}, Label: "side"},
	}})
	l := v.camera.lens(float64(v.raster.Size().Width), float64(v.raster.Size().Height))
	place := func(p r3.Vec) fyne.Position {
		x, y, _, _, _ := l.project(p)
		return v.raster.Position().AddXY(float32(x), float32(y))
	}
	for _, is := range []struct {
		at   fyne.Position
		want int
	}{
		{place(r3.Vec{}), 1},
		{place(r3.Vec{}).AddXY(2, -1), 1},
		{place(r3.Vec{Y: 0.3}).AddXY(-8, 8), 2},
		{place(r3.Vec{Y: 0.3}).AddXY(0, 40), -1},
	} {
		if got := v.DotAt(is.at); got != is.want {
			t.Errorf("at %v is dot %d, want %d", is.at, got, is.want)
		}
	}
	// Names of two dots behind each other stand on either side of them.
	r := test.WidgetRenderer(v).(*shaftRenderer)
	shown := 0
	for _, n := range r.names {
		if n.Visible() {
			shown++
		}
	}
	if shown != 3 {
		t.Errorf("%d names are shown", shown)
	}
}
