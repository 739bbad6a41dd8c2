package study

import (
	"math"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
)

// A Shaft is what one player did with one club.
type Shaft struct {
	Club string
	Runs []*Result // that count, in the order of the study
	Out  int       // swings that do not: left out, failed, or without impact
}

// Shafts returns what a player did with each club of the study, in the order of
// the clubs; a club the player did not swing has no runs.
func Shafts(a *Analysis, player string) []Shaft {
	shafts := make([]Shaft, len(a.Study.Clubs))
	at := make(map[string]*Shaft, len(shafts))
	for i, c := range a.Study.Clubs {
		shafts[i].Club = c.ID
		at[c.ID] = &shafts[i]
	}
	for _, r := range a.Results {
		if r == nil || r.Run.Player != player || at[r.Run.Club] == nil {
			continue
		}
		s := at[r.Run.Club]
		if unfit(r, nil) != "" {
			s.Out++
			continue
		}
		s.Runs = append(s.Runs, r)
	}
	return shafts
}

// values returns a measure at impact of every run that has it, shown units.
func (s Shaft) values(m Measure) []float64 {
	var all []float64
	for _, r := range s.Runs {
		if v := m.AtImpact(r.Swing).Value * m.Scale; !math.IsNaN(v) {
			all = append(all, v)
		}
	}
	return all
}

// shared returns the standard uncertainty of a measure's mean that all swings
// with the club share, shown units.
func (s Shaft) shared(m Measure) float64 {
	u := 0.0
	for _, r := range s.Runs {
		u += shared(m, r.Swing) / float64(len(s.Runs))
	}
	return u
}

// Summary returns the mean and the standard deviation from swing to swing of a
// measure, shown units. Swings without it do not count.
func (s Shaft) Summary(m Measure) Summary {
	c := contrast.Summarize(s.values(m))
	return Summary{Runs: c.N, Players: min(c.N, 1), Mean: c.Mean, SD: c.SD}
}

// Release are measures of how a player loads and releases a shaft: Peaks, and
// with them when the lag has gone and where along the shaft the lag is bent in.
var Release = append(append([]Measure(nil), Peaks...),
	Measure{"lead_turn_ms", "Straight again before impact", "ms", 1e3, 0, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(s.Impact.Value - whenRising(s, s.Lead)) }, nil},
	Measure{"bend_station_mm", "Bent most at peak lag, from the butt", "mm", 1e3, 0, Range{},
		func(s *kinematics.Swing) kinematics.Estimate { return only(whereBent(s)) }, nil})

// whereBent returns the station at which the shaft is bent back most when the
// lag is greatest, m; NaN where that is not known.
func whereBent(s *kinematics.Swing) float64 {
	if math.IsNaN(s.PeakLag.Time) || s.Frames() == 0 {
		return math.NaN()
	}
	at, least := math.NaN(), 0.0
	p := s.ProfileAt(s.FrameAt(s.PeakLag.Time))
	for i, c := range p.LeadCurvature.Value {
		if c < least {
			at, least = p.Station[i], c
		}
	}
	return at
}
