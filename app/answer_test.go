package app

import (
	"math"
	"strings"
	"testing"

	"bendline/app/study"
)

func TestAnswer(t *testing.T) {
	nan := math.NaN()
	differences := func(lead, droop, twist study.Difference) *study.Comparison {
		lead.Measure, droop.Measure, twist.Measure = study.Measures[0], study.Measures[1], study.Measures[2]
		return &study.Comparison{Measures: []study.Difference{lead, droop, twist}}
	}
	got := answer(differences(
		study.Difference{Value: 3.21, Low: 1.04, High: 5.38},
		study.Difference{Value: -2, Low: -3.5, High: -0.5},
		study.Difference{Value: 0.1, Low: -0.2, High: 0.4, Equivalence: study.Equivalence{P: 0.2}}))
	want := "At impact lead is larger by 3.2 mm (95 % interval +1.0 to +5.4) and droop is smaller by 2.0 mm (95 % interval −3.5 to −0.5) with the prototype; " +
		"no difference is shown in twist."
	if got != want {
		t.Errorf("the answer is\n%s\nwant\n%s", got, want)
	}
	few := study.Difference{Value: 1, Low: nan, High: nan, Why: "contrast: one run of a club gives no spread"}
	if got := answer(differences(few, few, few)); !strings.HasPrefix(got, "Lead, droop and twist cannot be told: one run of a club gives no spread.") {
		t.Errorf("with too few runs the answer is %q", got)
	}
}

// TestComparisonFollowsExclusion checks that the table speaks of the runs that
// count now, and of the chosen clubs.
func TestComparisonFollowsExclusion(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	if got := x.compare.basis.Text; !strings.Contains(got, "1 run with Proto against 2 runs with Base") {
		t.Errorf("the comparison rests on %q", got)
	}
	x.store.Do(Exclude{"b-base-1", "slipped"})
	if got := x.compare.basis.Text; !strings.Contains(got, "against 1 run with Base") || !strings.Contains(got, "slipped") {
		t.Errorf("after leaving one out it rests on %q", got)
	}
	x.store.Do(Exclude{"b-proto-1", "slipped"})
	if x.state().CompareErr == nil || x.compare.answer.Text != sentence(x.state().CompareErr) {
		t.Errorf("with nothing to compare the answer is %q", x.compare.answer.Text)
	}
	x.store.Do(Undo{})
	x.compare.baseline.SetSelected("Base")
	if x.state().Baseline != "base" || x.state().Comparison.Baseline != "base" {
		t.Errorf("chosen baseline is %q", x.state().Baseline)
	}
}

// TestEverythingFits keeps the window usable at 1280 × 720.
func TestEverythingFits(t *testing.T) {
	x := withPlain(t)
	for i := range screenNames {
		x.store.Do(ShowScreen{Screen(i)})
		if m := x.win.Content().MinSize(); m.Width > 1280 || m.Height > 690 { // the menu bar has the rest
			t.Errorf("the screen %s needs %v", screenNames[i], m)
		}
	}
}
