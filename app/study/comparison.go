package study

import "errors"

// A Comparison tells whether a prototype differs from a baseline, in the units
// of the measures (shown units, not SI). Differences are prototype minus
// baseline.
type Comparison struct {
	Baseline, Prototype string // club ids
	Design              Design
	Measures            []Difference // one for each of Measures
	LeftOut             []LeftOut
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
	Low, High           float64 // 95 % interval
	T, DF, P            float64
	ByPlayer            []PlayerDifference
}

// A Summary is the mean and standard deviation over runs of one club: with
// several players, over the players' means.
type Summary struct {
	Runs, Players int
	Mean, SD      float64
}

// A PlayerDifference is one player's own means.
type PlayerDifference struct {
	Player              string
	Baseline, Prototype Summary
	Value, Low, High    float64 // Welch within the player
}

// LeftOut names a run that is not in the comparison and why.
type LeftOut struct{ Run, Why string }

// Compare compares two clubs over the runs of an analysis; empty ids mean the
// first club of each role.
func Compare(a *Analysis, baseline, prototype string) (*Comparison, error) {
	return nil, errors.New("study: not written yet")
}
