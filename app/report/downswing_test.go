package report

import (
	"math"
	"strings"
	"testing"

	"bendline/app/study"
)

// What a row of curves tells is in the slide's title and under it.
func TestTelling(t *testing.T) {
	view := func(i int, threshold float64, about string, intervals ...study.CurveInterval) study.CurveDifference {
		return study.CurveDifference{Measure: study.Measures[i], CurveView: study.CurveView{About: about, Threshold: threshold, Intervals: intervals}}
	}
	somewhere := study.CurveInterval{From: -0.04, To: -0.02, P: 0.01}
	few := view(0, math.NaN(), study.Wide)
	few.Within = &study.CurveView{About: study.Narrow, Threshold: 3, Intervals: []study.CurveInterval{somewhere}}
	for _, c := range []struct {
		curves     []study.CurveDifference
		title, key string
	}{
		{[]study.CurveDifference{view(0, math.NaN(), study.Wide)}, "plain", ""},
		{[]study.CurveDifference{view(0, 3, study.Wide), view(1, 3, study.Wide)}, "when no stretch of the curves is shown to differ", " Dots: 95\u00a0% band."},
		{[]study.CurveDifference{view(0, 3, study.Wide, somewhere), view(1, 3, study.Wide)}, "when lead differs; droop not shown to", " Dots: 95\u00a0% band. Shaded: they differ."},
		{[]study.CurveDifference{few}, "when lead differs for these players", " Dots: 95\u00a0% band. Shaded: they differ, for these players."},
	} {
		got := tell(c.curves)
		if title, key := got.title("when ", "plain"), got.key(); title != c.title || key != c.key {
			t.Errorf("%q and %q, want %q and %q", title, key, c.title, c.key)
		}
	}
}

// The slide over the downswing is there when it is asked for, that of a lot when
// one is chosen.
func TestDownswingAndLotSlides(t *testing.T) {
	a, _ := medium.make()
	a.Study.Choices.Lot = []string{a.Study.Clubs[0].ID, a.Study.Clubs[1].ID}
	c, err := study.Compare(a, "", "")
	if err != nil {
		t.Fatal(err)
	}
	o := options
	o.Plan = Plan{{Kind: Downswing}, {Kind: Lot}}
	d, err := New(a, c, o)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Slides) != 2 || !strings.Contains(d.Slides[1].Title, "clubs of the lot") {
		t.Errorf("%d slides: %+v", len(d.Slides), d.Slides)
	}
	c.Lot = nil
	if d, err = New(a, c, o); err != nil || len(d.Slides) != 1 {
		t.Errorf("without a lot: %v, %v", d, err)
	}
	for _, choice := range DefaultPlan() {
		if choice.Off != (choice.Kind == Downswing) {
			t.Errorf("%s is off: %v", choice.Kind, choice.Off)
		}
	}
}
