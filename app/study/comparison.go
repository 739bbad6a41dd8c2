package study

import (
	"errors"
	"math"

	"bendline/kinematics/contrast"
)

// A Comparison tells whether a prototype differs from a baseline, in the units
// of the measures (shown units, not SI). Differences are prototype minus
// baseline.
type Comparison struct {
	Baseline, Prototype string // club ids: the first of each side
	Design              Design
	Measures            []Difference // one for each of Measures
	LeftOut             []LeftOut

	// The runs compared, in the order of the study.
	BaselineRuns, PrototypeRuns []*Result

	players []string // who made them
}

// Design is how runs are grouped.
type Design string

// One player's runs are compared with Welch's t; several players each give one
// difference of means, and those are compared with a paired t, so that each
// player is a block.
const (
	OnePlayer  Design = "one_player"
	ManyPlayer Design = "players"
)

// A Difference is the comparison of one measure.
type Difference struct {
	Measure             Measure
	Baseline, Prototype Summary
	Value               float64 // NaN where it cannot be had
	Low, High           float64 // 95 % interval; with T, DF and P NaN where it cannot be had
	T, DF, P            float64
	Why                 string // why there is no interval, "" where there is one
	ByPlayer            []PlayerDifference
}

// A Summary is the mean and standard deviation over runs of one club: with
// several players, over the players' means.
type Summary struct {
	Runs, Players int
	Mean, SD      float64 // NaN where there are no values; SD also where there is one
}

// A PlayerDifference is one player's own means.
type PlayerDifference struct {
	Player              string
	Baseline, Prototype Summary
	Value, Low, High    float64 // Welch within the player; Low and High NaN with a single run of a club, or no spread
}

// LeftOut names a run that is not in the comparison and why.
type LeftOut struct{ Run, Why string }

// level is that of every interval, and 1 − level the chance of a false
// difference along a curve.
const level = 0.95

// Compare compares two clubs over the runs of an analysis.
//
// An empty id stands for the first club of the role, and with it the first one
// for the other hand: a left-handed player's baseline is the left-handed
// baseline. Any two clubs may be named, whatever their roles. Only players with
// runs of both sides count; all other runs are in LeftOut.
func Compare(a *Analysis, baseline, prototype string) (*Comparison, error) {
	sides, err := chooseSides(a.Study, baseline, prototype)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Baseline: sides.baseline[0], Prototype: sides.prototype[0], Design: OnePlayer}
	c.deal(a, sides)
	switch {
	case len(c.players) == 0:
		return nil, errors.New("study: no player has a good run with both clubs, so there is nothing to compare")
	case len(c.players) > 1:
		c.Design = ManyPlayer
	}
	for _, m := range Measures {
		c.Measures = append(c.Measures, c.difference(m))
	}
	return c, nil
}

// difference compares one measure at impact.
func (c *Comparison) difference(m Measure) Difference {
	d := Difference{Measure: m}
	value := func(r *Result) float64 { return m.AtImpact(r.Swing).Value * m.Scale }
	var baseline, prototype []contrast.Summary // by player
	for _, p := range c.players {
		b, q := valuesOf(c.BaselineRuns, p, value), valuesOf(c.PrototypeRuns, p, value)
		sb, sq := contrast.Summarize(b), contrast.Summarize(q)
		// Whatever keeps this player's interval from being had shows as NaN.
		t, _ := contrast.Welch(b, q, level)
		d.ByPlayer = append(d.ByPlayer, PlayerDifference{
			Player: p, Baseline: overRuns(sb), Prototype: overRuns(sq),
			Value: t.Difference, Low: t.Low, High: t.High,
		})
		if sb.N > 0 && sq.N > 0 {
			baseline, prototype = append(baseline, sb), append(prototype, sq)
		}
	}
	var t contrast.Test
	var err error
	if c.Design == OnePlayer {
		p := c.players[0]
		d.Baseline, d.Prototype = d.ByPlayer[0].Baseline, d.ByPlayer[0].Prototype
		t, err = contrast.Welch(valuesOf(c.BaselineRuns, p, value), valuesOf(c.PrototypeRuns, p, value), level)
	} else {
		d.Baseline, d.Prototype = overPlayers(baseline), overPlayers(prototype)
		t, err = contrast.Paired(means(baseline), means(prototype), level)
	}
	d.Value, d.Low, d.High, d.T, d.DF, d.P = t.Difference, t.Low, t.High, t.T, t.DF, t.P
	if err != nil {
		d.Why = err.Error()
	}
	return d
}

// valuesOf returns the values of the runs of one player.
func valuesOf(runs []*Result, player string, value func(*Result) float64) []float64 {
	var x []float64
	for _, r := range runs {
		if r.Run.Player == player {
			x = append(x, value(r))
		}
	}
	return x
}

func means(of []contrast.Summary) []float64 {
	x := make([]float64, len(of))
	for i, s := range of {
		x[i] = s.Mean
	}
	return x
}

// overRuns is the summary of one player's runs.
func overRuns(s contrast.Summary) Summary {
	return Summary{Runs: s.N, Players: min(s.N, 1), Mean: s.Mean, SD: s.SD}
}

// overPlayers is the summary of players' means.
func overPlayers(players []contrast.Summary) Summary {
	s := contrast.Summarize(means(players))
	all := Summary{Players: s.N, Mean: s.Mean, SD: s.SD}
	for _, p := range players {
		all.Runs += p.N
	}
	return all
}

// hasImpact reports whether the run has a value to compare.
func hasImpact(r *Result) bool { return r.OK() && !math.IsNaN(r.Swing.Impact.Value) }
