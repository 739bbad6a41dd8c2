package app

import (
	"math"
	"strings"
	"testing"

	"bendline/app/study"
)

// TestAnswer reads the sentence on top in every case there is.
func TestAnswer(t *testing.T) {
	nan := math.NaN()
	st := plainStudy()
	margins := []float64{4, 3, 0.5}
	say := func(design study.Design, of ...study.Difference) string {
		for i := range of {
			of[i].Measure = study.Measures[i]
			of[i].Equivalence.Margin.Value = margins[i]
			of[i].ByPlayer = []study.PlayerDifference{{Player: "a"}}
		}
		return answer(st, &study.Comparison{Design: design, Measures: of})
	}
	// A difference with its interval, and the p of sameness within the margin.
	known := func(value, low, high, alike float64) study.Difference {
		faster := study.AtSpeed{View: study.View{Value: value, Low: low, High: high}}
		return study.Difference{Value: value, Low: low, High: high, Holm: 0.01, Equivalence: study.Equivalence{P: alike}, AtSpeed: faster, MixedAtSpeed: faster}
	}
	larger, smaller := known(3.21, 1.04, 5.38, 0.3), known(-2, -3.5, -0.5, 0.2)
	open, same := known(0.1, -0.2, 0.9, 0.2), known(0.1, -0.2, 0.3, 0.01)
	small, chance, slow := known(1, 0.5, 1.5, 0.001), known(3, 0.1, 5.9, 0.3), known(3, 1, 5, 0.3)
	chance.Holm = 0.26
	slow.MixedAtSpeed.Low, slow.MixedAtSpeed.High = -1, 4.2
	few := study.Difference{Value: 1, Low: nan, High: nan, Why: "contrast: one run of a club gives no spread", Equivalence: study.Equivalence{P: nan}}

	for _, c := range []struct {
		design study.Design
		of     []study.Difference
		want   string
	}{
		{study.ManyPlayer, []study.Difference{larger, smaller, open},
			"At impact lead is larger by 3.2 mm (95 % interval +1.0 to +5.4) and droop is smaller by 2.0 mm (95 % interval −3.5 to −0.5) with the prototype; " +
				"neither a difference nor sameness is shown in twist (−0.20 to +0.90 deg)."},
		{study.ManyPlayer, []study.Difference{same, same, same}, "The clubs are the same in lead within ±4 mm, droop within ±3 mm and twist within ±0.5 deg."},
		{study.ManyPlayer, []study.Difference{open, open, same},
			"The clubs are the same in twist within ±0.5 deg; neither a difference nor sameness is shown in lead (−0.2 to +0.9 mm) and droop (−0.2 to +0.9 mm)."},
		{study.ManyPlayer, []study.Difference{small, chance, slow},
			"At impact lead is larger by 1.0 mm (95 % interval +0.5 to +1.5, which lies within the margin ±4 mm), " +
				"droop is larger by 3.0 mm (95 % interval +0.1 to +5.9; of 3 measures one may do so by chance, p 0.260 with Holm) and " +
				"twist is larger by 3.00 deg (95 % interval +1.00 to +5.00; at equal head speed not shown, −1.00 to +4.20) with the prototype."},
		{study.OnePlayer, []study.Difference{larger, same, few},
			"For one player, A: at impact lead is larger by 3.2 mm (95 % interval +1.0 to +5.4) with the prototype; the clubs are the same in droop within ±3 mm; twist cannot be told: one run of a club gives no spread."},
		{study.ManyPlayer, []study.Difference{few, few, few}, "Lead, droop and twist cannot be told: one run of a club gives no spread."},
	} {
		if got := say(c.design, c.of...); got != c.want {
			t.Errorf("the answer is\n%s\nwant\n%s", got, c.want)
		}
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
	if x.state().Study.Choices.Baseline != "base" || x.state().Comparison.Baseline != "base" {
		t.Errorf("chosen baseline is %q", x.state().Study.Choices.Baseline)
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
