package app

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/capture"
	"bendline/kinematics"
)

// plainSwing returns a swing of 100 frames at 100 frames a second whose lead is
// the frame's number in millimetres, with top and impact as given.
func plainSwing(start, top, impact float64) *kinematics.Swing {
	const n = 100
	series := func(scale float64) kinematics.Series {
		s := kinematics.Series{Value: make([]float64, n), U95: make([]float64, n)}
		for i := range n {
			s.Value[i], s.U95[i] = scale*float64(i), scale
		}
		return s
	}
	sw := &kinematics.Swing{
		Start: start, Rate: 100, Length: 1.1,
		Grip: make([]kinematics.Frame, n), Head: make([]r3.Vec, n),
		Lead: series(1e-3), Droop: series(2e-3), Twist: series(1e-3), LeadAngle: series(1e-3), DroopAngle: series(1e-3),
		HeadSpeed: series(1), KickSpeed: series(1), Residual: make([]float64, n),
		Top: top, Impact: kinematics.Estimate{Value: impact},
		PeakLag:  kinematics.Peak{Time: top + 0.1},
		AtImpact: kinematics.Readout{Lead: kinematics.Estimate{Value: 0.02, U95: 1e-3}},
	}
	for i := range sw.Grip {
		sw.Grip[i] = kinematics.Frame{Origin: r3.Vec{X: float64(i) / n, Z: 1}, X: r3.Vec{X: 1}, Y: r3.Vec{Y: -1}, Z: r3.Vec{Z: -1}}
		sw.Head[i] = sw.Grip[i].ToLab(r3.Vec{Y: 0.04, Z: 1.12})
	}
	return sw
}

// plainStudy has a baseline and a prototype, two runs each by one player, and a
// baseline run by another before them.
func plainStudy() *study.Study {
	return &study.Study{
		Path: "study.json", Title: "Plain", World: study.World{Up: "+z", Target: "+x"},
		Clubs: []study.Club{
			{ID: "base", Label: "Base", Role: study.Baseline},
			{ID: "proto", Label: "Proto", Role: study.Prototype},
		},
		Players: []study.Player{{ID: "a", Label: "A"}, {ID: "b", Label: "B"}},
		Runs: []study.Run{
			{ID: "a-base-1", Club: "base", Player: "a"},
			{ID: "b-base-1", Club: "base", Player: "b"},
			{ID: "b-base-2", Club: "base", Player: "b"},
			{ID: "b-proto-1", Club: "proto", Player: "b"},
			{ID: "b-proto-2", Club: "proto", Player: "b"},
		},
	}
}

// plainResults are results of all runs of plainStudy; b-proto-2 failed.
func plainResults(st *study.Study) []*study.Result {
	var list []*study.Result
	for i, run := range st.Runs {
		r := &study.Result{Run: run, Capture: study.Capture{Frames: 100, Rate: 100, Markers: 15}}
		if run.ID == "b-proto-2" {
			r.Err = errors.New("study: b-proto-2.csv: marker \"S03\" was never seen; check its name")
		} else {
			r.Swing = plainSwing(float64(i), float64(i)+0.2, float64(i)+0.8)
		}
		if run.ID == "b-base-2" {
			r.Flags = []capture.Flag{{Code: capture.Gap, Marker: "S07", Detail: "S07 was not seen for 12 ms"}}
		}
		list = append(list, r)
	}
	return list
}

func opened() State {
	st := plainStudy()
	s := Opened{st}.apply(newState())
	return Analysed{plainResults(st)}.apply(s)
}

// What is said of runs that failed holds as long as one of them counts.
func TestFailureIsSaidWhileItLasts(t *testing.T) {
	s := SayAnalysed{}.apply(opened())
	if n := s.said(); !n.Bad || !strings.HasPrefix(n.Text, "1 of 5 runs could not be analysed: b-proto-2.") {
		t.Fatalf("a run failed: %+v", n)
	}
	out := Exclude{"b-proto-2", "slipped"}.apply(s)
	if n := out.said(); n != (Notice{}) {
		t.Errorf("left out, it is still said: %+v", n)
	}
	if n := (Undo{}).apply(out).said(); n != s.said() {
		t.Errorf("back in, it is said no more: %+v", n)
	}
	mended := *s.Results[4]
	mended.Err, mended.Swing = nil, s.Results[3].Swing
	if n := (Analysed{[]*study.Result{&mended}}).apply(s).said(); n != (Notice{}) {
		t.Errorf("analysed after all, it is still said: %+v", n)
	}
	other := Notice{"The disk is full.", true}
	if n := (Say{other}).apply(out).said(); n != other {
		t.Errorf("another notice is lost: %+v", n)
	}
}

func TestOpenedShowsFirstPairOfOnePlayer(t *testing.T) {
	s := opened()
	if want := []string{"b-base-1", "b-proto-1"}; !slices.Equal(s.Panes, want) {
		t.Errorf("side by side are %v, want %v: player a has no prototype", s.Panes, want)
	}
	st := plainStudy()
	st.Runs[1].Excluded = "slipped"
	if s := (Opened{st}).apply(newState()); s.Panes[0] != "b-base-2" {
		t.Errorf("an excluded run is shown first: %v", s.Panes)
	}
	if s.Unsaved() {
		t.Error("a study just opened counts as changed")
	}
}

func TestShowRun(t *testing.T) {
	s := opened()
	was := s
	s = ShowRun{"a-base-1", true}.apply(s)
	s = ShowRun{"b-base-2", true}.apply(s)
	if want := []string{"b-base-1", "b-proto-1", "a-base-1", "b-base-2"}; !slices.Equal(s.Panes, want) {
		t.Errorf("side by side are %v, want %v", s.Panes, want)
	}
	if len(was.Panes) != 2 {
		t.Errorf("a command changed the state it was given: %v", was.Panes)
	}
	more := s
	more.Panes = append(slices.Clone(s.Panes), "x", "y")
	full := ShowRun{"b-proto-2", true}.apply(more)
	if !slices.Equal(full.Panes, more.Panes) || full.Notice.Text == "" {
		t.Errorf("a seventh run gave %v and the notice %q", full.Panes, full.Notice.Text)
	}
	for _, id := range s.Panes {
		s = ShowRun{id, false}.apply(s)
	}
	if len(s.Panes) != 0 {
		t.Errorf("after unticking all, %v are left", s.Panes)
	}
	s = Seek{0.1}.apply(s) // and nothing to seek in
	s = Step{1}.apply(s)
	if s = (Play{On: true}).apply(s); s.Playing {
		t.Error("plays without a run")
	}
}

func TestExcludeUndoRedo(t *testing.T) {
	s := opened()
	first := s.Study
	s = Exclude{"b-base-2", "slipped"}.apply(s)
	if !s.Unsaved() || s.Study.Runs[2].Excluded != "slipped" || s.Result("b-base-2").Run.Excluded != "slipped" {
		t.Errorf("not left out: unsaved %v, run %+v", s.Unsaved(), s.Study.Runs[2])
	}
	if first.Runs[2].Excluded != "" {
		t.Error("the study that was given is changed")
	}
	s = Exclude{"b-base-1", "windy"}.apply(s)
	two := s.Study
	s = Undo{}.apply(Undo{}.apply(s))
	if s.Study != first || s.Unsaved() || s.CanUndo() || s.Result("b-base-2").Run.Excluded != "" {
		t.Error("two undos do not lead back to the study as it was opened")
	}
	if s = (Undo{}).apply(s); s.Study != first {
		t.Error("one undo too many changes the study")
	}
	s = Redo{}.apply(Redo{}.apply(s))
	if s.Study != two || s.CanRedo() {
		t.Error("two redos do not lead to the last study")
	}
	// A change after an undo forgets what was undone.
	s = Undo{}.apply(s)
	s = Exclude{"b-base-2", ""}.apply(s)
	if s.CanRedo() {
		t.Error("redo is possible after a new change")
	}
	s = Saved{s.Study}.apply(s)
	if s.Unsaved() {
		t.Error("unsaved after saving")
	}
	if s = (Undo{}).apply(s); !s.Unsaved() {
		t.Error("saved after undoing a saved change")
	}
}

func TestRunsAreHeldTogether(t *testing.T) {
	s := opened()
	s = Jump{Impact}.apply(s)
	for _, id := range s.Panes {
		if f, ok := s.FrameOf(s.Swing(id)); !ok || f != 80 {
			t.Errorf("%s stands at frame %d (%v), want 80 at impact", id, f, ok)
		}
	}
	from, to, step := s.Span()
	if !near(from, -0.8) || !near(to, 0.19) || step != 0.01 {
		t.Errorf("span %v to %v, step %v; want -0.8 to 0.19, 0.01", from, to, step)
	}
	// Another event: what is seen of the first run stays.
	s = SetAlign{AlignTop}.apply(s)
	if f, _ := s.FrameOf(s.Swing(s.Panes[0])); f != 80 || !near(s.Time, 0.6) {
		t.Errorf("held together at the top: frame %d at %v s, want 80 at 0.6 s", f, s.Time)
	}
}

func TestStepLandsOnFrames(t *testing.T) {
	s := Seek{-0.0037}.apply(opened())
	for i, want := range []float64{0.01, 0.02} {
		if s = (Step{1}).apply(s); !near(s.Time, want) {
			t.Errorf("step %d leads to %v s, want %v", i+1, s.Time, want)
		}
	}
	if s = (Step{-2}).apply(s); !near(s.Time, 0) {
		t.Errorf("two frames back lead to %v s, want 0", s.Time)
	}
	if s = (Step{-1000}).apply(s); !near(s.Time, -0.8) {
		t.Errorf("far back leads to %v s, want the first instant", s.Time)
	}
	if s = (JumpEnd{Last: true}).apply(s); !near(s.Time, 0.19) {
		t.Errorf("the end is at %v s, want 0.19", s.Time)
	}
	if s = (Jump{PeakLag}).apply(s); !near(s.Time, -0.5) {
		t.Errorf("peak lag is at %v s, want -0.5", s.Time)
	}
}

func TestPlayFollowsTheClock(t *testing.T) {
	start := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	s := Seek{-0.8}.apply(opened())
	s = SetSlowness{10}.apply(s)
	s = Play{true, start}.apply(s)
	// However the ticks fall, the place follows from the clock.
	s = Tick{start.Add(300 * time.Millisecond)}.apply(s)
	s = Tick{start.Add(1 * time.Second)}.apply(s)
	if !near(s.Time, -0.7) {
		t.Errorf("a second at a tenth of the speed leads to %v s, want -0.7", s.Time)
	}
	s = SetSlowness{100}.apply(s)
	s = Tick{start.Add(2 * time.Second)}.apply(s)
	if !near(s.Time, -0.69) {
		t.Errorf("a second at a hundredth leads to %v s, want -0.69", s.Time)
	}
	s = SetSlowness{10}.apply(s)
	s = Tick{start.Add(10900 * time.Millisecond)}.apply(s) // 0.01 s past the end
	if !near(s.Time, -0.79) {
		t.Errorf("past the end it stands at %v s, want -0.79", s.Time)
	}
	s = Play{false, start.Add(time.Minute)}.apply(s)
	if s = (Tick{start.Add(2 * time.Minute)}).apply(s); !near(s.Time, -0.79) {
		t.Errorf("a tick while it does not play moves it to %v s", s.Time)
	}
	s = JumpEnd{Last: true}.apply(s)
	if s = (Play{true, start}).apply(s); !near(s.Time, -0.8) {
		t.Errorf("playing from the end begins at %v s, want -0.8", s.Time)
	}
}

func TestRunWithoutImpactIsNotPlaced(t *testing.T) {
	s := opened()
	r := *s.Result("b-proto-1")
	r.Swing = plainSwing(3, 3.2, math.NaN())
	s = Analysed{[]*study.Result{&r}}.apply(s)
	if _, ok := s.FrameOf(r.Swing); ok {
		t.Error("a run without impact is placed at impact")
	}
	s = SetAlign{AlignTop}.apply(s)
	if _, ok := s.FrameOf(r.Swing); !ok {
		t.Error("a run with a top is not placed at the top")
	}
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// BenchmarkScrollRuns scrolls the list of 200 runs by a row: what the window does
// before it paints.
func BenchmarkScrollRuns(b *testing.B) {
	x := newWorld(b)
	st := plainStudy()
	for i := 0; len(st.Runs) < 200; i++ {
		run := st.Runs[i]
		run.ID = fmt.Sprint(run.ID, "-", i)
		st.Runs = append(st.Runs, run)
	}
	st.Path = filepath.Join(x.dir, "study.json")
	x.store.Do(Opened{st})
	x.store.Do(Analysed{plainResults(st)})
	row, at := float32(46), 0
	for b.Loop() {
		at = (at + 1) % 180
		x.runs.list.ScrollToOffset(float32(at) * row)
	}
}
