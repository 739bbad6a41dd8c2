package widgets

import (
	"math"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
)

// newBar returns a bar in a window of 800 by 60 dp, and what it tells.
func newBar(t *testing.T) (bar *TimeBar, c fyne.Canvas, scrubs, ends *[]float64) {
	t.Helper()
	newApp(t, theme.VariantLight)
	bar, scrubs, ends = NewTimeBar(), new([]float64), new([]float64)
	bar.SetRange(-1, 0.02, 0.002)
	bar.SetMarks([]Mark{{0, "impact"}, {-0.24, "top"}})
	bar.OnScrub = func(t float64) { *scrubs = append(*scrubs, t) }
	bar.OnScrubEnd = func(t float64) { *ends = append(*ends, t) }
	return bar, shown(t, bar, 800, 60).Canvas(), scrubs, ends
}

// placeOf returns the place on the bar's track of a time.
func placeOf(b *TimeBar, t float64) fyne.Position {
	return b.drawn.track.Position().AddXY(float32(b.span.at(t))*b.drawn.track.Size().Width, 0)
}

func TestTimeBarScrubs(t *testing.T) {
	b, c, scrubs, ends := newBar(t)
	press := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: placeOf(b, -0.5)}, Button: desktop.MouseButtonPrimary}
	b.MouseDown(press)
	if len(*scrubs) != 1 || math.Abs((*scrubs)[0]+0.5) > 1e-6 || len(*ends) != 0 {
		t.Fatalf("after a press at -0.5 s: %v, ended %v", *scrubs, *ends)
	}
	b.MouseUp(press)
	if !slices.Equal(*ends, *scrubs) {
		t.Errorf("after letting go: ended %v", *ends)
	}
	b.MouseDown(press)
	b.MouseUp(press)
	if len(*scrubs) != 1 || len(*ends) != 1 {
		t.Errorf("told of no change: %v, ended %v", *scrubs, *ends)
	}
	test.Drag(c, placeOf(b, -0.25), 1, 0)
	if len(*scrubs) != 2 || len(*ends) != 2 || math.Abs(b.Time()+0.25) > 1e-6 {
		t.Errorf("after a drag to -0.25 s: %v, ended %v", *scrubs, *ends)
	}
	b.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(-500, 0)}})
	b.DragEnd()
	if b.Time() != -1 {
		t.Errorf("dragged beyond the end: %v", b.Time())
	}
}

func TestTimeBarKeys(t *testing.T) {
	b, c, scrubs, ends := newBar(t)
	c.Focus(b)
	b.SetTime(-0.5)
	for _, k := range []struct {
		key  fyne.KeyName
		want float64
	}{
		{fyne.KeyRight, -0.498}, {fyne.KeyLeft, -0.5}, {fyne.KeyPageUp, -0.52}, {fyne.KeyPageDown, -0.5},
		{fyne.KeyHome, -1}, {fyne.KeyLeft, -1}, {fyne.KeyEnd, 0.02}, {fyne.KeyRight, 0.02},
	} {
		b.TypedKey(&fyne.KeyEvent{Name: k.key})
		if math.Abs(b.Time()-k.want) > 1e-12 {
			t.Errorf("%s goes to %v, want %v", k.key, b.Time(), k.want)
		}
	}
	if len(*scrubs) != 6 || !slices.Equal(*ends, *scrubs) {
		t.Errorf("told %v, ended %v", *scrubs, *ends)
	}
	var other fyne.KeyName
	b.OnTypedKey = func(e *fyne.KeyEvent) { other = e.Name }
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if other != fyne.KeySpace {
		t.Error("the space bar got lost")
	}
}

func TestTimeBarSetters(t *testing.T) {
	b, _, scrubs, _ := newBar(t)
	b.SetTime(5)
	if b.Time() != 0.02 {
		t.Errorf("time %v beyond the end", b.Time())
	}
	b.SetTime(-0.1234)
	if got := b.drawn.time.Text; got != "–123.4 ms" {
		t.Errorf("shows %q", got)
	}
	b.SetRange(-0.05, 0, 0.001)
	if b.Time() != -0.05 {
		t.Errorf("time %v before the new start", b.Time())
	}
	if len(*scrubs) != 0 {
		t.Error("a setter called back")
	}
	defer func() {
		if recover() == nil {
			t.Error("an empty range was taken")
		}
	}()
	b.SetRange(1, 1, 0.001)
}

func TestTimeBarIsTidy(t *testing.T) {
	b, _, _, _ := newBar(t)
	for _, at := range []float64{-1, -0.24, 0.02} {
		b.SetTime(at)
		for w := b.MinSize().Width; w < 1500; w += 31 {
			b.Resize(fyne.NewSize(w, b.MinSize().Height))
			tidy(t, b)
		}
	}
}

func TestTimeBarMarksAreDragged(t *testing.T) {
	b, _, scrubs, ends := newBar(t)
	label := func() fyne.Position { // of top
		f := b.drawn.flags[1]
		return f.Position().AddXY(f.Size().Width/2, f.Size().Height/2)
	}
	at := func(p fyne.Position) *desktop.MouseEvent {
		return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p}, Button: desktop.MouseButtonPrimary}
	}
	b.MouseDown(at(label()))
	b.MouseUp(at(label()))
	if math.Abs(b.Time()+0.24) > 0.02 {
		t.Errorf("where marks stay, a press on a label scrubs, but the time is %v", b.Time())
	}
	type moved struct {
		i int
		t float64
	}
	var told []moved
	b.OnMark = func(i int, t float64) { told = append(told, moved{i, t}) }
	*scrubs, *ends = nil, nil

	b.MouseMoved(at(label()))
	if b.Cursor() != desktop.HResizeCursor {
		t.Error("over a label the pointer does not tell that it can be dragged")
	}
	before := b.Time()
	b.MouseDown(at(label()))
	b.MouseUp(at(label()))
	if len(told) != 0 || b.Time() != before {
		t.Errorf("a press without a drag tells %v and moves to %v", told, b.Time())
	}
	b.MouseDown(at(label()))
	b.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: placeOf(b, -0.3)}})
	if len(told) != 0 || math.Abs(b.Time()+0.3) > 1e-6 || math.Abs(b.marks[1].At+0.3) > 1e-6 {
		t.Errorf("while dragged: told %v, time %v, mark %v", told, b.Time(), b.marks[1].At)
	}
	b.DragEnd()
	if len(told) != 1 || told[0].i != 1 || math.Abs(told[0].t+0.3) > 1e-6 || len(*ends) != 0 {
		t.Errorf("let go: told %v, scrubbing ended %v", told, *ends)
	}
	b.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: placeOf(b, -0.5)}})
	b.DragEnd()
	if len(told) != 1 || len(*ends) != 1 {
		t.Errorf("the mark is still held: told %v, ended %v", told, *ends)
	}
}

// Stretches that were not seen lie open in the track, where the times are, and a
// single frame is still seen.
func TestTimeBarFilled(t *testing.T) {
	b, _, _, _ := newBar(t)
	b.SetFilled([][2]float64{{-0.5, -0.4}, {-0.1, -0.1}})
	for i, want := range [][2]float64{{-0.5, -0.4}, {-0.1, -0.1}} {
		h := b.drawn.holes[i]
		from, to := placeOf(b, want[0]).X, placeOf(b, want[1]).X
		if !h.Visible() || math.Abs(float64(h.Position().X-from)) > 0.5 || math.Abs(float64(h.Size().Width-max(2, to-from))) > 0.5 {
			t.Errorf("%v s lies at %v, %v wide, visible %v; want %v to %v", want, h.Position().X, h.Size().Width, h.Visible(), from, to)
		}
	}
	b.SetFilled(nil)
	if b.drawn.holes[0].Visible() || b.drawn.holes[1].Visible() {
		t.Error("stretches are still shown after there are none")
	}
}
