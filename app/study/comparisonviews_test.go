package study

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendline/capture"
	"bendline/kinematics"
)

// workers are the runs of six workers on two of the machines of TestMixedOnMachines
// in package contrast, uneven, with a made-up head speed: worker, machine, score.
func workers() *Analysis {
	table := []string{
		"1 base 52.0", "2 base 51.8", "2 base 52.8", "3 base 60.0", "4 base 51.1", "4 base 52.3",
		"5 base 50.9", "5 base 51.8", "5 base 51.4", "6 base 46.4", "6 base 44.8", "6 base 49.2",
		"1 proto 62.1", "1 proto 64.0", "2 proto 59.7", "2 proto 60.0", "2 proto 59.0",
		"3 proto 68.6", "3 proto 65.8", "4 proto 63.2", "4 proto 62.8", "4 proto 62.2",
		"5 proto 64.8", "5 proto 65.0", "6 proto 43.7", "6 proto 44.2", "6 proto 43.0",
	}
	a := analysis(table...)
	for i, r := range a.Results {
		speed := 45 + float64((i+1)*7%11)/10
		r.Swing.AtImpact.HeadSpeed = kinematics.Estimate{Value: speed, U95: 0.1}
	}
	return a
}

// R, with xc <- x - ave(x, Worker): t.test of the workers' means, paired; lm(score
// ~ Machine + x + Worker); lmerTest::lmer(score ~ Machine + (1 | Worker) + (1 |
// Worker:Machine)), and the same with xc.
func TestViewsOfManyPlayers(t *testing.T) {
	d := compare(t, workers(), "", "").Measures[0]
	near(t, "paired t", d.T, 3.239427649, 1e-8)
	near(t, "at equal speed", d.AtSpeed.Value, 7.086256087702, 1e-9)
	near(t, "its low", d.AtSpeed.Low, 4.05757258503, 1e-8)
	near(t, "its high", d.AtSpeed.High, 10.114939590379, 1e-8)
	near(t, "its df", d.AtSpeed.DF, 19, 0)
	near(t, "its p", d.AtSpeed.P, 1.00085649955e-04, 1e-12)
	near(t, "its slope", d.AtSpeed.Slope, -0.230425695526, 1e-9)
	near(t, "mixed", d.Mixed.Value, 7.80980618271, 1e-5)
	near(t, "its df", d.Mixed.DF, 5.09331723245, 1e-3)
	near(t, "its p", d.Mixed.P, 2.32398851476e-02, 1e-6)
	near(t, "SD of players", d.Mixed.PlayerSD, 5.24811974, 1e-3)
	near(t, "SD of their taste", d.Mixed.TasteSD, 4.14279497, 1e-3)
	near(t, "SD of runs", d.Mixed.RunSD, 1.12509152, 1e-4)
	near(t, "mixed at equal speed", d.MixedAtSpeed.Value, 7.89475782641, 1e-5)
	near(t, "its p", d.MixedAtSpeed.P, 2.45106186336e-02, 1e-6)
	if d.AtSpeed.About != Narrow || d.Mixed.About != Wide || d.MixedAtSpeed.About != Wide {
		t.Errorf("about %q, %q and %q", d.AtSpeed.About, d.Mixed.About, d.MixedAtSpeed.About)
	}
	// Of the 64 turns of six differences, of which one is negative, 4 are as far.
	near(t, "permutation", d.Permutation.P, 4./64, 0)
	// Within workers there are 3·10·3·10·10·20 ways to deal.
	if !d.Permutation.Exact || d.Permutation.Ways != 64 || !d.Within.Exact || d.Within.Ways != 180000 || d.Within.P > 0.001 {
		t.Errorf("permutations %+v and %+v", d.Permutation, d.Within)
	}
	speed := compare(t, workers(), "", "").Measures[5]
	if !strings.Contains(speed.AtSpeed.Why, "adjusted for") || math.IsNaN(speed.Mixed.Value) {
		t.Errorf("head speed: %+v", speed.AtSpeed)
	}
}

// Whatever is found the other way round has the other sign and the same p.
func TestViewsTheOtherWayRound(t *testing.T) {
	there, back := compare(t, workers(), "base", "proto").Measures[0], compare(t, workers(), "proto", "base").Measures[0]
	for name, v := range map[string][2]View{
		"at equal speed":       {there.AtSpeed.View, back.AtSpeed.View},
		"mixed":                {there.Mixed.View, back.Mixed.View},
		"mixed at equal speed": {there.MixedAtSpeed.View, back.MixedAtSpeed.View},
	} {
		near(t, name, v[0].Value, -v[1].Value, 1e-8)
		near(t, name+", low", v[0].Low, -v[1].High, 1e-6)
		near(t, name+", p", v[0].P, v[1].P, 1e-8)
	}
	near(t, "permutation", there.Permutation.P, back.Permutation.P, 0)
	near(t, "sameness", there.Equivalence.P, back.Equivalence.P, 1e-12)
	near(t, "smallest", there.Power.Smallest, back.Power.Smallest, 1e-9)
	near(t, "faster", there.AtSpeed.Faster, -back.AtSpeed.Faster, 1e-12)
}

// Of three against three runs the smallest p is 2/20. With n runs the chance to
// find 4 is, in R, pt(4/(2*sqrt(2/n)), 4, ncp = qt(.975, 2*(n-1))), which passes
// 0.8 at n = 8, and for 3 at 12. (With a spread that is known, power.t.test has
// 5.09 and 8.06.)
func TestViewsOfOnePlayer(t *testing.T) {
	a := analysis("p base 28", "p base 30", "p base 32", "p proto 31", "p proto 33", "p proto 35", "p base 30")
	a.Results = a.Results[:6]
	c, err := CompareWith(t.Context(), a, Choices{Margins: map[string]float64{"lead_mm": 4}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	d := c.Measures[0]
	if d.Permutation.Why == "" || !math.IsNaN(d.Permutation.P) {
		t.Errorf("three and three runs: %+v", d.Permutation)
	}
	if d.Mixed.Why == "" || !math.IsNaN(d.Mixed.Value) || d.AtSpeed.Why == "" {
		t.Errorf("mixed %+v, at equal speed %+v", d.Mixed, d.AtSpeed)
	}
	if p := d.Power; p.Runs != 8 || p.RunsMore != 5 || p.Players != 0 || p.Sought != 4 {
		t.Errorf("power %+v, want 8 runs, 5 more", p)
	} else if runs, players := p.Now(); runs != 3 || players != 1 || !math.IsNaN(p.WithPlayers(5)) || !math.IsNaN(p.WithRuns(1)) ||
		!(p.WithRuns(8) <= p.Sought && p.WithRuns(7) > p.Sought) {
		t.Errorf("%d runs of %d players now; 7 runs find %v, 8 find %v", runs, players, p.WithRuns(7), p.WithRuns(8))
	} else {
		near(t, "smallest with runs as now", p.WithRuns(runs), p.Smallest, 1e-9)
	}
	c, _ = CompareWith(t.Context(), a, Choices{Margins: map[string]float64{"lead_mm": 3}}, nil)
	if p := c.Measures[0].Power; p.Runs != 12 {
		t.Errorf("power %+v, want 12 runs", p)
	}
}

// In R, pt(1/(sd(d)/sqrt(n)), 9, ncp = qt(.975, n-1)) passes 0.8 at n = 17 for the
// differences d of Student's sleep data, and 10 find 1.33685004. (Of a spread that
// is known, power.t.test(delta = 1, sd = sd(d), power = 0.8, type = "paired") has
// 13.92 and 1.22507784.)
func TestPowerOfManyPlayers(t *testing.T) {
	drug1 := []float64{.7, -1.6, -.2, -1.2, -.1, 3.4, 3.7, .8, 0, 2.0}
	drug2 := []float64{1.9, .8, 1.1, .1, -.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	var runs []string
	for i := range drug1 {
		for _, e := range []float64{-.3, .3} {
			runs = append(runs, fmt.Sprintf("p%d base %v", i, drug1[i]+e), fmt.Sprintf("p%d proto %v", i, drug2[i]+e))
		}
	}
	c, err := CompareWith(t.Context(), analysis(runs...), Choices{Margins: map[string]float64{"lead_mm": 1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := c.Measures[0].Power
	near(t, "smallest", p.Smallest, 1.336850036, 1e-7)
	near(t, "smallest with players as now", p.WithPlayers(10), p.Smallest, 1e-9)
	near(t, "smallest with runs as now", p.WithRuns(2), p.Smallest, 1e-9)
	if !(p.WithPlayers(17) <= 1 && p.WithPlayers(16) > 1 && p.WithRuns(1000) > 1) {
		t.Errorf("16 players find %v, 17 find %v, 1000 runs %v", p.WithPlayers(16), p.WithPlayers(17), p.WithRuns(1000))
	}
	// More runs leave the players' own taste, which is most of the spread.
	if p.Players != 17 || p.PlayersMore != 7 || p.Runs != 0 || p.RunsMore != 0 {
		t.Errorf("power %+v, want 17 players, and no number of runs", p)
	}
	d := c.Measures[0]
	near(t, "permutation", d.Permutation.P, 4./1024, 0)
	near(t, "SD of runs", d.Spread.Runs, math.Sqrt(2*.09), 1e-9)
}

func TestMargins(t *testing.T) {
	a := analysis("p base 28", "p base 30", "p base 32", "p proto 28.5", "p proto 30.5", "p proto 32.5")
	a.Study.Choices.Margins = map[string]float64{"lead_mm": 9, "droop_mm": 2}
	c, err := CompareWith(t.Context(), a, Choices{Margins: map[string]float64{"lead_mm": 12}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []Margin{{12, "chosen"}, {2, "study file"}, {0.5, CommonPractice}} {
		if got := c.Measures[i].Equivalence.Margin; got != want {
			t.Errorf("%s: %+v, want %+v", c.Measures[i].Measure.Key, got, want)
		}
	}
	if s := c.Measures[0].Sameness(); !strings.HasPrefix(s, "Lead is the same within ±12 mm (p = 0.00") {
		t.Error(s)
	}
	if s := c.Measures[1].Sameness(); !strings.HasPrefix(s, "Whether droop is the same within ±2 mm cannot be said: ") {
		t.Error(s)
	}
	c = compare(t, a, "", "")
	if e := c.Measures[0].Equivalence; e.Margin != (Margin{9, "study file"}) {
		t.Errorf("%+v", e)
	}
	for _, m := range append(append([]Measure{}, Measures...), Peaks...) {
		if usualMargins[m.Key] <= 0 {
			t.Errorf("%s has no usual margin", m.Key)
		}
	}
	for name, bad := range map[string]map[string]float64{
		`no measure "led_mm"`: {"led_mm": 1}, "must be positive": {"lead_mm": 0}, "lead_mm is NaN": {"lead_mm": math.NaN()},
	} {
		if _, err := CompareWith(t.Context(), a, Choices{Margins: bad}, nil); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%v: error %v, want %q", bad, err, name)
		}
	}
}

// Margins are kept by Open and Save, and a wrong one is refused.
func TestMarginsInTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "study.json")
	write := func(margins string) {
		text := `{"format":"bendline-study","version":1,"title":"m","clubs":[],"players":[],"runs":[],"margins":` + margins + `,"later":{"a":1}}`
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(`{"lead_mm":2.5}`)
	s, err := Open(path)
	if err != nil || s.Choices.Margins["lead_mm"] != 2.5 {
		t.Fatalf("%v, %v", s, err)
	}
	s.Choices.Margins["twist_deg"] = 0.25
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Margins map[string]float64
		Later   map[string]int
	}
	if err := json.Unmarshal(b, &got); err != nil || len(got.Margins) != 2 || got.Margins["twist_deg"] != 0.25 || got.Later["a"] != 1 {
		t.Errorf("%+v, %v", got, err)
	}
	write(`{"led_mm":2}`)
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), `there is no measure "led_mm"; the measures are lead_mm, `) {
		t.Errorf("error %v", err)
	}
}

func TestFlaggedRunsAreInOrOutByChoice(t *testing.T) {
	a := analysis("p base 30", "p base 31", "p base 99", "p proto 28", "p proto 29", "p proto2 9")
	a.Results[2].Flags = []capture.Flag{{Code: capture.Gap}, {Code: capture.PoorFit}}
	a.Results[5].Flags = []capture.Flag{{Code: capture.OutOfSpec}}
	c := compare(t, a, "", "")
	if len(c.BaselineRuns) != 3 || fmt.Sprint(c.Flagged) != "[{r3 [poor_fit] true}]" {
		t.Errorf("as they come: %d runs, flagged %v", len(c.BaselineRuns), c.Flagged)
	}
	c, err := CompareWith(t.Context(), a, Choices{LeaveOut: []capture.Code{capture.PoorFit}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.BaselineRuns) != 2 || fmt.Sprint(c.Flagged) != "[{r3 [poor_fit] false}]" || c.LeftOut[0] != (LeftOut{"r3", "flagged poor_fit, and such runs are left out by choice"}) {
		t.Errorf("left out: %d runs, flagged %v, %v", len(c.BaselineRuns), c.Flagged, c.LeftOut)
	}
	var b bytes.Buffer
	if err := WriteComparison(t.Context(), &b, c); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"leave_out_flagged": [`, `"in": false`} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the file does not have %s", want)
		}
	}
}

// An outlier is named and stays in.
func TestOutliersAreShown(t *testing.T) {
	a := analysis("p base 30", "p base 31", "p base 32", "p base 30.5", "p base 31.5", "p base 60", "p proto 30", "p proto 33")
	d := compare(t, a, "", "").Measures[0]
	if fmt.Sprint(d.Outliers) != "[r6]" || d.Baseline.Runs != 6 {
		t.Errorf("outliers %v of %d runs", d.Outliers, d.Baseline.Runs)
	}
}

// Runs with a standard deviation of 5 mm, of which u95 = 1.96·3 mm is
// measurement, leave the player 4.
func TestSpreadIsSplit(t *testing.T) {
	root := 5 / math.Sqrt2
	a := analysis(fmt.Sprint("p base ", 30-root), fmt.Sprint("p base ", 30+root), fmt.Sprint("p proto ", 40-root), fmt.Sprint("p proto ", 40+root))
	for _, r := range a.Results {
		r.Swing.AtImpact.Lead.U95 = 1.96 * 3e-3
	}
	s := compare(t, a, "", "").Measures[0].Spread
	near(t, "runs", s.Runs, 5, 1e-9)
	near(t, "measurement", s.Measurement, 3, 1e-9)
	near(t, "player", s.Player, 4, 1e-9)
	near(t, "share", s.Share(), 0.36, 1e-9)
	want := "Of the run-to-run standard deviation of 5.00 mm in lead, measurement explains 3.00 mm (36 % of the variance) and the player 4.00 mm."
	if got := s.Sentence(Measures[0]); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	small := Spread{1, 2, 0}
	if small.Share() != 1 || !strings.Contains(small.Sentence(Measures[0]), "no more than the measurement's 2.00 mm") {
		t.Errorf("%v: %s", small.Share(), small.Sentence(Measures[0]))
	}
	nan := math.NaN()
	if got := (Spread{nan, 2, nan}).Sentence(Measures[0]); !strings.Contains(got, "not known") {
		t.Error(got)
	}
}

// Holm over the measures that have a p: with lead alone, p itself.
func TestHolmOverMeasures(t *testing.T) {
	d := compare(t, workers(), "", "").Measures
	lead, speed := d[0], d[5]
	near(t, "the smaller", math.Min(lead.Holm, speed.Holm), math.Min(1, 2*math.Min(lead.P, speed.P)), 1e-15)
	if !math.IsNaN(d[1].Holm) {
		t.Errorf("droop, which is not known, has %v", d[1].Holm)
	}
}

// Ten players with ten runs of each club.
func BenchmarkCompare(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	var rows []string
	for p := range 10 {
		for i := range 20 {
			rows = append(rows, fmt.Sprintf("p%d %s %v", p, []string{"base", "proto"}[i%2], 30+5*float64(p)+3*rng.NormFloat64()))
		}
	}
	a := analysis(rows...)
	for _, r := range a.Results {
		at := &r.Swing.AtImpact
		for _, e := range []*kinematics.Estimate{&at.Droop, &at.Twist, &at.LeadAngle, &at.DroopAngle, &at.HeadSpeed, &at.KickSpeed} {
			*e = kinematics.Estimate{Value: 1 + 0.1*rng.NormFloat64(), U95: 0.02}
		}
	}
	for b.Loop() {
		if _, err := Compare(a, "", ""); err != nil {
			b.Fatal(err)
		}
	}
}
