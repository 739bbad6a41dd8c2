package study

import (
	"math"
	"strings"
	"testing"

	"bendline/kinematics/contrast"
)

// sharing gives every run of a club the standard uncertainty, mm, of lead that
// the club's runs share.
func sharing(a *Analysis, club string, mm float64) {
	for _, r := range a.Results {
		if r.Run.Club == club {
			r.Swing.Systematic.Lead.U95 = 1.96 * mm / 1e3
		}
	}
}

// What the runs of each club share counts in every interval of one player, once,
// and more runs do not make it smaller.
func TestWhatRunsShareOfOnePlayer(t *testing.T) {
	runs := []string{"p base 30", "p base 31", "p base 32", "p base 33", "p proto 33", "p proto 34", "p proto 35", "p proto 36"}
	a := analysis(runs...)
	own := compare(t, a, "", "").Measures[0]
	sharing(a, "base", 0.6)
	sharing(a, "proto", 0.8)
	d := compare(t, a, "", "").Measures[0]
	near(t, "shared", d.Shared, 1, 1e-9)
	half := math.Hypot((own.High-own.Low)/2, 1.959964)
	near(t, "low", d.Low, 3-half, 1e-6)
	near(t, "high", d.High, 3+half, 1e-6)
	near(t, "the player's own", d.ByPlayer[0].High, d.High, 1e-12)
	if d.Alone != (Alone{own.Low, own.High, own.P}) || d.T != own.T || d.DF != own.DF {
		t.Errorf("of the runs alone %+v, want %+v", d, own)
	}
	if !(d.P > own.P && d.Equivalence.P != own.Equivalence.P) || d.Equivalence.Alone != own.Equivalence.P {
		t.Errorf("p %v against %v, sameness %+v against %+v", d.P, own.P, d.Equivalence, own.Equivalence)
	}
	// Of what is shared alone 2.8 times as much is found.
	if reach := contrast.SharedReach(1, 0.95, 0.8); !(d.Power.Smallest > reach && d.Power.WithRuns(100) > reach && d.Power.WithRuns(100) < d.Power.Smallest) || d.Power.Runs < own.Power.Runs {
		t.Errorf("power %+v, before %+v", d.Power, own.Power)
	}
	sharing(a, "proto", 3)
	c := compare(t, a, "", "")
	if p := c.Measures[0].Power; p.Runs != 0 || p.RunsMore != 0 || !(p.WithRuns(1000) > 4) {
		t.Errorf("no number of runs is enough, but %+v", p)
	}
	if words := c.SharedWords(); !strings.Contains(words, "lead ±6.00 mm") || !strings.Contains(strings.Join(c.ChoiceWords(), " "), words) {
		t.Error(words)
	}
	if words := compare(t, analysis("p base 30", "p proto 34"), "", "").SharedWords(); words != "" {
		t.Errorf("without an interval: %q", words)
	}
}

// Players share the errors of the clubs they swing: of two who swing the same
// clubs all of it stays, of a left-hander's own clubs each has half a say.
func TestWhatRunsShareOfPlayers(t *testing.T) {
	same := analysis("p base 30", "p base 31", "p proto 34", "p proto 35", "q base 28", "q base 29", "q proto 33", "q proto 32")
	sharing(same, "base", 0.6)
	sharing(same, "proto", 0.8)
	near(t, "the same clubs", compare(t, same, "", "").Measures[0].Shared, 1, 1e-9)
	apart := analysis("p base 30", "p base 31", "p proto 34", "p proto 35", "q baseL 28", "q baseL 29", "q protoL 33", "q protoL 32")
	for _, club := range []string{"base", "baseL"} {
		sharing(apart, club, 0.6)
	}
	for _, club := range []string{"proto", "protoL"} {
		sharing(apart, club, 0.8)
	}
	d := compare(t, apart, "", "").Measures[0]
	near(t, "clubs of their own", d.Shared, math.Sqrt(0.5), 1e-9)
	near(t, "of one player", d.ByPlayer[1].High-d.ByPlayer[1].Alone.High, math.Hypot((d.ByPlayer[1].Alone.High-d.ByPlayer[1].Alone.Low)/2, 1.959964)-(d.ByPlayer[1].Alone.High-d.ByPlayer[1].Alone.Low)/2, 1e-6)
	if d.Mixed.Low >= d.Mixed.Alone.Low || d.Mixed.P <= d.Mixed.Alone.P {
		t.Errorf("mixed model %+v", d.Mixed)
	}
}

// A bay's difference counts it too, and says so where that is all that is left in
// doubt.
func TestWhatSwingsShare(t *testing.T) {
	st, lead := &Study{}, Measures[0]
	a, b := shaftOf("a", 20, 20.1, 19.9, 20), shaftOf("b", 21.5, 21.6, 21.4, 21.5)
	if s := Stand(st, []Shaft{a, b}, a, b, lead); s.Telling != Apart {
		t.Fatalf("%+v", s)
	}
	for _, shaft := range []Shaft{a, b} {
		for _, r := range shaft.Runs {
			r.Swing.Systematic.Lead.U95 = 1.96 * 1.1e-3
		}
	}
	s := Stand(st, []Shaft{a, b}, a, b, lead)
	if want := "larger than their own spread, but not than the doubt that the shafts' reference recordings leave"; s.Telling != InDoubt || !strings.Contains(s.Words("A", "B"), want) {
		t.Errorf("verdict %d, %q", s.Telling, s.Words("A", "B"))
	}
}
