package study

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"bendline/kinematics"
)

func TestCurveWords(t *testing.T) {
	lead := Measures[0]
	curvature := AlongShaft[0]
	for _, c := range []struct {
		d    CurveDifference
		want string
	}{
		{CurveDifference{Measure: lead, Axis: ToImpact, CurveView: CurveView{Intervals: []CurveInterval{{-0.042, -0.018, 0.01}}}}, "Lead differs from 42 to 18 ms before impact."},
		{CurveDifference{Measure: lead, Axis: ToImpact, CurveView: CurveView{Intervals: []CurveInterval{{-0.2, -0.1, 0.01}, {-0.05, -0.05, 0.01}, {-0.03, 0, 0.01}}}},
			"Lead differs from 200 to 100 ms before impact, at 50 ms before impact and from 30 ms before impact to impact."},
		{CurveDifference{Measure: lead, Axis: ToImpact, CurveView: CurveView{Intervals: []CurveInterval{{0, 0, 0.01}}}}, "Lead differs at impact."},
		{CurveDifference{Measure: lead, Axis: ToImpact}, "Lead is not shown to differ anywhere in the last 300 ms before impact."},
		{CurveDifference{Measure: lead, Axis: ToImpact, CurveView: CurveView{Threshold: math.NaN()}}, "There are too few curves to say where lead differs."},
		{CurveDifference{Measure: lead, Axis: Downswing, CurveView: CurveView{Intervals: []CurveInterval{{62, 81, 0.01}}}}, "Lead differs from 62 to 81 % of the downswing."},
		{CurveDifference{Measure: lead, Axis: ToImpact, CurveView: CurveView{Threshold: math.NaN()}, Within: &CurveView{About: Narrow, Intervals: []CurveInterval{{-0.042, 0, 0.01}}}},
			"For these players lead differs from 42 ms before impact to impact."},
		{CurveDifference{Measure: lead, Axis: Downswing, Within: &CurveView{About: Narrow}}, "For these players lead is not shown to differ anywhere in the downswing."},
		{CurveDifference{Measure: lead, Axis: Downswing}, "Lead is not shown to differ anywhere in the downswing."},
		{CurveDifference{Measure: curvature, Axis: Station, CurveView: CurveView{Intervals: []CurveInterval{{300, 420, 0.01}}}}, "Lead curvature at impact differs from 300 to 420 mm from the butt end. An error of a club's table of stiffness shows here too."},
		{CurveDifference{Measure: curvature, Axis: Station}, "Lead curvature at impact is not shown to differ anywhere along the shaft."},
	} {
		if got := c.d.Words(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Lead that is a line over the downswing is the same line in per cent, whatever
// the tempo.
func TestDownswingCurves(t *testing.T) {
	a := analysis("p base 0", "p base 0", "p proto 0", "p proto 0")
	for i, r := range a.Results {
		long := 0.2 + 0.03*float64(i) // of the downswing, s
		r.Swing = leadSwing(func(t float64) float64 { return 40 * (1 + t/long) })
		r.Swing.Top = r.Swing.Impact.Value - long
	}
	curves, err := compare(t, a, "", "").Curves(t.Context(), Downswing, nil)
	if err != nil {
		t.Fatal(err)
	}
	lead := curves[0]
	if lead.Axis != Downswing || len(lead.Baseline.X) != 101 {
		t.Fatalf("%d points over %s", len(lead.Baseline.X), lead.Axis)
	}
	for i, percent := range lead.Baseline.X {
		near(t, fmt.Sprint("at ", percent), lead.Baseline.Mean[i], 0.4*percent, 1e-9)
	}
	a.Results[0].Swing.Top = math.NaN()
	curves, err = compare(t, a, "", "").Curves(t.Context(), Downswing, nil)
	if err != nil || math.IsNaN(curves[0].Baseline.Mean[50]) || !math.IsNaN(curves[0].Baseline.Low[50]) {
		t.Errorf("without a top: %v, %v", curves[0].Baseline.Mean[50], err)
	}
}

// The band holds the difference, and leaves out 0 in the intervals alone.
func TestCurvesHaveABand(t *testing.T) {
	curves, err := compare(t, bumped(), "", "").Curves(t.Context(), ToImpact, nil)
	if err != nil {
		t.Fatal(err)
	}
	d := curves[0]
	if d.Axis != ToImpact || d.Ways != 256 || !d.Exact || !(d.Field > 0) {
		t.Errorf("axis %s, %d ways, field threshold %v", d.Axis, d.Ways, d.Field)
	}
	for i, x := range d.Baseline.X {
		near(t, "difference", d.Value[i], d.Prototype.Mean[i]-d.Baseline.Mean[i], 1e-9)
		in := slices.ContainsFunc(d.Intervals, func(v CurveInterval) bool { return v.From <= x && x <= v.To })
		if out := d.Low[i] > 0 || d.High[i] < 0; out != in {
			t.Fatalf("at %v s the band is %v to %v, in an interval: %v", x, d.Low[i], d.High[i], in)
		}
	}
}

// Curvature that is linear along the shaft, on stations that differ from club to
// club, is compared where all reach.
func TestShaftCurves(t *testing.T) {
	a := analysis("p base 0", "p base 0", "p base 0", "p base 0", "p proto 0", "p proto 0", "p proto 0", "p proto 0")
	for i, r := range a.Results {
		from := 0.013
		bend := 0.1 + 0.001*float64(i%4)
		if r.Run.Club == "proto" {
			from, bend = 0.031, bend+0.05
		}
		p := &r.Swing.Bend
		for k := range 12 {
			s := from + 0.09*float64(k)
			p.Station = append(p.Station, s)
			p.LeadCurvature.Value = append(p.LeadCurvature.Value, bend*s)
			p.DroopCurvature.Value = append(p.DroopCurvature.Value, 0.2*s+0.001*float64(i))
		}
	}
	c := compare(t, a, "", "")
	curves, err := c.Curves(t.Context(), Station, nil)
	if err != nil {
		t.Fatal(err)
	}
	lead := curves[0]
	if x := lead.Baseline.X; len(curves) != 2 || x[0] != 40 || x[len(x)-1] != 1000 {
		t.Fatalf("%d curves from %v", len(curves), lead.Baseline.X)
	}
	for i, mm := range lead.Baseline.X {
		near(t, "baseline", lead.Baseline.Mean[i], 0.1015*mm/1e3, 1e-12)
		near(t, "difference", lead.Value[i], 0.05*mm/1e3, 1e-12)
	}
	if got := lead.Words(); got != "Lead curvature at impact differs from 40 to 1000 mm from the butt end. An error of a club's table of stiffness shows here too." {
		t.Error(got)
	}
	a.Results[0].Swing.Bend = kinematics.Profile{}
	if curves, err := compare(t, a, "", "").Curves(t.Context(), Station, nil); err != nil || curves != nil {
		t.Errorf("a run without a profile: %v, %v", curves, err)
	}
}

// A lead and a droop with known extremes and turns.
func TestPeaks(t *testing.T) {
	s := leadSwing(func(float64) float64 { return 0 })
	s.Top = s.Impact.Value - 0.25
	s.PeakLag = kinematics.Peak{Estimate: kinematics.Estimate{Value: -0.08, U95: 1e-3}, Time: s.Impact.Value - 0.09}
	for i := range s.Frames() {
		to := s.Time(i) - s.Impact.Value
		s.Droop.Value = append(s.Droop.Value, 1e-3*(to+0.03)*1e3) // crosses 0 at −30 ms
	}
	value := map[string]float64{}
	for _, m := range Peaks {
		value[m.Key] = m.AtImpact(s).Value * m.Scale
	}
	first := s.Time(s.FrameAt(s.Top + 0.5/s.Rate)) // frame after the top
	near(t, "peak lag", value["peak_lag_mm"], 80, 1e-9)
	near(t, "when", value["peak_lag_ms"], 90, 1e-9)
	near(t, "turn", value["droop_turn_ms"], 30, 1e-9)
	near(t, "peak toe-up", value["peak_toe_up_mm"], -1e3*(first-s.Impact.Value+0.03), 1e-6)
	near(t, "when", value["peak_toe_up_ms"], 1e3*(s.Impact.Value-first), 1e-6)

	for i := range s.Droop.Value {
		s.Droop.Value[i] = 1 // never toe-up
	}
	if v := Peaks[4].AtImpact(s).Value; !math.IsNaN(v) {
		t.Errorf("a droop that never turns turns at %v", v)
	}
}

func TestLoading(t *testing.T) {
	a := analysis("p base 30", "q base 40", "p proto 28", "q proto 37")
	for i, r := range a.Results {
		r.Swing.PeakLag = kinematics.Peak{Estimate: kinematics.Estimate{Value: -0.01 * float64(i+1)}, Time: r.Swing.Impact.Value - 0.1}
	}
	loading := compare(t, a, "", "").Loading()
	if len(loading) != 2 || loading[1].Player != "q" || len(loading[1].Rows) != len(Peaks)+4 {
		t.Fatalf("%+v", loading)
	}
	row := loading[1].Rows[0]
	if row.Measure.Key != "peak_lag_mm" {
		t.Errorf("first row %s", row.Measure.Key)
	}
	near(t, "baseline", row.Baseline.Mean, 20, 1e-9)
	near(t, "difference", row.Value, 20, 1e-9)
}

// Sulfur in coal as eight clubs of one player (ISO 5725-2:1994, example B.1,
// level 1).
func TestLot(t *testing.T) {
	labs := [][]float64{{.71, .71, .70, .71}, {.69, .67, .68}, {.66, .65, .69}, {.67, .65, .66},
		{.70, .69, .66, .71, .69}, {.73, .74, .73}, {.71, .71, .69}, {.70, .65, .68}}
	a := analysis("p base 1")
	a.Results = nil
	var clubs []string
	for i, values := range labs {
		id := fmt.Sprint("lab", i)
		clubs = append(clubs, id)
		a.Study.Clubs = append(a.Study.Clubs, Club{ID: id, Role: Prototype})
		for j, v := range values {
			a.Results = append(a.Results, &Result{Run: Run{ID: fmt.Sprint(id, "-", j), Club: id, Player: "p"},
				Swing: leadSwing(func(float64) float64 { return v })})
		}
	}
	a.Results[0].Run.Excluded, a.Results[1].Run.Excluded = "", ""
	l, err := NewLot(a, clubs, nil)
	if err != nil {
		t.Fatal(err)
	}
	lead := l.Measures[0]
	near(t, "s_r", lead.Repeatability, .01512, 5e-6)
	near(t, "s_L", lead.Between, .02160, 5e-6)
	near(t, "s_R", lead.Reproducibility, .02636, 5e-6)
	near(t, "limit", lead.Limit(), 2.8*.01512, 2e-5)
	// What all runs of a club share is no difference between clubs.
	for _, r := range a.Results {
		r.Swing.Systematic.Lead.U95 = 1.96 * .015e-3
	}
	if l, err = NewLot(a, clubs, nil); err != nil {
		t.Fatal(err)
	}
	near(t, "s_L without what runs share", l.Measures[0].Between, math.Sqrt(.02160*.02160-.015*.015), 5e-6)
	near(t, "s_L of the runs", l.Measures[0].Alone.Between, .02160, 5e-6)
	if m := l.Measures[0]; !(m.P > m.Alone.P) || m.Shared == 0 {
		t.Errorf("p %v, of the runs %v", m.P, m.Alone.P)
	}
	if lead.Why != "" || l.Measures[1].Why == "" || len(l.Measures) != len(Measures) {
		t.Errorf("why %q and %q", lead.Why, l.Measures[1].Why)
	}

	c, err := CompareWith(t.Context(), a, Choices{Baseline: "lab0", Prototype: "lab1", Lot: clubs}, nil)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteComparison(t.Context(), &b, c); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Lot struct {
			Clubs    []string
			Measures []struct {
				Measure       string
				Repeatability *float64 `json:"repeatability_sd"`
				Why           string
			}
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Lot.Clubs) != 8 || got.Lot.Measures[0].Repeatability == nil || got.Lot.Measures[1].Repeatability != nil || got.Lot.Measures[1].Why == "" {
		t.Errorf("%+v", got.Lot)
	}
	for _, clubs := range [][]string{{"lab0"}, {"lab0", "none"}, {"lab0", "lab0"}} {
		if _, err := NewLot(a, clubs, nil); err == nil {
			t.Errorf("%v is a lot", clubs)
		}
	}
}

// What compare.json holds beside its first keys, by the names that are promised.
func TestComparisonFileKeys(t *testing.T) {
	var b bytes.Buffer
	if err := WriteComparison(t.Context(), &b, compare(t, workers(), "", "")); err != nil {
		t.Fatal(err)
	}
	var got map[string]json.RawMessage
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"measures", "curves", "left_out", "choices", "flagged", "peaks", "loading", "downswing_curves", "shaft_curves"} {
		if got[key] == nil || string(got[key]) == "null" {
			t.Errorf("no %s", key)
		}
	}
	if got["lot"] != nil {
		t.Error("a lot that was not asked for")
	}
	var measures []map[string]json.RawMessage
	if err := json.Unmarshal(got["measures"], &measures); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"measure", "baseline", "prototype", "difference", "equivalence", "holm_p", "permutation",
		"permutation_within_players", "at_equal_head_speed", "mixed_model", "mixed_model_at_equal_head_speed", "power", "run_to_run", "outliers", "by_player"} {
		if measures[0][key] == nil {
			t.Errorf("a measure has no %s", key)
		}
	}
	var mixed struct {
		Value, P *float64
		About    string
		RunSD    *float64 `json:"run_sd"`
	}
	if err := json.Unmarshal(measures[0]["mixed_model"], &mixed); err != nil || mixed.Value == nil || mixed.RunSD == nil || mixed.About != Wide {
		t.Errorf("mixed model %+v, %v", mixed, err)
	}
}
