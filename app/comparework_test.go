package app

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"bendline/app/study"
	"bendline/capture"
)

// run runs the jobs that wait, the oldest first.
func (x *world) run() {
	queued := x.queued
	x.queued = nil
	for _, f := range queued {
		f()
	}
}

// TestComparedBesideTheWindow changes the study while clubs are compared: the old
// answer stays until there is a new one and is said to be old, nothing is exported
// meanwhile, and what comes too late is dropped.
func TestComparedBesideTheWindow(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	was := x.state().Comparison
	x.hold = true
	x.change(Exclude{"b-base-1", "slipped"})
	s := x.state()
	if s.Comparison != nil || !s.pending() || s.Job.Title != comparing || !strings.HasPrefix(x.compare.answer.Text, "(Being compared anew.) ") || len(x.compare.between.Text()) < 100 {
		t.Fatalf("while it is compared: %v, job %q, %q", s.Comparison, s.Job.Title, x.compare.answer.Text)
	}
	if s.exportable() == "" {
		t.Error("what is not compared yet can be exported")
	}
	x.change(Exclude{"b-base-1", ""})
	x.change(Exclude{"b-base-2", "slipped"})
	if len(x.queued) < 3 {
		t.Fatalf("%d jobs for three changes", len(x.queued))
	}
	x.run()
	s = x.state()
	if s.Comparison == nil || s.Comparison == was || s.Job.Title != "" {
		t.Fatalf("compared: %v, job %q", s.Comparison, s.Job.Title)
	}
	if left := s.Comparison.LeftOut; !slices.ContainsFunc(left, func(l study.LeftOut) bool { return l.Run == "b-base-2" }) || slices.ContainsFunc(left, func(l study.LeftOut) bool { return l.Run == "b-base-1" }) {
		t.Errorf("it is of an earlier account: %v", left)
	}
	if strings.Contains(x.compare.answer.Text, "anew") {
		t.Errorf("it says %q", x.compare.answer.Text)
	}
}

// TestStoppedComparison stops a comparison: it does not begin again by itself, it
// is said how to go on, and then it goes on.
func TestStoppedComparison(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	x.hold = true
	x.change(Exclude{"b-base-1", "slipped"})
	x.jobs.stop()
	x.run()
	s := x.state()
	if s.Comparison != nil || s.Job.Title != "" || !x.compare.anew.Visible() || !strings.Contains(x.compare.answer.Text, "choose “Compare”") {
		t.Fatalf("stopped: %v, job %q, %q", s.Comparison, s.Job.Title, x.compare.answer.Text)
	}
	if why := s.exportable(); !strings.Contains(why, "comparison") {
		t.Errorf("exports: %q", why)
	}
	x.hold = false
	test.Tap(x.compare.anew)
	if x.state().Comparison == nil || x.compare.anew.Visible() {
		t.Error("asked for, it is not compared")
	}
}

// TestChoicesAreUndone leaves flagged runs out, chooses a club and a lot, and
// takes all of it back.
func TestChoicesAreUndone(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	x.store.Do(ShowComparePage{4})
	test.Tap(x.compare.leaveOut[0])
	x.change(CompareClubs{"base", "proto"})
	test.Tap(x.compare.checks[0])
	if x.state().Lot != nil || !strings.Contains(x.compare.lotWords.Text, "two or more") || x.state().Comparison == nil {
		t.Errorf("one club is a lot: %v, %q", x.state().Lot, x.compare.lotWords.Text)
	}
	test.Tap(x.compare.checks[1])
	c := x.state().Study.Choices
	if !slices.Equal(c.LeaveOut, []capture.Code{study.Doubtful[0]}) || c.Baseline != "base" || !slices.Equal(c.Lot, []string{"base", "proto"}) {
		t.Fatalf("chosen is %+v", c)
	}
	if l := x.state().Lot; l == nil || !strings.Contains(x.compare.lotWords.Text, "lead") || len(x.state().Comparison.Lot.Clubs) != 2 {
		t.Errorf("the lot is %+v: %q", l, x.compare.lotWords.Text)
	}
	if !x.state().Unsaved() {
		t.Error("a choice is no change of the study")
	}
	for range 4 {
		x.change(Undo{})
	}
	if x.state().Unsaved() || x.compare.leaveOut[0].Checked || x.compare.checks[0].Checked || x.state().Lot != nil {
		t.Errorf("undone, chosen is %+v", x.state().Study.Choices)
	}
}
