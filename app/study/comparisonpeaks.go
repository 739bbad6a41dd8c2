package study

import (
	"math"

	"bendline/kinematics"
)

// Peaks are where in the downswing a player loads and releases the shaft: each
// is one number a run, which AtImpact returns and which has no series. Times are
// before impact, so that a larger one is earlier. Their u95 is not known, but
// for the lag.
var Peaks = []Measure{
	{"peak_lag_mm", "Peak lag", "mm", 1e3, 1, Range{},
		func(s *kinematics.Swing) kinematics.Estimate {
			return kinematics.Estimate{Value: -s.PeakLag.Value, U95: s.PeakLag.U95}
		}, nil},
	{"peak_lag_ms", "Peak lag before impact", "ms", 1e3, 0, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(s.Impact.Value - s.PeakLag.Time) }, nil},
	{"peak_toe_up_mm", "Peak toe-up", "mm", 1e3, 1, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(-lowest(s, s.Droop)) }, nil},
	{"peak_toe_up_ms", "Peak toe-up before impact", "ms", 1e3, 0, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(s.Impact.Value - whenLowest(s, s.Droop)) }, nil},
	{"droop_turn_ms", "Toe-up turns toe-down before impact", "ms", 1e3, 0, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(s.Impact.Value - whenRising(s, s.Droop)) }, nil},
}

// only is a value whose uncertainty is not known.
func only(v float64) kinematics.Estimate { return kinematics.Estimate{Value: v, U95: math.NaN()} }

// whenLowest returns when a series is lowest between top and impact, s; NaN
// where it has no value.
func whenLowest(s *kinematics.Swing, of kinematics.Series) float64 {
	low := lowest(s, of)
	for i, v := range of.Value {
		if t := s.Time(i); v == low && t >= s.Top && t <= s.Impact.Value {
			return t
		}
	}
	return math.NaN()
}

// whenRising returns when a series last turns from negative to positive between
// top and impact, s, linear between frames; NaN where it does not.
func whenRising(s *kinematics.Swing, of kinematics.Series) float64 {
	for i := len(of.Value) - 1; i > 0; i-- {
		was, is := of.Value[i-1], of.Value[i]
		if s.Time(i-1) >= s.Top && s.Time(i) <= s.Impact.Value && was < 0 && is >= 0 {
			return s.Time(i) - is/(is-was)/s.Rate
		}
	}
	return math.NaN()
}

// A Loading is how one player loads and releases each club.
type Loading struct {
	Player string
	Rows   []LoadingRow
}

// A LoadingRow is one player's own means of one measure with both clubs.
type LoadingRow struct {
	Measure Measure
	Label   string // what the measure tells of the swing
	PlayerDifference
}

// Loading returns a table for each player: the peaks, then kick speed and what
// the bent shaft adds at impact to loft (lead angle), toe-down lie (droop angle)
// and closing (twist).
func (c *Comparison) Loading() []Loading {
	out := make([]Loading, len(c.players))
	for i, p := range c.players {
		out[i] = c.loading(p, func(d Difference) PlayerDifference { return d.ByPlayer[i] })
	}
	return out
}

// LoadingOfAll is the table of all players together, whose Player is "".
func (c *Comparison) LoadingOfAll() Loading {
	return c.loading("", func(d Difference) PlayerDifference {
		return PlayerDifference{Baseline: d.Baseline, Prototype: d.Prototype, Value: d.Value, Low: d.Low, High: d.High, Alone: d.Alone}
	})
}

// atRelease names what is told of the release at impact, by measure.
var atRelease = map[string]string{
	"kick_speed_m_s":  "Kick speed at impact",
	"lead_angle_deg":  "Loft added at impact (lead angle)",
	"droop_angle_deg": "Toe-down lie added at impact (droop angle)",
	"twist_deg":       "Closing at impact (twist)",
}

func (c *Comparison) loading(player string, of func(Difference) PlayerDifference) Loading {
	l := Loading{Player: player}
	for _, d := range c.Peaks {
		l.Rows = append(l.Rows, LoadingRow{d.Measure, d.Measure.Label, of(d)})
	}
	for _, d := range c.Measures {
		if label, ok := atRelease[d.Measure.Key]; ok {
			l.Rows = append(l.Rows, LoadingRow{d.Measure, label, of(d)})
		}
	}
	return l
}
