package report

import (
	"flag"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"bendline/app/study"
	"bendline/kinematics"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The words of a small deck, slide after slide.
func TestGoldenWords(t *testing.T) {
	var b strings.Builder
	for _, s := range deckOf(t, small).Slides {
		b.WriteString("== " + s.Title + "\n" + strings.Join(slideText(s), "\n") + "\n")
	}
	const path = "testdata/small.txt"
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	got, golden := strings.Split(b.String(), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(golden)) {
		if i >= len(got) || i >= len(golden) || got[i] != golden[i] {
			t.Fatalf("line %d of %s differs (go test -update writes it anew):\ngot  %q\nwant %q", i+1, path, lineAt(got, i), lineAt(golden, i))
		}
	}
}

func lineAt(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(nothing)"
}

func TestAnswer(t *testing.T) {
	lead := study.Measures[0]
	three := study.Summary{Runs: 9, Players: 3, Mean: 30, SD: 2}
	lagging := study.Summary{Runs: 9, Players: 3, Mean: -12, SD: 2}
	one := study.Summary{Runs: 5, Players: 1, Mean: 30, SD: 2}
	nan := math.NaN()
	for _, c := range []struct {
		d    study.Difference
		want string
	}{
		{study.Difference{Baseline: three, Prototype: three, Value: 4.2, Low: 1.1, High: 7.3},
			"New leads 4.2 mm more at impact than Old (95 % interval 1.1 to 7.3 mm; 3 players)."},
		{study.Difference{Baseline: three, Prototype: three, Value: -4.2, Low: -7.3, High: -1.1},
			"New leads 4.2 mm less at impact than Old (95 % interval 1.1 to 7.3 mm; 3 players)."},
		{study.Difference{Baseline: lagging, Prototype: lagging, Value: -4.2, Low: -7.3, High: -1.1},
			"New lags 4.2 mm more at impact than Old (95 % interval 1.1 to 7.3 mm; 3 players)."},
		{study.Difference{Baseline: one, Prototype: one, Value: 0.6, Low: -1.1, High: 2.3},
			"No difference in lead at impact is resolved between New and Old: +0.6 mm (95 % interval −1.1 to 2.3 mm; one player, 5 and 5 runs)."},
		{study.Difference{Baseline: one, Prototype: one, Value: 0.6, Low: nan, High: nan},
			"New differs from Old by +0.6 mm in lead at impact in these runs; they are too few for an interval (one player, 5 and 5 runs)."},
		{study.Difference{Baseline: one, Prototype: one, Value: nan, Low: nan, High: nan},
			"These runs do not give a difference in lead between New and Old."},
	} {
		c.d.Measure = lead
		s := &study.Study{Clubs: []study.Club{{ID: "a", Label: "Old"}, {ID: "b", Label: "New"}}}
		m := gathered(&study.Analysis{Study: s}, &study.Comparison{Baseline: "a", Prototype: "b", Measures: []study.Difference{c.d}}, Options{})
		if got := strings.ReplaceAll(m.answer(m.name), "\u00a0", " "); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// A first slide that has no difference in lead to tell does not hide that other
// measures differ, when their number is taken into account.
func TestAnswerNamesWhatDiffers(t *testing.T) {
	d := study.Difference{Measure: study.Measures[0], Value: 0.6, Low: -1.1, High: 2.3, Holm: 0.6}
	angle := study.Difference{Measure: study.Measures[4], Value: 0.8, Low: 0.5, High: 1.1, Holm: 0.01}
	droop := study.Difference{Measure: study.Measures[1], Value: 2, Low: 0.1, High: 3.9, Holm: 0.13}
	s := &study.Study{Clubs: []study.Club{{ID: "a", Label: "Old"}, {ID: "b", Label: "New"}}}
	m := gathered(&study.Analysis{Study: s}, &study.Comparison{Baseline: "a", Prototype: "b", Measures: []study.Difference{d, droop, angle}}, Options{})
	if got := m.answer(m.name); !strings.HasSuffix(got, "; droop angle differs.") {
		t.Error(got)
	}
}

// The samples after contact, here far off, must not be drawn.
func TestCurvesEndAtImpact(t *testing.T) {
	a, c := small.make()
	m := gathered(a, c, options)
	for _, me := range deflections() {
		p := m.curvePanel(me, true)
		if !(p.Y.Min > -100 && p.Y.Max < 100) {
			t.Errorf("%s reaches from %v to %v", me.Key, p.Y.Min, p.Y.Max)
		}
	}
}

// Every player has the same say, however many runs.
func TestMeanIsOverPlayers(t *testing.T) {
	g := group{}
	value := map[*study.Result]float64{}
	for _, r := range []struct {
		player string
		v      float64
	}{{"a", 1}, {"a", 2}, {"a", 3}, {"b", 10}} {
		res := &study.Result{Run: study.Run{Player: r.player}}
		value[res] = r.v
		g.runs = append(g.runs, res)
	}
	read := func(r *study.Result) []float64 { return []float64{value[r]} }
	mean, sd := g.mean(1, read)
	if mean[0] != 6 || math.Abs(sd[0]-8/math.Sqrt2) > 1e-12 {
		t.Errorf("mean %v, sd %v; want 6, %v", mean[0], sd[0], 8/math.Sqrt2)
	}
	mean, sd = g.of("a").mean(1, read)
	if mean[0] != 2 || sd[0] != 1 {
		t.Errorf("one player: mean %v, sd %v; want 2, 1", mean[0], sd[0])
	}
}

func gathered(a *study.Analysis, c *study.Comparison, o Options) *material {
	m, err := gather(a, c, o)
	if err != nil {
		panic(err)
	}
	return m
}

func must(d *Deck, err error) *Deck {
	if err != nil {
		panic(err)
	}
	return d
}

// The cover lists players and clubs in the order of the study, whatever that of
// the runs.
func TestCoverFollowsTheStudy(t *testing.T) {
	a, _ := scenario{players: 3, clubs: 3, runs: 2}.make()
	slices.Reverse(a.Results)
	c, err := study.Compare(a, "club0", "club2")
	if err != nil {
		t.Fatal(err)
	}
	f := gathered(a, c, options).facts()
	if f[0] != [2]string{"3 players", "P1; P2; P3"} || f[1] != [2]string{"3 clubs", "Baseline; Prototype A; Prototype B"} {
		t.Errorf("the cover lists %q", f[:2])
	}
}

// Nothing, one club, only failed runs, a comparison without numbers: a deck
// comes of each.
func TestDecksOfLittle(t *testing.T) {
	empty := &study.Analysis{Study: &study.Study{Title: "Empty"}}
	for _, s := range must(New(empty, nil, Options{})).Slides {
		s.Draw(newProbe(t))
	}
	a, c := medium.make()
	for i := range c.Measures {
		d := &c.Measures[i]
		d.Value, d.Low, d.High, d.P, d.ByPlayer = math.NaN(), math.NaN(), math.NaN(), math.NaN(), nil
	}
	for _, r := range a.Results {
		if r.OK() {
			s := *r.Swing
			s.Impact = kinematics.Estimate{Value: math.NaN(), U95: math.NaN()}
			nan := kinematics.Estimate{Value: math.NaN(), U95: math.NaN()}
			s.AtImpact = kinematics.Readout{Lead: nan, Droop: nan, Twist: nan, LeadAngle: nan, DroopAngle: nan, HeadSpeed: nan, KickSpeed: nan}
			s.Bend = kinematics.Profile{}
			r.Swing = &s
		}
	}
	for _, s := range must(New(a, c, Options{})).Slides {
		s.Draw(newProbe(t))
	}
	for _, r := range a.Results {
		r.Err = os.ErrNotExist
	}
	for _, s := range must(New(a, nil, Options{})).Slides {
		s.Draw(newProbe(t))
	}
}

func TestLeftOutRunsAreListedAndUnused(t *testing.T) {
	a, _ := medium.make()
	for _, r := range a.Results {
		if r.Run.Player == "p3" && r.Run.Club == "club0" {
			r.Run.Excluded = "marker fell off"
		}
	}
	c, err := study.Compare(a, "", "")
	if err != nil {
		t.Fatal(err)
	}
	m := gathered(a, c, options)
	used := 0
	for _, g := range m.shown {
		for _, r := range g.runs {
			used++
			if r.Run.Player == "p3" || r.Run.Excluded != "" || r.Err != nil {
				t.Errorf("%s is used", r.Run.ID)
			}
		}
	}
	if used+len(m.omitted) != len(a.Results) {
		t.Errorf("%d runs used, %d not, of %d", used, len(m.omitted), len(a.Results))
	}
	slides := m.leftOut()
	if len(slides) != 1 {
		t.Fatalf("%d slides of runs not used", len(slides))
	}
	text := strings.Join(slideText(slides[0]), " ")
	for _, want := range []string{"its player has no good run with the other club", "marker fell off", "mishit, toe strike", "no impact found"} {
		if !strings.Contains(text, want) {
			t.Errorf("no slide gives the reason %q", want)
		}
	}
}
