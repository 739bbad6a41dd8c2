package widgets

import (
	"image/color"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
)

// newPlot returns a plot in a window of 700 by 300 dp.
func newPlot(t testing.TB) (*Plot, fyne.Canvas) {
	t.Helper()
	newApp(t, theme.VariantLight)
	p := NewPlot("Lead", "time to impact, ms", "mm")
	p.SetCurves(curves(600))
	p.SetMarks([]Mark{{0, "impact"}, {-240, "top"}})
	return p, shown(t, p, 700, 300).Canvas()
}

// over returns the place in the plot above an x.
func over(p *Plot, x float64) fyne.Position {
	r := p.drawn.raster
	return r.Position().AddXY(float32(p.drawn.frame.x.at(x))*r.Size().Width, r.Size().Height/2)
}

// wheel turns the wheel by notches above an x.
func wheel(p *Plot, x float64, notches float32) {
	p.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: over(p, x)}, Scrolled: fyne.NewDelta(0, notch*notches)})
}

func TestPlotMapping(t *testing.T) {
	p, _ := newPlot(t)
	for _, r := range []extent{{-300, 20}, {-50, 5}, {-1, 0}} {
		p.SetRange(r.lo, r.hi)
		for f := 0.0; f <= 1; f += 0.1 {
			x := r.value(f)
			// Places on the screen are float32: 700 dp to a part in 2^23.
			if got := p.drawn.xAt(over(p, x).X); math.Abs(got-x) > 1e-6*(r.hi-r.lo) {
				t.Errorf("%v: x %v comes back as %v", r, x, got)
			}
		}
	}
}

func TestPlotCursorFollowsTheMouse(t *testing.T) {
	p, c := newPlot(t)
	var told []float64
	p.OnCursor = func(x float64) { told = append(told, x) }

	press := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: over(p, -100)}, Button: desktop.MouseButtonPrimary}
	p.MouseDown(press)
	if len(told) != 1 || math.Abs(told[0]+100) > 1e-3 || p.Cursor() != told[0] {
		t.Fatalf("after a press at -100: told %v, cursor %v", told, p.Cursor())
	}
	p.MouseDown(press)
	if len(told) != 1 {
		t.Errorf("told again of the same place: %v", told)
	}
	test.Drag(c, over(p, -60), 5, 0)
	if len(told) != 2 || math.Abs(told[1]+60) > 1e-3 {
		t.Errorf("after a drag to -60: told %v", told)
	}
	p.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(5000, 0)}})
	if got := told[len(told)-1]; got != 20 {
		t.Errorf("dragged out of the plot: cursor %v, want its end, 20", got)
	}
	p.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(300, 3)}, Button: desktop.MouseButtonPrimary})
	if len(told) != 3 {
		t.Errorf("a press on the title moved the cursor: %v", told)
	}
}

// Moving the cursor moves a line and leaves the picture as it is.
func TestPlotCursorDoesNotRepaint(t *testing.T) {
	p, c := newPlot(t)
	told := false
	p.OnCursor = func(float64) { told = true }
	p.SetCursor(-200)
	c.Capture()
	p.SetCursor(-150)
	if p.drawn.stale {
		t.Error("the curves are to be painted again")
	}
	if got, want := p.drawn.cursor.Position().X, over(p, -150).X; got != want || !p.drawn.cursor.Visible() {
		t.Errorf("the line is at %v, want %v", got, want)
	}
	p.SetCursor(math.NaN())
	if p.drawn.cursor.Visible() {
		t.Error("the line is still there")
	}
	if told {
		t.Error("a setter called back")
	}
}

func TestPlotReadOut(t *testing.T) {
	p, _ := newPlot(t)
	values := func() (all []string) {
		for _, v := range p.drawn.key.values {
			if v.Visible() {
				all = append(all, v.Text)
			}
		}
		return all
	}
	if got := values(); got != nil {
		t.Errorf("read-outs without a cursor: %v", got)
	}
	p.SetCursor(-155) // in the gap of the second curve
	if got := values(); len(got) != 3 || got[1] != "–" || got[0] != number(p.curves[0].at(-155), 1) {
		t.Errorf("read-outs %v", got)
	}
	p.Format = func(y float64) string { return "y" }
	p.SetCursor(-20)
	if got := values(); len(got) != 3 || got[0] != "y" {
		t.Errorf("read-outs %v, want them by Format", got)
	}
}

func TestPlotZoom(t *testing.T) {
	p, _ := newPlot(t)
	var told [][2]float64
	p.OnRange = func(from, to float64) { told = append(told, [2]float64{from, to}) }

	before := over(p, -60)
	wheel(p, -60, 3)
	from, to := p.Range()
	if want := 320 / math.Pow(1.2, 3); math.Abs(to-from-want) > 1e-9 {
		t.Errorf("three notches show %v, want %v", to-from, want)
	}
	if after := over(p, -60); math.Abs(float64(after.X-before.X)) > 0.01 {
		t.Errorf("the point under the pointer went from %v to %v", before.X, after.X)
	}
	if len(told) != 1 || told[0] != [2]float64{from, to} {
		t.Errorf("told %v, want %v to %v", told, from, to)
	}

	wheel(p, -60, -50)
	if from, to = p.Range(); from != -300 || to != 20 || len(told) != 2 || !math.IsNaN(told[1][0]) {
		t.Errorf("zoomed out to %v to %v, told %v", from, to, told)
	}
	wheel(p, -60, -1)
	p.DoubleTapped(&fyne.PointEvent{})
	if len(told) != 2 {
		t.Errorf("told of no change: %v", told)
	}

	p.SetRange(-100, -20)
	if len(told) != 2 {
		t.Error("a setter called back")
	}
	test.DoubleTap(p)
	if from, to = p.Range(); from != -300 || to != 20 || len(told) != 3 {
		t.Errorf("a double tap shows %v to %v, told %v", from, to, told)
	}
	wheel(p, -60, 1000)
	if from, to = p.Range(); math.Abs(to-from-0.32) > 1e-9 {
		t.Errorf("zoomed in to %v, want a thousandth of all", to-from)
	}
}

func TestPlotPan(t *testing.T) {
	p, _ := newPlot(t)
	p.SetRange(-200, -100)
	width := p.drawn.raster.Size().Width
	at := over(p, -150)
	p.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonSecondary})
	p.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at.AddXY(-width/4, 0)}, Button: desktop.MouseButtonSecondary})
	if from, to := p.Range(); math.Abs(from+175) > 1e-3 || math.Abs(to+75) > 1e-3 {
		t.Errorf("a quarter to the left shows %v to %v, want -175 to -75", from, to)
	}
	p.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at.AddXY(9*width, 0)}, Button: desktop.MouseButtonSecondary})
	if from, to := p.Range(); from != -300 || math.Abs(to+200) > 1e-3 {
		t.Errorf("far to the right shows %v to %v, want the first hundred", from, to)
	}
	p.MouseUp(&desktop.MouseEvent{})
	p.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonSecondary})
	if from, _ := p.Range(); from != -300 {
		t.Error("moved on after the button was let go")
	}
	if !math.IsNaN(p.Cursor()) {
		t.Error("moving x moved the cursor")
	}
}

// y shows what is seen, bands included, and no more than a little around it.
func TestPlotScalesToWhatIsSeen(t *testing.T) {
	p, _ := newPlot(t)
	p.SetCurves([]Curve{{X: []float64{0, 1, 2, 3}, Y: []float64{0, 1, 100, math.NaN()}, Low: []float64{-2, 0, 90, 0}, High: []float64{1, 4, 120, 0}}})
	p.SetRange(0, 1)
	y := p.drawn.frame.y
	if y.lo > -2 || y.lo < -3 || y.hi < 4 || y.hi > 5 {
		t.Errorf("y from %v to %v, want a little around -2 to 4", y.lo, y.hi)
	}
	p.SetRange(0, 0.5)
	if y = p.drawn.frame.y; y.hi > 2 {
		t.Errorf("y up to %v for a part that ends at 1", y.hi)
	}
}

func TestPlotPaintsItsCurves(t *testing.T) {
	p, c := newPlot(t)
	red := color.NRGBA{0xb0, 0, 0, 0xff}
	p.SetMarks(nil)
	p.SetCurves([]Curve{{X: []float64{0, 4, 5, 6, 10}, Y: []float64{1, 1, math.NaN(), 3, 3}, Color: red}})
	img := c.Capture()
	look := func(x, y float64) (reddest color.NRGBA) { // of three pixels, as a curve lies between two
		r := p.drawn.raster
		at, top := over(p, x), r.Position().Y+float32(1-p.drawn.frame.y.at(y))*r.Size().Height
		reddest.G = 0xff
		for d := -1; d <= 1; d++ {
			if c := color.NRGBAModel.Convert(img.At(int(at.X), int(top)+d)).(color.NRGBA); c.G < reddest.G {
				reddest = c
			}
		}
		return reddest
	}
	for _, x := range []float64{1, 3.3, 7.1, 9} {
		y := 1.0
		if x > 5 {
			y = 3
		}
		if c := look(x, y); c.R < 0x90 || c.G > 0x90 {
			t.Errorf("no curve at %v, %v: %v", x, y, c)
		}
	}
	if c := look(5, 2); c.R != c.G {
		t.Errorf("the gap is bridged: %v", c)
	}
}

func TestPlotIsTidy(t *testing.T) {
	p, _ := newPlot(t)
	for _, cursor := range []float64{math.NaN(), -240, 0} {
		p.SetCursor(cursor)
		for w := float32(200); w < 1300; w += 73 {
			for h := float32(140); h < 600; h += 111 {
				p.Resize(fyne.NewSize(w, h))
				tidy(t, p, p.drawn.raster)
			}
		}
	}
}

func TestPlotRefusesRaggedCurves(t *testing.T) {
	p := NewPlot("", "", "")
	for _, c := range []Curve{
		{X: []float64{1}, Y: nil},
		{X: []float64{1}, Y: []float64{1}, Low: []float64{0}},
		{X: []float64{1, 0}, Y: []float64{1, 1}},
		{X: []float64{1}, Y: []float64{1}, Low: []float64{0}, High: []float64{}},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%+v was taken", c)
				}
			}()
			p.SetCurves([]Curve{c})
		}()
	}
}

func TestPlotWithoutCurves(t *testing.T) {
	newApp(t, theme.VariantDark)
	p := NewPlot("Lead", "ms", "mm")
	c := shown(t, p, 300, 200).Canvas()
	c.Capture()
	p.SetCurves([]Curve{{Label: "no value", X: []float64{1, 2}, Y: []float64{math.NaN(), math.NaN()}}})
	p.SetCursor(1.5)
	c.Capture()
	tidy(t, p, p.drawn.raster)
}

// A band's pieces meet without a seam.
func TestBandIsEven(t *testing.T) {
	newApp(t, theme.VariantLight)
	var c chart
	f := frame{x: extent{0, 10}, y: extent{0, 10}, look: lookOf(theme.DefaultTheme()), w: 500, h: 100, px: 1}
	v := Curve{X: []float64{0, 1, 2.34, 7.7, 10}, Y: make([]float64, 5), Low: []float64{2, 2, 2, 2, 2}, High: []float64{8, 8, 8, 8, 8}}
	c.ink.start(f.w, f.h, color.White)
	c.band(&v, &f, Palette[1])
	want := c.ink.img.RGBAAt(250, 50)
	if want.R == want.B {
		t.Fatal("no band")
	}
	for x := range f.w {
		if got := c.ink.img.RGBAAt(x, 50); got != want {
			t.Fatalf("column %d is %v, others are %v", x, got, want)
		}
	}
	if got := c.ink.img.RGBAAt(250, 5); got != (color.RGBA{255, 255, 255, 255}) {
		t.Errorf("painted %v outside the band", got)
	}
}

func BenchmarkPlotPaint(b *testing.B) {
	newApp(b, theme.VariantLight)
	p := NewPlot("Lead", "ms", "mm")
	p.SetCurves(curves(600))
	p.Resize(fyne.NewSize(700, 420))
	r := test.WidgetRenderer(p).(*plotRenderer)
	b.ReportAllocs()
	for b.Loop() {
		r.stale = true
		r.draw(700, 420)
	}
}

func BenchmarkPlotCursor(b *testing.B) {
	newApp(b, theme.VariantLight)
	p := NewPlot("Lead", "ms", "mm")
	p.SetCurves(curves(600))
	p.Resize(fyne.NewSize(700, 420))
	test.WidgetRenderer(p)
	x := 0
	for b.Loop() {
		x++
		p.SetCursor(-300 + float64(x%300))
	}
}

// A curve is dotted and paler where its values rest on what was not seen.
func TestPlotPaintsFilledStretches(t *testing.T) {
	p, c := newPlot(t)
	p.SetMarks(nil)
	curve := Curve{Color: color.NRGBA{0xb0, 0, 0, 0xff}}
	for x := 0.0; x <= 10; x += 0.05 {
		curve.X, curve.Y, curve.Filled = append(curve.X, x), append(curve.Y, 2), append(curve.Filled, x > 5)
	}
	p.SetCurves([]Curve{curve})
	img := c.Capture()
	red := func(from, to float64) (n int) { // how much of it is painted
		r := p.drawn.raster
		top := int(r.Position().Y + float32(1-p.drawn.frame.y.at(2))*r.Size().Height)
		for x := int(over(p, from).X); x < int(over(p, to).X); x++ {
			for d := -1; d <= 1; d++ {
				c := color.NRGBAModel.Convert(img.At(x, top+d)).(color.NRGBA)
				n += int(c.R) - int(c.G)
			}
		}
		return n
	}
	if seen, filled := red(0.5, 4.5), red(5.5, 9.5); filled > seen/2 || filled < seen/10 {
		t.Errorf("%d is painted where it was seen, %d where it was not", seen, filled)
	}
}
