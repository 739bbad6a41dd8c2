package study

import (
	"slices"
	"strings"
	"testing"

	"bendline/capture"
	"bendline/kinematics"
)

func TestMisplaced(t *testing.T) {
	set := capture.MarkerSet{
		Grip:  []string{"G1", "G2", "G3"},
		Shaft: []capture.ShaftMarker{{Name: "S01", Station: 0.3}, {Name: "S02", Station: 0.5}},
		Head:  []string{"H1", "H2", "H3"}, Heel: "H1", Toe: "H2",
	}
	s := &kinematics.Swing{
		Grip:      make([]kinematics.Frame, 100),
		Exchanged: []kinematics.Exchange{{Track: 3, Label: 4, From: 0.1, To: 0.2}},
		Slid:      []kinematics.Slide{{Track: 4, By: -4.2e-3}},
		Skewed:    []kinematics.Skew{{Track: 6, By: kinematics.Estimate{Value: -116e-6, U95: 5e-6}}},
		Stray:     []int{2, 3, 30, 0, 0, 0, 0, 0},
	}
	var got []string
	for _, f := range misplaced(s, set) {
		got = append(got, string(f.Code)+" "+f.Marker+" "+f.Detail)
	}
	want := []string{
		"label_swap S01 points of S01 bear the label S02",
		"poor_fit S02 S02 sits 4.2 mm nearer the butt end than in the reference",
		"time_skew H2 H2 is measured 0.116 ± 0.005 ms before the others in a frame; the fit takes it back",
		"gap G2 G2 is not where the club has it in 3 of 100 frames",
		"poor_fit G3 G3 is not where the club has it in 30 of 100 frames",
	}
	if !slices.EqualFunc(got, want, strings.HasPrefix) {
		t.Errorf("flags are %q", got)
	}
	left := withoutRepaired([]capture.Flag{
		{Code: capture.LabelSwap, Marker: "S02"}, {Code: capture.LabelSwap, Marker: "H1"}, {Code: capture.Gap, Marker: "S01"},
		{Code: capture.TimeSkew, Marker: "H3"}, {Code: capture.TimeSkew, Marker: "G1"},
	}, s, set)
	if len(left) != 3 || left[0].Marker != "H1" || left[1].Code != capture.Gap || left[2].Marker != "G1" {
		t.Errorf("of the flags before the fit these are left: %+v", left)
	}
}
