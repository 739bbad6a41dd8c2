package study

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/capture"
	"bendline/kinematics/contrast"
)

// A Comparison tells whether a prototype differs from a baseline, in the units
// of the measures (shown units, not SI). Differences are prototype minus
// baseline.
type Comparison struct {
	Baseline, Prototype string // club ids: the first of each side
	Design              Design
	Measures            []Difference // at impact, one for each of Measures
	Peaks               []Difference // of loading and release, one for each of Peaks
	LeftOut             []LeftOut
	Choices             Choices
	Flagged             []Flagged // runs with a flag that can keep them out
	Lot                 *Lot      // nil where none was chosen

	// The runs compared, in the order of the study.
	BaselineRuns, PrototypeRuns []*Result

	study   *Study
	players []string // who made them
	kept    keptCurves
}

// Choices are what the user decides about a comparison. A study keeps some; what
// is not chosen for one comparison is as the study has it.
type Choices struct {
	Baseline, Prototype string             // club ids, "" if not chosen; see Compare
	Margins             map[string]float64 // of sameness by measure, shown units; a measure that is not there is not chosen
	LeaveOut            []capture.Code     // runs with one of these flags are left out; nil if not chosen
	Lot                 []string           // clubs of one design to judge as a lot; nil if not chosen, and empty for no lot
}

// or returns the choices with those of the study where there are none. Margins
// are left: whose they are is told.
func (c Choices) or(s *Study) Choices {
	of := s.Choices
	c.Baseline, c.Prototype = cmp.Or(c.Baseline, of.Baseline), cmp.Or(c.Prototype, of.Prototype)
	if c.LeaveOut == nil {
		c.LeaveOut = of.LeaveOut
	}
	if c.Lot == nil && len(of.Lot) > 1 { // of which one may still be on its way
		c.Lot = of.Lot
	}
	return c
}

// validate returns an error for a flag that leaves no runs out and for a margin
// that is none. Clubs are looked for when they are compared: a study may lose
// one.
func (c Choices) validate() error {
	for _, code := range c.LeaveOut {
		if !slices.Contains(Doubtful, code) {
			return fmt.Errorf("comparison: runs cannot be left out for %q; they can for %s", code, joined(Doubtful))
		}
	}
	return validateMargins(c.Margins)
}

// joined lists flag codes.
func joined(codes []capture.Code) string {
	words := make([]string, len(codes))
	for i, code := range codes {
		words[i] = string(code)
	}
	return strings.Join(words, ", ")
}

// Doubtful are the flags by which runs may be left out: as they come, such runs
// are in, and told of in Flagged.
var Doubtful = []capture.Code{capture.OutOfSpec, capture.WrongSide, capture.PoorFit}

// A Flagged is a run of either club with one of the Doubtful flags.
type Flagged struct {
	Run   string
	Codes []capture.Code
	In    bool // it is compared
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
	T, DF, P            float64 // T and DF are those of the runs
	Why                 string  // why there is no interval, "" where there is one
	Shared              float64 // standard uncertainty of Value that all runs of a club share; Low, High and P count it
	Alone               Alone
	ByPlayer            []PlayerDifference

	// Holm is P adjusted for the number of measures: those at impact are one
	// family, the peaks another. HolmAlone is that of Alone.P.
	Holm, HolmAlone float64
	Equivalence     Equivalence

	// Other looks at the difference. Permutation has the players as units (or
	// one player's runs); Within deals each player's runs anew, and so tells
	// about these players. AtSpeed is the analysis of covariance with head speed
	// and the player as block, which tells about these players too; Mixed and
	// MixedAtSpeed tell about players like these.
	Permutation, Within Permutation
	AtSpeed             AtSpeed
	Mixed               Mixed
	MixedAtSpeed        AtSpeed

	Power    Power
	Spread   Spread
	Outliers []string // runs apart from the player's others with the club; they are in
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
	Alone               Alone
}

// LeftOut names a run that is not in the comparison and why.
type LeftOut struct{ Run, Why string }

const elsewhere = "is on neither side"

// Elsewhere reports whether the run is left out only because its club is not
// compared.
func (l LeftOut) Elsewhere() bool { return strings.HasSuffix(l.Why, elsewhere) }

// level is that of every interval, and 1 − level the chance of a false
// difference along a curve.
const level = 0.95

// Compare compares two clubs over the runs of an analysis.
//
// An empty id stands for the club that the study keeps as chosen, else for the
// first club of the role, and with it the first one for the other hand: a
// left-handed player's baseline is the left-handed baseline. Any two clubs may be
// named, whatever their roles. Only players with runs of both sides count; all
// other runs are in LeftOut.
func Compare(a *Analysis, baseline, prototype string) (*Comparison, error) {
	return CompareWith(context.Background(), a, Choices{Baseline: baseline, Prototype: prototype}, nil)
}

// CompareWith is Compare with choices. A margin of a measure that is not there,
// or that is not positive, is an error. It takes a moment: p, which may be nil, is
// told of every measure, and a cancelled ctx ends it.
func CompareWith(ctx context.Context, a *Analysis, choices Choices, p Progress) (*Comparison, error) {
	if err := choices.validate(); err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	choices = choices.or(a.Study)
	sides, err := chooseSides(a.Study, choices.Baseline, choices.Prototype)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Baseline: sides.baseline[0], Prototype: sides.prototype[0], Design: OnePlayer, Choices: choices, study: a.Study}
	c.deal(a, sides)
	switch {
	case len(c.players) == 0:
		return nil, errors.New("study: no player has a good run with both clubs, so there is nothing to compare")
	case len(c.players) > 1:
		c.Design = ManyPlayer
	}
	if p == nil {
		p = func(int, int, string) {}
	}
	done := 0
	tell := func(m Measure) {
		done++
		p(done, len(Measures)+len(Peaks), m.Label)
	}
	if c.Measures, err = c.family(ctx, Measures, tell); err != nil {
		return nil, err
	}
	if c.Peaks, err = c.family(ctx, Peaks, tell); err != nil {
		return nil, err
	}
	if len(choices.Lot) > 0 {
		if c.Lot, err = NewLot(a, choices.Lot, choices.LeaveOut); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// family compares measures that are judged together.
func (c *Comparison) family(ctx context.Context, measures []Measure, tell func(Measure)) ([]Difference, error) {
	out := make([]Difference, len(measures))
	p, own := make([]float64, len(measures)), make([]float64, len(measures))
	for i, m := range measures {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("study: comparing: %w", err)
		}
		out[i] = c.difference(m)
		p[i], own[i] = out[i].P, out[i].Alone.P
		tell(m)
	}
	for i, v := range contrast.Holm(own) {
		out[i].HolmAlone = v
	}
	for i, v := range contrast.Holm(p) {
		out[i].Holm = v
	}
	return out, nil
}

// difference compares one measure.
func (c *Comparison) difference(m Measure) Difference {
	d := Difference{Measure: m}
	value := func(r *Result) float64 { return m.AtImpact(r.Swing).Value * m.Scale }
	var baseline, prototype []contrast.Summary // by player
	for _, p := range c.players {
		b, q := valuesOf(c.BaselineRuns, p, value), valuesOf(c.PrototypeRuns, p, value)
		sb, sq := contrast.Summarize(b), contrast.Summarize(q)
		// Whatever keeps this player's interval from being had shows as NaN.
		own, _ := contrast.Welch(b, q, level)
		t := own.Sharing(c.sharedBy(m, p), level)
		d.ByPlayer = append(d.ByPlayer, PlayerDifference{
			Player: p, Baseline: overRuns(sb), Prototype: overRuns(sq),
			Value: t.Difference, Low: t.Low, High: t.High, Alone: alone(own),
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
	d.Shared, d.Alone = c.sharedBy(m, c.players...), alone(t)
	own := t
	t = own.Sharing(d.Shared, level)
	d.Value, d.Low, d.High, d.T, d.DF, d.P = t.Difference, t.Low, t.High, t.T, t.DF, t.P
	if err != nil {
		d.Why = err.Error()
	}
	c.views(&d, own, t)
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
