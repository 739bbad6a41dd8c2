package widgets

import (
	"image"
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/software"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
	"gonum.org/v1/gonum/spatial/r3"
)

// variant is a theme held to light or dark.
type variant struct {
	fyne.Theme
	as fyne.ThemeVariant
}

func (v variant) Color(n fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	return v.Theme.Color(n, v.as)
}

// newApp starts a test application in light or dark.
func newApp(t testing.TB, as fyne.ThemeVariant) {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(variant{theme.DefaultTheme(), as})
}

// render returns a picture of an object at a size in dp and a scale.
func render(o fyne.CanvasObject, w, h, scale float32) image.Image {
	c := software.NewCanvas()
	c.SetPadded(false)
	c.SetScale(scale)
	c.SetContent(o)
	c.Resize(fyne.NewSize(w, h))
	return software.RenderCanvas(c, fyne.CurrentApp().Settings().Theme())
}

// shown puts an object in a window of a size.
func shown(t testing.TB, o fyne.CanvasObject, w, h float32) fyne.Window {
	t.Helper()
	window := test.NewTempWindow(t, o)
	window.SetPadded(false)
	window.Resize(fyne.NewSize(w, h))
	return window
}

// bow is a rod of n points from a grip 1.1 m up, hanging and bent by tip.
func bow(n int, tip r3.Vec) []r3.Vec {
	line := make([]r3.Vec, n)
	for i := range line {
		s := float64(i) / float64(n-1)
		line[i] = r3.Add(r3.Vec{X: 0.35 * s, Y: -0.55 * s, Z: 1.1 - 0.95*s}, r3.Scale(s*s, tip))
	}
	return line
}

// scene has one of everything.
func scene(stations int) Scene {
	line, straight := bow(stations, r3.Vec{X: 0.12, Z: 0.02}), bow(stations, r3.Vec{})
	other := bow(stations, r3.Vec{X: 0.05, Z: 0.06})
	band := make([]float64, stations)
	for i := range band {
		band[i] = 0.002 + 0.02*float64(i)/float64(stations)
	}
	var trail []r3.Vec
	for i := range 120 {
		a := -1.6 + 1.8*float64(i)/119
		trail = append(trail, r3.Vec{X: 0.47 + 0.9*math.Sin(a), Y: -0.55, Z: 1.1 - 0.93*math.Cos(a)})
	}
	end := line[stations-1]
	head := [][]r3.Vec{{
		r3.Add(end, r3.Vec{X: 0.01}), r3.Add(end, r3.Vec{X: 0.02, Y: -0.1, Z: -0.02}),
		r3.Add(end, r3.Vec{X: 0.02, Y: -0.11, Z: -0.06}), r3.Add(end, r3.Vec{X: -0.07, Y: -0.06, Z: -0.07}),
		r3.Add(end, r3.Vec{X: -0.05, Y: 0.01, Z: -0.05}),
	}}
	var dots []Dot
	for i := 10; i < stations; i += 12 {
		dots = append(dots, Dot{At: r3.Add(line[i], r3.Vec{X: 0.011}), Hollow: i%24 == 10})
	}
	o := r3.Vec{X: -0.7, Y: -0.6}
	return Scene{
		Grid: true,
		Axes: []Axis{
			{o, r3.Add(o, r3.Vec{X: 0.25}), "target", Palette[1]},
			{o, r3.Add(o, r3.Vec{Y: 0.25}), "to the ball", Palette[2]},
			{o, r3.Add(o, r3.Vec{Z: 0.25}), "up", Palette[0]},
		},
		Trails:   []Trail{{trail, Palette[0], true}},
		Outlines: []Outline{{head, Palette[0]}},
		Rods: []Rod{
			{Label: "undeflected", Line: straight, Ghost: true},
			{Label: "Baseline, run 3", Line: line, Radius: [2]float64{0.0076, 0.0043}, Color: Palette[0], Band: band},
			{Label: "Prototype, run 1", Line: other, Radius: [2]float64{0.0076, 0.0043}, Color: Palette[1]},
		},
		Dots: dots,
	}
}

// curves are four over -300 to 20 with bands, a gap and a muted one.
func curves(n int) []Curve {
	names := []string{"Baseline, run 3", "Prototype, run 1", "Prototype, run 2", ""}
	var out []Curve
	for k, name := range names {
		c := Curve{Label: name, Dash: Dash(k), Muted: name == ""}
		for i := range n {
			x := -300 + 320*float64(i)/float64(n-1)
			y := 60*math.Exp(-(x+60)*(x+60)/2000) - 70*math.Exp(-(x+200)*(x+200)/4000) + 6*float64(k)
			if k == 1 && x > -160 && x < -150 {
				y = math.NaN()
			}
			c.X, c.Y = append(c.X, x), append(c.Y, y)
			if k < 2 {
				c.Low, c.High = append(c.Low, y-4-x/100), append(c.High, y+4-x/100)
			}
		}
		out = append(out, c)
	}
	return out
}

// texts returns the texts painted for a widget with their places in it.
func texts(w fyne.Widget) map[*canvas.Text]image.Rectangle {
	found := map[*canvas.Text]image.Rectangle{}
	for _, o := range test.WidgetRenderer(w).Objects() {
		if t, ok := o.(*canvas.Text); ok && t.Visible() && t.Text != "" {
			p, s := t.Position(), t.MinSize()
			left := p.X
			if t.Alignment == fyne.TextAlignTrailing {
				left += t.Size().Width - s.Width
			}
			// In tenths of a dp, from the top of the capitals to the foot of
			// the descenders, which are 0.73 and 0.22 of a size in Fyne's font.
			foot := p.Y + baseline(t)
			found[t] = image.Rect(int(10*left), int(10*(foot-0.73*t.TextSize)), int(10*(left+s.Width)), int(10*(foot+0.22*t.TextSize)))
		}
	}
	return found
}

// tidy checks that no text of a widget touches another, lies on what is painted
// or is cut by the widget's edge.
func tidy(t *testing.T, w fyne.Widget, painted ...*canvas.Raster) {
	t.Helper()
	size := w.Size()
	edge := image.Rect(0, 0, int(10*size.Width), int(10*size.Height))
	all := texts(w)
	for a, at := range all {
		if !at.In(edge) {
			t.Errorf("%v: %q at %v is cut", size, a.Text, at)
		}
		for b, bt := range all {
			if a != b && at.Overlaps(bt) {
				t.Errorf("%v: %q at %v lies on %q at %v", size, a.Text, at, b.Text, bt)
			}
		}
		for _, r := range painted {
			p, s := r.Position(), r.Size()
			area := image.Rect(int(10*p.X), int(10*p.Y), int(10*(p.X+s.Width)), int(10*(p.Y+s.Height)))
			if area.Dx() > 0 && at.Overlaps(area) {
				t.Errorf("%v: %q at %v lies on the picture at %v", size, a.Text, at, area)
			}
		}
	}
}
