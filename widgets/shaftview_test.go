package widgets

import (
	"image/color"
	"math"
	"reflect"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
	"gonum.org/v1/gonum/spatial/r3"
)

// newView returns a view in a window of 700 by 420 dp.
func newView(t testing.TB, as fyne.ThemeVariant) (*ShaftView, fyne.Canvas) {
	t.Helper()
	newApp(t, as)
	v := NewShaftView()
	s := scene(60)
	v.SetScene(s)
	v.SetCamera(Camera{Azimuth: -1.2, Elevation: 0.25, Distance: 3}.Fit(s.Rods[1].Line))
	v.SetCaption("Face on")
	v.SetNote("deflection × 5")
	return v, shown(t, v, 700, 420).Canvas()
}

func TestShaftViewOrbits(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	var told []Camera
	v.OnCamera = func(c Camera) { told = append(told, c) }
	before := v.Camera()
	test.Drag(c, fyne.NewPos(300, 200), 40, 20)
	got := v.Camera()
	if len(told) != 1 || told[0] != got {
		t.Fatalf("told %v, camera %v", told, got)
	}
	// The scene follows the hand: dragging right turns the eye to the left.
	if got.Azimuth >= before.Azimuth || got.Elevation <= before.Elevation || got.Target != before.Target || got.Distance != before.Distance {
		t.Errorf("camera %+v after %+v", got, before)
	}
	v.SetCamera(before)
	if len(told) != 1 {
		t.Error("a setter called back")
	}
	v.SetCamera(Camera{Elevation: math.Pi / 2, Distance: 1})
	test.Drag(c, fyne.NewPos(300, 200), 0, 20)
	if len(told) != 1 {
		t.Error("told of no change at the pole")
	}
}

func TestShaftViewZooms(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	before := v.Camera()
	test.Scroll(c, fyne.NewPos(300, 200), 0, notch)
	if got := before.Distance / v.Camera().Distance; math.Abs(got-1.2) > 1e-6 {
		t.Errorf("a notch enlarges %v times, want 1.2", got)
	}
}

// What lies under the pointer at the target's depth stays under it.
func TestShaftViewPans(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	at := fyne.NewPos(300, 200)
	size := v.raster.Size()
	point := v.Camera().Target
	move := func() { // by 30 right and 50 down
		v.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonSecondary})
		v.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at.AddXY(30, 50)}, Button: desktop.MouseButtonSecondary})
		v.MouseUp(&desktop.MouseEvent{})
	}
	check := func(x, y float64) {
		t.Helper()
		l := v.Camera().lens(float64(size.Width), float64(size.Height))
		px, py, _, _, _ := l.project(point)
		if math.Abs(px-float64(size.Width)/2-x) > 1e-3 || math.Abs(py-float64(size.Height)/2-y) > 1e-3 {
			t.Errorf("the point went to %v, %v from the middle, want %v, %v", px-float64(size.Width)/2, py-float64(size.Height)/2, x, y)
		}
	}
	move()
	check(30, 50)
	v.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary, Modifier: fyne.KeyModifierShift})
	test.Drag(c, at, -10, -20)
	check(20, 30)
	azimuth := v.Camera().Azimuth
	test.Drag(c, at, -10, -20)
	if v.Camera().Azimuth == azimuth {
		t.Error("still moving after the shifted drag ended")
	}
}

func TestShaftViewReset(t *testing.T) {
	v, _ := newView(t, theme.VariantLight)
	test.DoubleTap(v) // nobody listens
	asked := 0
	v.OnReset = func() { asked++ }
	test.DoubleTap(v)
	if asked != 1 {
		t.Errorf("asked %d times", asked)
	}
}

// Two views that set each other follow without an end.
func TestShaftViewsLink(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	w := NewShaftView()
	v.OnCamera, w.OnCamera = w.SetCamera, v.SetCamera
	test.Drag(c, fyne.NewPos(300, 200), 17, 0)
	if w.Camera() != v.Camera() {
		t.Errorf("cameras %+v and %+v", v.Camera(), w.Camera())
	}
}

func TestShaftViewPaintsRods(t *testing.T) {
	for _, as := range []fyne.ThemeVariant{theme.VariantLight, theme.VariantDark} {
		v, c := newView(t, as)
		red := color.NRGBA{0xd0, 0x20, 0x20, 0xff}
		v.SetScene(Scene{Rods: []Rod{{Line: []r3.Vec{{Z: -0.5}, {}, {Z: 0.5}}, Radius: [2]float64{0.02, 0.02}, Color: red}}})
		v.SetCamera(Camera{Distance: 3})
		img := c.Capture()
		p, s := v.raster.Position(), v.raster.Size()
		x, y := int(p.X+s.Width/2), int(p.Y+s.Height/2)
		if r, g, _, _ := img.At(x, y).RGBA(); r < 0xa000 || g > 0x5800 { // lighter on the dark ground
			t.Errorf("variant %v: the middle of the rod is %v", as, img.At(x, y))
		}
		// 0.04 m at 3 m in a picture whose height shows span metres.
		width := 0.04 / v.Camera().span() * float64(s.Height)
		wide := 0
		for dx := -40; dx <= 40; dx++ {
			if r, g, _, _ := img.At(x+dx, y).RGBA(); r > 2*g {
				wide++
			}
		}
		if math.Abs(float64(wide)-width) > 1.5 {
			t.Errorf("variant %v: the rod is %d pixels wide, want %.1f", as, wide, width)
		}
	}
}

// At twice the scale a picture has twice the pixels, not larger ones.
func TestShaftViewAtHighScale(t *testing.T) {
	newApp(t, theme.VariantLight)
	v := NewShaftView()
	v.SetScene(Scene{Rods: []Rod{{Line: []r3.Vec{{Z: -0.5}, {Z: 0.5}}, Radius: [2]float64{0.02, 0.02}, Color: color.Black}}})
	v.SetCaption("Face on")
	var dark [2]int // in the row through the middle
	for i, scale := range []float32{1, 2} {
		img := render(v, 300, 200, scale)
		size := img.Bounds().Size()
		if size.X != int(300*scale) || size.Y != int(200*scale) {
			t.Fatalf("scale %v: picture of %v", scale, size)
		}
		if got := v.raster.Size().Width * scale; float32(test.WidgetRenderer(v).(*shaftRenderer).picture.ink.img.Rect.Dx()) != got {
			t.Errorf("scale %v: the scene is not %v pixels wide", scale, got)
		}
		for x := range size.X {
			if r, _, _, _ := img.At(x, size.Y/2).RGBA(); r < 0x4000 {
				dark[i]++
			}
		}
	}
	if dark[0] < 4 || dark[1] < 2*dark[0]-1 || dark[1] > 2*dark[0]+2 {
		t.Errorf("the rod is %d pixels wide at scale 1 and %d at 2", dark[0], dark[1])
	}
}

// The grid kept from the last frame is the one a fresh view paints.
func TestGridFollowsTheCamera(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	s := scene(20)
	for _, step := range []func(){
		func() { v.SetCamera(v.Camera().Orbit(0.3, 0.1)) },
		func() { s.Ground = -0.2; v.SetScene(s) },
		func() { s.GridStep = 0.1; v.SetScene(s) },
		func() { s.Grid = false; v.SetScene(s) },
		func() { s.Grid = true; v.SetScene(s) },
	} {
		step()
		c.Capture()
		fresh := NewShaftView()
		fresh.SetScene(v.scene)
		fresh.SetCamera(v.Camera())
		fresh.SetCaption("Face on")
		fresh.SetNote("deflection × 5")
		d := shown(t, fresh, 700, 420).Canvas()
		if !reflect.DeepEqual(c.Capture(), d.Capture()) {
			t.Fatal("the picture differs from that of a fresh view")
		}
	}
}

// Gaps and points behind the eye leave rods out in part, and nothing panics.
func TestShaftViewTakesGaps(t *testing.T) {
	v, c := newView(t, theme.VariantLight)
	s := scene(30)
	gap := r3.Vec{X: math.NaN()}
	for i := range s.Rods {
		s.Rods[i].Line[4], s.Rods[i].Line[29] = gap, gap
	}
	s.Trails[0].Points[0] = gap
	s.Outlines[0].Faces[0][2] = gap
	s.Dots[0].At, s.Axes[0].To = gap, gap
	s.Rods = append(s.Rods, Rod{}, Rod{Line: []r3.Vec{gap}}, Rod{Line: []r3.Vec{{}}, Ghost: true})
	v.SetScene(s)
	for _, c2 := range []Camera{v.Camera(), {Distance: 0.01, Target: r3.Vec{Z: 0.6}}, {Elevation: math.Pi / 2, Distance: 0.5, Orthographic: true}} {
		v.SetCamera(c2)
		c.Capture()
	}
}

func TestShaftViewIsTidy(t *testing.T) {
	v, _ := newView(t, theme.VariantLight)
	s := scene(20)
	s.Axes = nil // their names belong into the picture
	v.SetScene(s)
	for w := float32(160); w < 1300; w += 67 {
		for h := float32(120); h < 900; h += 111 {
			v.Resize(fyne.NewSize(w, h))
			tidy(t, v, v.raster)
		}
	}
}

func TestShaftViewPanics(t *testing.T) {
	v := NewShaftView()
	for name, f := range map[string]func(){
		"camera without distance": func() { v.SetCamera(Camera{}) },
		"band of another length":  func() { v.SetScene(Scene{Rods: []Rod{{Line: make([]r3.Vec, 3), Band: make([]float64, 2)}}}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was taken", name)
				}
			}()
			f()
		}()
	}
}

func TestLegible(t *testing.T) {
	for _, as := range []fyne.ThemeVariant{theme.VariantLight, theme.VariantDark} {
		newApp(t, as)
		l := lookOf(fyne.CurrentApp().Settings().Theme())
		for _, c := range Palette {
			if got := contrast(l.legible(c), l.ground); got < 3 {
				t.Errorf("variant %v: %v has contrast %v as a line", as, c, got)
			}
			if got := contrast(l.readable(c), l.ground); got < 4.5 {
				t.Errorf("variant %v: %v has contrast %v as a text", as, c, got)
			}
		}
	}
	if got := contrast(color.White, color.Black); math.Abs(got-21) > 1e-9 {
		t.Errorf("contrast of white and black %v, want 21", got)
	}
}

// Four panes as in the window, one frame of a playing swing.
func BenchmarkFourShaftViews(b *testing.B) {
	newApp(b, theme.VariantLight)
	s := scene(60)
	var renderers []*shaftRenderer
	for range 4 {
		v := NewShaftView()
		v.SetScene(s)
		v.SetCamera(Camera{Azimuth: -1.2, Elevation: 0.25, Distance: 3}.Fit(s.Rods[1].Line))
		v.Resize(fyne.NewSize(700, 420))
		renderers = append(renderers, test.WidgetRenderer(v).(*shaftRenderer))
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, r := range renderers {
			r.draw(700, 420)
		}
	}
}
