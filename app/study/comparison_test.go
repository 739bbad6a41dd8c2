package study

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/kinematics"
)

// leadSwing is a swing whose lead is lead(t) mm at t s from impact, and
// everything else not known. Contact falls a third of a frame after a frame,
// and the frames after it hold rubbish.
func leadSwing(lead func(t float64) float64) *kinematics.Swing {
	const frames, rate, contact = 420, 1000, 400
	none := kinematics.Estimate{Value: math.NaN(), U95: math.NaN()}
	s := &kinematics.Swing{
		Start: 5, Rate: rate, Top: 5.1, RMS: 1e-4,
		Grip:   make([]kinematics.Frame, frames),
		Head:   make([]r3.Vec, frames),
		Impact: kinematics.Estimate{Value: 5 + (contact+1./3)/rate, U95: 1e-4},
		AtImpact: kinematics.Readout{Droop: none, Twist: none, LeadAngle: none, DroopAngle: none, HeadSpeed: none, KickSpeed: none,
			Lead: kinematics.Estimate{Value: lead(0) / 1e3, U95: 1e-3}},
		PeakLag: kinematics.Peak{Estimate: none, Time: math.NaN()},
	}
	for i := range frames {
		v := 1e6
		if i <= contact {
			v = lead(s.Time(i)-s.Impact.Value) / 1e3
		}
		s.Lead.Value = append(s.Lead.Value, v)
		s.Lead.U95 = append(s.Lead.U95, 2e-3)
	}
	return s
}

// analysis is of runs "player club lead": a steady lead in mm, "fail" for a run
// that failed, or "none" for one without impact.
func analysis(runs ...string) *Analysis {
	s := &Study{Clubs: []Club{
		{ID: "base", Role: Baseline}, {ID: "proto", Role: Prototype}, {ID: "proto2", Role: Prototype},
		{ID: "baseL", Role: Baseline, Hand: kinematics.Left}, {ID: "protoL", Role: Prototype, Hand: kinematics.Left},
	}}
	a := &Analysis{Study: s}
	for i, text := range runs {
		var player, club, word string
		if n, err := fmt.Sscan(text, &player, &club, &word); n != 3 {
			panic(err)
		}
		r := &Result{Run: Run{ID: fmt.Sprintf("r%d", i+1), Player: player, Club: club}}
		var lead float64
		switch n, _ := fmt.Sscan(word, &lead); {
		case n == 1:
			r.Swing = leadSwing(func(float64) float64 { return lead })
		case word == "none":
			r.Swing = leadSwing(func(float64) float64 { return 0 })
			r.Swing.Impact.Value = math.NaN()
		default:
			r.Err = errors.New("no such file")
		}
		s.Runs = append(s.Runs, r.Run)
		a.Results = append(a.Results, r)
	}
	return a
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !scalar.EqualWithinAbs(got, want, tolerance) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func compare(t *testing.T, a *Analysis, baseline, prototype string) *Comparison {
	t.Helper()
	c, err := Compare(a, baseline, prototype)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Student's sleep data as the runs of one player: Welch's t of R, t.test(extra ~
// group, sleep), with the sign of group 2 − group 1.
func TestCompareOnePlayer(t *testing.T) {
	drug1 := []float64{.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2.0}
	drug2 := []float64{1.9, .8, 1.1, .1, -.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	var runs []string
	for i := range drug1 {
		runs = append(runs, fmt.Sprint("p base ", drug1[i]), fmt.Sprint("p proto ", drug2[i]))
	}
	c := compare(t, analysis(runs...), "", "")
	if c.Design != OnePlayer || c.Baseline != "base" || c.Prototype != "proto" || len(c.LeftOut) != 0 {
		t.Errorf("comparison %+v", c)
	}
	d := c.Measures[0]
	near(t, "difference", d.Value, 1.58, 1e-9)
	near(t, "t", d.T, 1.8608, 5e-5)
	near(t, "df", d.DF, 17.776, 5e-4)
	near(t, "p", d.P, .07939, 5e-6)
	near(t, "low", d.Low, -0.2054832, 1e-7)
	near(t, "high", d.High, 3.3654832, 1e-7)
	if d.Baseline.Runs != 10 || d.Baseline.Players != 1 || d.Why != "" {
		t.Errorf("baseline %+v, why %q", d.Baseline, d.Why)
	}
	if by := d.ByPlayer; len(by) != 1 || by[0].Low != d.Low {
		t.Errorf("by player %+v", by)
	}
	if other := c.Measures[1]; !math.IsNaN(other.Value) || other.Baseline.Runs != 0 || other.Why == "" {
		t.Errorf("a measure that is not known: %+v", other)
	}
}

// The same as ten players, with two runs each that lie evenly about the value:
// the paired t of R, t.test(..., paired = TRUE).
func TestCompareManyPlayers(t *testing.T) {
	drug1 := []float64{.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2.0}
	drug2 := []float64{1.9, .8, 1.1, .1, -.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	var runs []string
	for i := range drug1 {
		runs = append(runs,
			fmt.Sprintf("p%d base %v", i, drug1[i]-1), fmt.Sprintf("p%d base %v", i, drug1[i]+1),
			fmt.Sprintf("p%d proto %v", i, drug2[i]))
	}
	c := compare(t, analysis(runs...), "", "")
	d := c.Measures[0]
	near(t, "t", d.T, 4.0621277, 5e-8)
	near(t, "df", d.DF, 9, 0)
	near(t, "p", d.P, .00283289, 5e-9)
	near(t, "low", d.Low, 0.7001142, 1e-7)
	near(t, "high", d.High, 2.4598858, 1e-7)
	near(t, "SD over players", d.Baseline.SD, 1.789010, 5e-7) // R: sd(sleep$extra[1:10])
	if c.Design != ManyPlayer || d.Baseline.Runs != 20 || d.Baseline.Players != 10 || d.Prototype.Runs != 10 {
		t.Errorf("design %v, baseline %+v, prototype %+v", c.Design, d.Baseline, d.Prototype)
	}
	if p := d.ByPlayer[0]; !scalar.EqualWithinAbs(p.Value, 1.2, 1e-9) || !math.IsNaN(p.Low) {
		t.Errorf("a player with one prototype run: %+v", p)
	}
}

func TestCompareTheOtherWayRound(t *testing.T) {
	a := analysis("p base 30", "p base 32", "q base 40", "q base 45", "p proto 25", "p proto 28", "q proto 39", "q proto 41")
	there, back := compare(t, a, "base", "proto").Measures[0], compare(t, a, "proto", "base").Measures[0]
	near(t, "difference", there.Value, -back.Value, 1e-12)
	near(t, "low", there.Low, -back.High, 1e-12)
	near(t, "t", there.T, -back.T, 1e-12)
	near(t, "p", there.P, back.P, 1e-12)
}

func TestCompareTellsWhoIsLeftOut(t *testing.T) {
	a := analysis("p base 30", "p base 31", "p base fail", "p proto 28", "p proto 29", "p proto2 9", "q base 50", "p proto none", "p proto 99")
	a.Results[8].Run.Excluded = "mis-hit"
	c := compare(t, a, "", "")
	got := fmt.Sprint(c.LeftOut)
	want := `[{r3 failed: no such file} {r6 its club "proto2" is on neither side} {r7 its player has no good run with the other club} {r8 no impact was found in it} {r9 excluded: mis-hit}]`
	if got != want {
		t.Errorf("left out\n%s, want\n%s", got, want)
	}
	near(t, "difference", c.Measures[0].Value, -2, 1e-9)
	if c.Design != OnePlayer || len(c.BaselineRuns) != 2 || len(c.PrototypeRuns) != 2 {
		t.Errorf("design %v with %d and %d runs", c.Design, len(c.BaselineRuns), len(c.PrototypeRuns))
	}
}

// A left-hander counts with the left-handed clubs, unless clubs are named; a
// second prototype never counts by itself.
func TestCompareLeftHanders(t *testing.T) {
	a := analysis("p base 30", "p proto 28", "q baseL 40", "q protoL 39", "p proto2 0")
	c := compare(t, a, "", "")
	near(t, "difference", c.Measures[0].Value, -1.5, 1e-9)
	if c.Design != ManyPlayer || c.Baseline != "base" || c.Prototype != "proto" || len(c.LeftOut) != 1 {
		t.Errorf("comparison %+v", c)
	}
	c = compare(t, a, "baseL", "protoL")
	near(t, "difference", c.Measures[0].Value, -1, 1e-9)
	if c.Design != OnePlayer || len(c.LeftOut) != 3 || !strings.Contains(c.Measures[0].Why, "too few") {
		t.Errorf("comparison %+v", c)
	}
}

func TestCompareRefuses(t *testing.T) {
	a := analysis("p base 30", "q proto 28")
	for _, c := range []struct{ baseline, prototype, want string }{
		{"", "", "no player has a good run with both"},
		{"old", "", `no club "old" in the study; it has base, proto, proto2, baseL, protoL`},
		{"", "new", `no club "new"`},
		{"proto", "", `club "proto" cannot be compared with itself`},
	} {
		if _, err := Compare(a, c.baseline, c.prototype); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q and %q: error %v, want %q", c.baseline, c.prototype, err, c.want)
		}
	}
	a.Study.Clubs = a.Study.Clubs[1:3]
	if _, err := Compare(a, "", ""); err == nil || !strings.Contains(err.Error(), "no club of the study has the role baseline") {
		t.Errorf("error %v", err)
	}
}

// The mean of lines is a line up to and including contact, whatever comes after
// it: linear interpolation is exact for it.
func TestMeanCurve(t *testing.T) {
	line := func(at, slope float64) *Result {
		return &Result{Swing: leadSwing(func(t float64) float64 { return at + slope*t })}
	}
	runs := []*Result{line(30, 100), line(20, 300), {Err: errors.New("failed")}}
	c := MeanCurve(runs, Measures[0])
	if c.N != 2 || len(c.X) != 301 || c.X[0] != -0.3 || c.X[300] != 0 || c.X[290] != -0.01 {
		t.Fatalf("curve of %d over %d points from %v to %v", c.N, len(c.X), c.X[0], c.X[len(c.X)-1])
	}
	for i, x := range c.X {
		near(t, fmt.Sprintf("mean at %v", x), c.Mean[i], 25+200*x, 1e-9)
		near(t, fmt.Sprintf("band at %v", x), c.High[i]-c.Low[i], 2*math.Abs(10-200*x)/math.Sqrt2, 1e-9)
	}
	if w := MeanCurve(runs, Measures[1]); !math.IsNaN(w.Mean[0]) || len(w.Mean) != 301 {
		t.Errorf("a measure that is not known: %v", w.Mean[:3])
	}
	if none := MeanCurve(nil, Measures[0]); none.N != 0 || !math.IsNaN(none.Mean[300]) {
		t.Errorf("no runs: %+v", none)
	}
}

// A gap stays a gap, with the points on either side of it known.
func TestMeanCurveKeepsGaps(t *testing.T) {
	s := leadSwing(func(t float64) float64 { return 1000 * t })
	s.Lead.Value[200] = math.NaN()
	c := MeanCurve([]*Result{{Swing: s}}, Measures[0])
	for i, x := range c.X {
		near := math.Abs(s.Impact.Value+x-s.Time(200))*s.Rate < 1
		if math.IsNaN(c.Mean[i]) != near {
			t.Errorf("at %v s the mean is %v", x, c.Mean[i])
		}
	}
	if !math.IsNaN(c.High[0]) {
		t.Errorf("one curve has a band up to %v", c.High[0])
	}
	// A recording that starts late has nothing before its start.
	s.Start += 0.2
	s.Lead.Value, s.Grip = s.Lead.Value[200:], s.Grip[200:]
	late := MeanCurve([]*Result{{Swing: s}}, Measures[0])
	if !math.IsNaN(late.Mean[99]) || math.IsNaN(late.Mean[102]) {
		t.Errorf("before its start %v, after it %v", late.Mean[99], late.Mean[102])
	}
}

// Eight players whose lead differs in the last 50 ms only.
func bumped() *Analysis {
	a := &Analysis{Study: &Study{Clubs: []Club{{ID: "base", Role: Baseline}, {ID: "proto", Role: Prototype}}}}
	for p := range 8 {
		own := float64(p*p%5) / 4
		for _, club := range []string{"base", "proto"} {
			r := &Result{Run: Run{ID: fmt.Sprint(club, p), Player: fmt.Sprint(p), Club: club}}
			r.Swing = leadSwing(func(t float64) float64 {
				v := 30 + 10*own + 0.2*math.Sin(90*t+7*own)*float64(len(club))
				if club == "proto" && t > -0.05 {
					v -= 8 + own
				}
				return v
			})
			a.Results = append(a.Results, r)
		}
	}
	return a
}

func TestCurvesFindTheDifference(t *testing.T) {
	curves, err := compare(t, bumped(), "", "").Curves(t.Context(), ToImpact, nil)
	if err != nil {
		t.Fatal(err)
	}
	lead := curves[0]
	if len(curves) != len(Measures) || len(lead.Intervals) == 0 {
		t.Fatalf("%d curves, intervals %v", len(curves), lead.Intervals)
	}
	last := lead.Intervals[len(lead.Intervals)-1]
	near(t, "start of the interval", last.From, -0.05, 0.002)
	near(t, "end of the interval", last.To, 0, 0)
	near(t, "p", last.P, 2./256, 1e-12) // the observed signs and their mirror image
	if !math.IsNaN(curves[1].Threshold) || curves[1].Intervals != nil {
		t.Errorf("a measure that is not known: threshold %v", curves[1].Threshold)
	}
}

func TestWriteComparison(t *testing.T) {
	for name, a := range map[string]*Analysis{
		"many": bumped(),
		"few":  analysis("p base 30", "p proto 28", "p base fail"),
	} {
		var b bytes.Buffer
		if err := WriteComparison(t.Context(), &b, compare(t, a, "", "")); err != nil {
			t.Fatal(err)
		}
		var got struct {
			Format, Baseline, Prototype, Design string
			Version                             int
			Measures                            []struct {
				Measure    string
				Baseline   struct{ Mean *float64 }
				Difference struct {
					Value *float64
					CI95  []float64
					P     *float64
				}
			}
			Curves []struct {
				Measure, Axis    string
				X                []float64
				Baseline_mean, T []*float64
				Threshold        *float64
				Intervals        []struct{ From, To, P float64 }
			}
			Left_out []LeftOut
		}
		dec := json.NewDecoder(&b)
		if err := dec.Decode(&got); err != nil {
			t.Fatal(err)
		}
		if got.Format != "bendline-comparison" || got.Version != 1 || got.Baseline != "base" || len(got.Measures) != 7 || len(got.Curves) != 7 {
			t.Errorf("%s: %+v", name, got)
		}
		lead, droop := got.Measures[0], got.Measures[1]
		if lead.Measure != "lead_mm" || lead.Difference.Value == nil || droop.Difference.Value != nil || droop.Difference.CI95 != nil {
			t.Errorf("%s: lead %+v, droop %+v", name, lead, droop)
		}
		many := name == "many"
		if (len(lead.Difference.CI95) == 2) != many || (got.Curves[0].Threshold != nil) != many || (len(got.Curves[0].Intervals) > 0) != many || (got.Curves[0].T[300] != nil) != many {
			t.Errorf("%s: interval %v, threshold %v", name, lead.Difference.CI95, got.Curves[0].Threshold)
		}
		if c := got.Curves[0]; c.Axis != "s_to_impact" || len(c.X) != 301 || len(c.Baseline_mean) != 301 || c.Baseline_mean[300] == nil {
			t.Errorf("%s: curve %+v", name, c)
		}
		if !many && !slices.Equal(got.Left_out, []LeftOut{{"r3", "failed: no such file"}}) {
			t.Errorf("left out %v", got.Left_out)
		}
	}
}
