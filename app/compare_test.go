package app

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
	"bendline/capture"
)

// TestMargin sets a margin as a user does: it counts at once, can be undone,
// and nonsense is refused.
func TestMargin(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	usual := x.compare.margin.Text
	enter := func(text string) {
		x.compare.margin.SetText(text)
		x.compare.margin.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	}
	enter("7,5")
	s := x.state()
	if m := s.difference().Equivalence.Margin; m.Value != 7.5 || m.Source != "study file" {
		t.Errorf("the margin is %+v", m)
	}
	if !s.Unsaved() || !s.CanUndo() || s.saved.Choices.Margins != nil {
		t.Error("the change of a margin is no change of the study, or changed the old one")
	}
	if !strings.Contains(x.compare.marginOf.Text, "study file") {
		t.Errorf("its source is said to be %q", x.compare.marginOf.Text)
	}
	for _, bad := range []string{"-1", "0", "NaN", "Inf", "four"} {
		enter(bad)
		if n := x.state().Notice; !n.Bad || x.state().Study.Choices.Margins["lead_mm"] != 7.5 {
			t.Errorf("the margin %q is taken", bad)
		}
	}
	enter("")
	if x.compare.margin.Text != usual {
		t.Errorf("without a margin it is %q, want the usual %q", x.compare.margin.Text, usual)
	}
	x.change(Undo{})
	if x.compare.margin.Text != "7.5" {
		t.Errorf("after undo the margin is %q", x.compare.margin.Text)
	}
}

// TestMarginIsSaved finds a margin that was set in the study file.
func TestMarginIsSaved(t *testing.T) {
	st, err := study.Open(smallStudy(t))
	if err != nil {
		t.Fatal(err)
	}
	x := newWorld(t)
	x.store.Do(Opened{st})
	x.hold = true // no analysis
	x.setMargin(study.Measures[0], "7.5")
	x.hold = false
	x.saveStudy(nil)
	if again, err := study.Open(st.Path); err != nil || again.Choices.Margins["lead_mm"] != 7.5 {
		t.Errorf("the file has no margin of 7.5 mm: %v, %v", again, err)
	}
}

// TestFlaggedRunsByChoice leaves flagged runs out and takes them in again, and
// reads what the screen says of it.
func TestFlaggedRunsByChoice(t *testing.T) {
	x := newWorld(t)
	st := plainStudy()
	results := plainResults(st)
	results[2].Flags = []capture.Flag{{Code: capture.PoorFit}} // b-base-2
	x.store.Do(Opened{st})
	x.store.Do(Analysed{results})
	x.store.Do(ShowScreen{CompareScreen})
	if got := x.compare.words.Text; !strings.Contains(got, "Runs flagged poor fit are in, by choice: b-base-2.") {
		t.Errorf("as they come the screen says %q", got)
	}
	for i, code := range study.Doubtful {
		if code == capture.PoorFit {
			test.Tap(x.compare.leaveOut[i])
		}
	}
	if got := x.compare.words.Text; !strings.Contains(got, "Runs flagged poor fit are left out, by choice: b-base-2.") {
		t.Errorf("left out, the screen says %q", got)
	}
	if got := x.compare.basis.Text; !strings.Contains(got, "against 1 run with Base") {
		t.Errorf("the comparison rests on %q", got)
	}
	x.store.Do(LeaveOut{capture.PoorFit, false})
	if got := len(x.state().Comparison.BaselineRuns); got != 2 {
		t.Errorf("taken in again, %d baseline runs are compared", got)
	}
}

// TestForestOfPlayers holds the rows of the forest against the comparison.
func TestForestOfPlayers(t *testing.T) {
	st := plainStudy()
	nan := math.NaN()
	d := study.Difference{Measure: study.Measures[0], Value: 2, Low: -1, High: 5,
		ByPlayer: []study.PlayerDifference{{Player: "a", Value: 1, Low: 0.5, High: 1.5}, {Player: "b", Value: 3, Low: nan, High: nan}}}
	many := effects(st, &study.Comparison{Design: study.ManyPlayer}, d)
	if len(many) != 3 || many[1].Label != "A" || many[1].High != 1.5 || many[2].Text != "+3.0 (–)" || !many[0].Whole || many[0].Low != -1 {
		t.Errorf("of several players: %+v", many)
	}
	if one := effects(st, &study.Comparison{Design: study.OnePlayer}, d); len(one) != 2 {
		t.Errorf("one player has %d rows: all together are that player", len(one))
	}
}

// TestEveryMeasureAndPage walks over all measures and pages: the curves come by
// themselves, and what was stopped does not begin again.
func TestEveryMeasureAndPage(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	for i, m := range comparedMeasures() {
		x.compare.measure.SetSelectedIndex(i)
		if x.state().measure().Key != m.Key || x.compare.between.Selected() != i {
			t.Errorf("the measure is %s, want %s", x.state().measure().Key, m.Key)
		}
	}
	x.hold = true
	test.Tap(x.compare.pages.buttons[1])
	if len(x.queued) != 1 || x.state().Job.Title == "" {
		t.Fatalf("%d jobs wait when the curves are shown", len(x.queued))
	}
	x.jobs.stop()
	if len(x.queued) != 1 || !x.compare.again.Visible() {
		t.Error("stopped, it begins again by itself, or cannot be begun")
	}
	x.hold = false
	test.Tap(x.compare.again)
	if x.state().curves() == nil || x.compare.again.Visible() {
		t.Error("the curves were not compared")
	}
	if got := x.compare.curveWords.Text; !strings.Contains(got, "too few curves") {
		t.Errorf("of one curve and two it says %q", got)
	}
}

// Of two clubs with one label, the one that is chosen is compared.
func TestChooseOfClubsWithOneLabel(t *testing.T) {
	st := *plainStudy()
	other := *st.Club("proto")
	other.ID = "proto2"
	st.Clubs = append(st.Clubs, other)
	x := newWorld(t)
	st.Path = filepath.Join(x.dir, "study.json")
	x.store.Do(Opened{&st})
	x.store.Do(Analysed{plainResults(&st)})
	x.store.Do(ShowScreen{CompareScreen})
	x.hold = true // nothing is worked out anew
	names := x.compare.prototype.Options
	x.compare.prototype.SetSelected(names[len(names)-1])
	if got := x.state().Study.Choices.Prototype; got != "proto2" {
		t.Errorf("of %q the last was chosen, and %q is compared", names, got)
	}
	if x.compare.prototype.Selected != names[len(names)-1] {
		t.Errorf("%q is shown as chosen", x.compare.prototype.Selected)
	}
}
