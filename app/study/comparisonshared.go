package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
)

// Alone is what the runs alone say of a difference, by the test's own formula:
// without the errors that all runs of a club share.
type Alone struct{ Low, High, P float64 }

// The errors of a club's reference recording and of its table of stiffness are
// the same in all of the club's runs. Their spread does not show them, and more
// runs do not make them smaller, so that every interval and p of a difference
// counts them besides (contrast.Test.Sharing).

// shared returns the standard uncertainty of a measure, shown units, that a
// swing shares with the others of its club: 0 where none is known, as for speeds
// and times, which those errors hardly touch.
func shared(m Measure, s *kinematics.Swing) float64 {
	var e kinematics.Estimate
	switch m.Key {
	case "peak_lag_mm": // read at the same places of the same club
		e = s.Systematic.Lead
	case "peak_toe_up_mm":
		e = s.Systematic.Droop
	default:
		if m.Series != nil {
			e = m.AtImpact(&kinematics.Swing{AtImpact: s.Systematic})
		}
	}
	if !(e.U95 > 0) {
		return 0
	}
	return e.U95 / coverage * m.Scale
}

const coverage = 1.96 // of a u95 (JCGM 100:2008, G.3)

// sharedBy returns the standard uncertainty that the clubs' runs share, in the
// difference of the means over players, shown units. Each club's counts as much
// as its runs do in the mean of its side.
func (c *Comparison) sharedBy(m Measure, players ...string) float64 {
	variance := 0.0
	for _, side := range [][]*Result{c.BaselineRuns, c.PrototypeRuns} {
		clubs := map[string]float64{}
		for _, p := range players {
			own := slices.DeleteFunc(slices.Clone(side), func(r *Result) bool { return r.Run.Player != p })
			for _, r := range own {
				clubs[r.Run.Club] += shared(m, r.Swing) / float64(len(own)*len(players))
			}
		}
		for _, u := range clubs {
			variance += u * u
		}
	}
	return math.Sqrt(variance)
}

// SharedU95 returns how far, at 95 %, what all runs of a club share leaves the
// difference in doubt, shown units; 0 where that is not known.
func (d Difference) SharedU95() float64 { return coverage * d.Shared }

// alone returns what the values of a test say by themselves.
func alone(t contrast.Test) Alone { return Alone{t.Low, t.High, t.P} }

// SharedWords says how far the errors that all runs of a club share leave the
// differences in doubt, "" where none are known or no difference has an interval.
func (c *Comparison) SharedWords() string {
	var by []string
	for _, d := range c.Measures {
		if d.Shared > 0 && !math.IsNaN(d.Low) {
			by = append(by, fmt.Sprintf("%s ±%.*f %s", strings.ToLower(d.Measure.Label), d.Measure.Digits+1, d.SharedU95(), d.Measure.Unit))
		}
	}
	if by == nil {
		return ""
	}
	return fmt.Sprintf("Intervals count the errors that all runs of a club share (its reference recording, its stiffness), which more runs do not make smaller: %s. Curves and permutations do not count them.", strings.Join(by, ", "))
}
