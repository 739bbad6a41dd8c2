package app

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"bendline/app/study"
	"bendline/capture"
	"bendline/kinematics"
)

// large returns a made-up study of 12 players and 6 clubs with long names, three
// runs each but for a few that lack, with its results.
func large() (*study.Study, []*study.Result) {
	rng := rand.New(rand.NewPCG(5, 6))
	st := &study.Study{Title: "Softer tip section against the current model, second session of the spring series with the reworked grip cluster (simulated)"}
	for i := range 6 {
		c := study.Club{ID: fmt.Sprint("club", i), Label: fmt.Sprintf("Prototype %c with the long working name of a shaft from the pilot line, batch 2024-07%d (simulated)", 'A'+i-1, 10+i), Role: study.Prototype}
		if i == 0 {
			c.Label, c.Role = "Baseline as sold, long name of the reference shaft kept in the cabinet (simulated)", study.Baseline
		}
		st.Clubs = append(st.Clubs, c)
	}
	var results []*study.Result
	for p := range 12 {
		st.Players = append(st.Players, study.Player{ID: fmt.Sprint("p", p+1), Label: fmt.Sprintf("Player number %d of the second group, left out of the first (simulated)", p+1)})
		own := 6 * rng.NormFloat64()
		for c := range 6 {
			for k := range 3 {
				if rng.IntN(15) == 0 {
					continue // unequal numbers
				}
				run := study.Run{ID: fmt.Sprintf("2024-07-11-session-2-p%d-club%d-%d", p+1, c, k+1), Club: st.Clubs[c].ID, Player: st.Players[p].ID}
				r := &study.Result{Run: run, Capture: study.Capture{Frames: 100, Rate: 100, Markers: 19}, Swing: plainSwing(0, 0.3, 0.8)}
				r.Swing.PeakLag.Time = 0.5 + 0.02*rng.NormFloat64()
				at := &r.Swing.AtImpact
				value := func(v, sd float64) kinematics.Estimate {
					return kinematics.Estimate{Value: v + sd*rng.NormFloat64(), U95: 0.5 * sd}
				}
				lead := 0.028 + 1e-3*own + 2e-3*float64(c)
				at.Lead, at.Droop, at.Twist = value(lead, 3e-3), value(0.03, 2e-3), value(0.02, 0.003)
				at.LeadAngle, at.DroopAngle = value(0.05, 0.005), value(0.06, 0.005)
				at.HeadSpeed, at.KickSpeed = value(45, 0.6), value(2, 0.2)
				for i := range r.Swing.Lead.Value {
					t := r.Swing.Time(i) - 0.8
					r.Swing.Lead.Value[i] = lead*math.Exp(-t*t/0.002) - 0.06*math.Exp(-(t+0.2)*(t+0.2)/0.02) + 1e-3*rng.NormFloat64()
					r.Swing.Droop.Value[i] = 0.03*math.Exp(-t*t/0.002) - 0.04*math.Exp(-(t+0.2)*(t+0.2)/0.02) + 1e-3*rng.NormFloat64()
				}
				b := &r.Swing.Bend
				for i := range 30 {
					x := 1.13 * float64(i) / 29
					b.Station = append(b.Station, x)
					b.LeadCurvature.Value = append(b.LeadCurvature.Value, 0.06*x*(1+0.05*float64(c)*x)+0.002*rng.NormFloat64())
					b.DroopCurvature.Value = append(b.DroopCurvature.Value, 0.1*x+0.002*rng.NormFloat64())
				}
				if c == 1 && k == 0 {
					r.Flags = []capture.Flag{{Code: capture.OutOfSpec, Detail: "torque 5.1 deg"}}
				}
				st.Runs, results = append(st.Runs, run), append(results, r)
			}
		}
	}
	return st, results
}

// withLarge opens the large study with its results.
func withLarge(t *testing.T) *world {
	x := newWorld(t)
	st, results := large()
	st.Path = filepath.Join(x.dir, "study.json")
	x.store.Do(Opened{st})
	x.store.Do(Analysed{results})
	x.store.Do(ShowScreen{CompareScreen})
	return x
}

// TestLargeComparisonFits keeps every page of the Compare screen within 1280 × 720
// with 12 players, 6 clubs and long names, and walks over clubs and axes.
func TestLargeComparisonFits(t *testing.T) {
	x := withLarge(t)
	fits := func(what string) {
		t.Helper()
		if m := x.win.Content().MinSize(); m.Width > 1280 || m.Height > 690 { // the menu bar has the rest
			t.Errorf("%s needs %v", what, m)
		}
	}
	for i, name := range comparePages {
		x.store.Do(ShowComparePage{i})
		fits(name)
	}
	x.store.Do(ShowComparePage{curvesPageIndex})
	for i, axis := range study.Axes {
		x.store.Do(TurnAxis{i})
		fits(string(axis))
		if len(x.state().curves().Along[axis]) == 0 || x.compare.curveWords.Text == "" || x.compare.numbers.Text() == "\n" {
			t.Errorf("over %s there are no curves: %q", axis, x.compare.curveWords.Text)
		}
	}
	x.change(CompareClubs{"", "club5"})
	if c := x.state().Comparison; c == nil || c.Prototype != "club5" {
		t.Fatalf("compared is %+v", c)
	}
	for _, club := range []string{"club1", "club2", "club3"} {
		x.change(InLot{club, true})
	}
	x.store.Do(ShowComparePage{4})
	fits("a lot")
	if l := x.state().Lot; l == nil || len(l.Clubs) != 3 || l.Measures[0].Units != 3 || l.Measures[0].Blocks != 12 {
		t.Errorf("the lot is %+v", l)
	}
}

// TestLoadingOfAPlayer turns from all players to one, and copies every player.
func TestLoadingOfAPlayer(t *testing.T) {
	x := withLarge(t)
	x.store.Do(ShowComparePage{2})
	p := x.compare.loadingPage
	whole := p.loading.Text()
	if p.whose.Selected != allPlayers || len(p.whose.Options) != 13 || strings.Count(whole, "\n") != 10 || !strings.Contains(whole, "Loft added at impact (lead angle), deg") {
		t.Fatalf("at first %q of %d: %s", p.whose.Selected, len(p.whose.Options), whole)
	}
	p.whose.SetSelectedIndex(3)
	if x.state().Loader != "p3" || p.loading.Text() == whole || !strings.HasPrefix(p.whose.Selected, "Player number 3 ") {
		t.Errorf("chosen is %q, shown %q", x.state().Loader, p.whose.Selected)
	}
	if n := strings.Count(p.everyone.Text(), "\n"); n != 1+13*9 {
		t.Errorf("%d lines to copy of every player", n)
	}
}

// TestNumbersWords says how many runs there are, and what unequal numbers do.
func TestNumbersWords(t *testing.T) {
	player := func(b, p int) study.PlayerDifference {
		return study.PlayerDifference{Baseline: study.Summary{Runs: b}, Prototype: study.Summary{Runs: p}}
	}
	for _, c := range []struct {
		design study.Design
		of     []study.PlayerDifference
		want   string
	}{
		{study.ManyPlayer, []study.PlayerDifference{player(4, 4), player(4, 4)}, "4 runs of a player with the baseline, 4 runs with the prototype."},
		{study.OnePlayer, []study.PlayerDifference{player(5, 1)}, "Unequal numbers: 5 runs of a player with the baseline, 1 run with the prototype; Welch's t allows for it."},
		{study.ManyPlayer, []study.PlayerDifference{player(2, 4), player(4, 4)},
			"Unequal numbers: 2 to 4 runs of a player with the baseline, 4 runs with the prototype; every player counts alike in the difference, the mixed model weighs them by what they are worth."},
	} {
		if got := numbersWords(&study.Comparison{Design: c.design}, study.Difference{ByPlayer: c.of}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
