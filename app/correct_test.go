package app

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// withSmall opens a simulated study of two runs, analysed.
func withSmall(t *testing.T) *world {
	x := newWorld(t)
	x.OpenStudy(smallStudy(t))
	if !x.state().Complete() {
		t.Fatalf("not analysed: %q", x.state().Notice.Text)
	}
	return x
}

// bottom returns the bottom-most button with the text in what is shown over the
// window.
func (x *world) button(t *testing.T, text string) *widget.Button {
	t.Helper()
	var found *widget.Button
	var look func(o fyne.CanvasObject)
	look = func(o fyne.CanvasObject) {
		switch v := o.(type) {
		case *widget.Button:
			if v.Text == text && v.Visible() {
				found = v
			}
		case *fyne.Container:
			for _, c := range v.Objects {
				look(c)
			}
		case fyne.Widget:
			for _, c := range test.WidgetRenderer(v).Objects() {
				look(c)
			}
		}
	}
	for _, o := range x.win.Canvas().Overlays().List() {
		look(o)
	}
	if found == nil {
		t.Fatalf("there is no button %q", text)
	}
	return found
}

// TestEventByHand drags the top on the time bar: the run is analysed again,
// figures say so, undo takes it back, and saving keeps it.
func TestEventByHand(t *testing.T) {
	x := withSmall(t)
	found := x.state().Swing("a-base-1").Top
	other := x.state().Swing("a-proto-1")
	x.swing.bar.OnMark(0, found-x.state().Swing("a-base-1").Impact.Value-0.02)
	sw := x.state().Swing("a-base-1")
	if !near(sw.Top, found-0.02) || !x.state().Complete() || !x.state().Unsaved() {
		t.Fatalf("the top is at %v, want %v; %q", sw.Top, found-0.02, x.state().Notice.Text)
	}
	if x.state().Swing("a-proto-1").Top != other.Top {
		t.Error("the other run moved along")
	}
	if got := x.swing.marks[0].Label; got != "top, by hand" {
		t.Errorf("the mark is called %q", got)
	}
	x.store.Do(ShowScreen{DataScreen})
	if got := dataRow(x.state().Study, x.state().Study.Runs[0], x.state().Results[0]).Cells[2]; !strings.HasPrefix(got, "top set by hand") {
		t.Errorf("the table of data says %q", got)
	}
	if got := caption(x.state().Study, x.state().Study.Runs[0]); !strings.HasPrefix(got, "a-base-1 (top set by hand)") {
		t.Errorf("the caption is %q", got)
	}
	if got := x.runs.detail.text.Text; !strings.Contains(got, "By hand: top set by hand.") {
		t.Errorf("the details say %q", got)
	}
	file := x.state().Study.Path
	if left, _, err := study.Recover(file); err != nil || left == nil || left.Runs[0].Events.Top == nil {
		t.Errorf("the change is not safe beside the file: %v, %v", left, err)
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if got := x.state().Swing("a-base-1").Top; got != found || !x.state().Complete() {
		t.Errorf("undone, the top is at %v, want %v", got, found)
	}
	if left, _, _ := study.Recover(file); left != nil {
		t.Error("nothing is unsaved, and a file says so")
	}
	x.shortcut(redoKey)
	x.shortcut(saveKey)
	back, err := study.Open(file)
	if err != nil || back.Runs[0].Events.Top == nil || !near(*back.Runs[0].Events.Top, found-0.02) {
		t.Errorf("saved as %+v, %v", back.Runs[0].Events, err)
	}
}

func TestImpactHere(t *testing.T) {
	x := withSmall(t)
	found := x.state().Swing("a-base-1").Impact.Value
	x.store.Do(Seek{-0.004})
	x.shortcut(impactKey)
	sw := x.state().Swing("a-base-1")
	if !within(sw.Impact.Value, found-0.004, 1e-9) || contactNote(x.state().Results[0]) != "" {
		t.Errorf("impact is at %v, want %v; %q", sw.Impact.Value, found-0.004, contactNote(x.state().Results[0]))
	}
	// Before the top it cannot be.
	study0 := x.state().Study
	x.store.Do(Seek{sw.Top - sw.Impact.Value - 0.01})
	x.shortcut(impactKey)
	if x.state().Study != study0 || !x.state().Notice.Bad {
		t.Errorf("an impact before the top is taken: %q", x.state().Notice.Text)
	}
	x.askEvents("a-base-1")
	top, ok := x.win.Canvas().Focused().(*entry)
	if !ok {
		t.Fatal("no field has the keyboard")
	}
	top.SetText("soon")
	top.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if x.state().Study != study0 {
		t.Error("a word is taken for a time")
	}
	top.SetText("0,5")
	if v, err := seconds(top.Text); err != nil || *v != 0.5 {
		t.Errorf("0,5 is read as %v, %v", v, err)
	}
	x.escape()
	x.change(SetEvents{Run: "a-base-1"})
	if got := x.state().Swing("a-base-1").Impact.Value; got != found {
		t.Errorf("found again at %v, want %v", got, found)
	}
}

func TestLabelsPutRight(t *testing.T) {
	x := withSmall(t)
	was := x.state().Swing("a-base-1").AtImpact.Lead.Value
	x.change(Exchange{"a-base-1", study.Swap{A: "S03", B: "S07"}})
	if got := x.state().Swing("a-base-1"); got == nil || got.AtImpact.Lead.Value == was {
		t.Error("exchanged labels change nothing")
	}
	if got := x.state().Study.Runs[0].Corrections(); !slices.Equal(got, []string{"S03 and S07 exchanged"}) {
		t.Errorf("corrections are %q", got)
	}
	x.askLabels("a-base-1")
	test.Tap(x.button(t, "Take the labels as the capture has them"))
	if got := x.state().Swing("a-base-1").AtImpact.Lead.Value; got != was {
		t.Errorf("with the labels as they were, lead is %v, want %v", got, was)
	}
	x.askLabels("a-base-1")
	test.Tap(x.button(t, "Exchange"))
	if !x.state().Notice.Bad || x.asking() {
		t.Errorf("no names, and it says %q", x.state().Notice.Text)
	}
	x.change(Rename{"a-base-1", "S03", "S99"})
	if r := x.state().Result("a-base-1"); !r.OK() && !strings.Contains(r.Err.Error(), "S03") {
		t.Error(r.Err)
	}
	if got := x.state().Study.Runs[0].Corrections(); !slices.Equal(got, []string{"S03 renamed S99"}) {
		t.Errorf("corrections are %q", got)
	}
	x.change(Undo{})
	if got := x.state().Swing("a-base-1").AtImpact.Lead.Value; got != was {
		t.Errorf("undone, lead is %v, want %v", got, was)
	}
}

// TestCorrectedRunIsShownUntilThereIsAnother holds the work back: the old
// picture stays and counts no more.
func TestCorrectedRunIsShownUntilThereIsAnother(t *testing.T) {
	x := withSmall(t)
	was := x.state().Swing("a-base-1")
	x.hold = true
	x.change(SetEvent{"a-base-1", Top, was.Top - 0.01})
	s := x.state()
	if s.Swing("a-base-1") != was || !s.Waits(0) || s.Complete() || s.Comparison != nil || s.Waits(1) {
		t.Errorf("while it is worked at: waits %v, complete %v, comparison %v", s.Waits(0), s.Complete(), s.Comparison)
	}
	if got := note(s, 0, x.swing.panes[0].figure); !strings.Contains(got, "analysed again") {
		t.Errorf("the pane says %q", got)
	}
	// A result of the run as it was comes too late.
	late := *s.Results[0]
	x.store.Do(Analysed{[]*study.Result{&late}})
	if !x.state().Waits(0) {
		t.Error("a result of the run as it was is taken")
	}
	x.hold = false
	for len(x.queued) > 0 {
		next := x.queued[0]
		x.queued = x.queued[1:]
		next()
	}
	if !x.state().Complete() || x.state().Swing("a-base-1").Top == was.Top {
		t.Error("it was not analysed again")
	}
}

func TestMarkersOnDemand(t *testing.T) {
	x := withSmall(t)
	if x.state().Sight("a-base-1") != nil {
		t.Error("markers are read although nobody asked")
	}
	x.key(fyne.KeyM)
	f := x.swing.panes[0].figure
	if f.seen == nil || x.state().Sight("a-proto-1") == nil {
		t.Fatalf("no markers: %q", x.state().Notice.Text)
	}
	i := x.swing.panes[0].drawn.frame - 10
	s := f.scene(i, nil, true)
	if len(s.Dots) != len(f.seen.Names) || len(s.Trails) < 10 {
		t.Errorf("%d dots and %d lines for %d markers", len(s.Dots), len(s.Trails), len(f.seen.Names))
	}
	if s.Rods[1].Band == nil || f.scene(i, nil, false).Rods[1].Band != nil {
		t.Error("the band does not follow what is asked")
	}
	last := s.Rods[1].Band[shaftPoints-1]
	sw := f.swing
	if want := f.factor * math.Max(sw.Lead.U95[i], sw.Droop.U95[i]); !within(f.spread(i)[shaftPoints-1], want, 1e-12) || last == 0 {
		t.Errorf("the band at the tip is %v, want %v", last, want)
	}
	x.change(Exchange{"a-base-1", study.Swap{A: "S03", B: "S04"}})
	if seen := x.state().Sight("a-base-1"); seen == nil || seen == f.seen {
		t.Error("after labels were put right the markers are the old ones")
	}
	x.key(fyne.KeyM)
	if x.swing.panes[0].figure.seen != nil {
		t.Error("the markers stay")
	}
}

func TestDragTheMark(t *testing.T) {
	x := withSmall(t)
	found := x.state().Swing("a-base-1").Top
	bar := x.swing.bar
	// As the mouse does: press on the word, drag, let go.
	var at fyne.Position
	for left := float32(0); left < bar.Size().Width; left++ {
		bar.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(left, 4)}})
		if bar.Cursor() == desktop.HResizeCursor {
			at = fyne.NewPos(left+8, 4)
			break
		}
	}
	bar.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary})
	bar.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at.SubtractXY(30, 0)}})
	bar.DragEnd()
	if got := x.state().Swing("a-base-1").Top; !(got < found-0.005) {
		t.Errorf("dragged from %v the top is at %v", found, got)
	}
}
