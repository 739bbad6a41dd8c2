package study

import (
	"fmt"
	"math"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// ForecastOptions say how a capture is to be made.
type ForecastOptions struct {
	NoiseMM float64 // standard deviation of a marker's coordinate in one frame
	RateHz  float64 // frames a second
}

// DefaultForecastOptions are those of an ordinary lab. Common practice, no
// source.
func DefaultForecastOptions() ForecastOptions { return ForecastOptions{NoiseMM: 0.2, RateHz: 2500} }

// A ClubForecast is what to expect of the captures of one club.
type ClubForecast struct {
	Club    string // id
	Options ForecastOptions
	Hung    bool             // its markers are where the reference recording shows them
	Why     error            // why they are taken to be at their usual places instead
	U95     []float64        // in the order and units of Measures
	Better  []MarkerForecast // of markers added or moved, the most helpful first
	Without []MarkerForecast // with one marker left out, the one most missed first
}

// A MarkerForecast is a change of the marker set and what to expect of it.
type MarkerForecast struct {
	What string // "add a shaft marker at 640 mm", or the name of the marker left out
	U95  []float64
}

// Forecast returns for each club of the study the u95 to expect of the measures
// at impact, and what markers added, moved or left out would change. No run is
// needed; a club that was not seen hanging yet has its markers at their usual
// places around their stated stations.
func Forecast(s *Study, o ForecastOptions) ([]ClubForecast, error) {
	l := newLab(s)
	defer l.close()
	setting := kinematics.Setting{Noise: o.NoiseMM / 1e3, Rate: o.RateHz}
	all := make([]ClubForecast, len(s.Clubs))
	for i := range s.Clubs {
		c := &s.Clubs[i]
		out := ClubForecast{Club: c.ID, Options: o, Hung: true}
		hanging := l.reference(c)
		ref := hanging.pose
		if hanging.err != nil {
			out.Hung, out.Why = false, hanging.err
			// A hundred frames and more show a marker's place to a tenth of its noise.
			ref = kinematics.NominalReference(indices(c.Markers), c.FitShaft(), c.Hand, setting.Noise/10)
		}
		f, err := kinematics.Plan(ref, setting)
		if err != nil {
			return nil, fmt.Errorf("study: club %q: %w", c.ID, err)
		}
		out.U95 = shownU95(f.Readout)
		for _, change := range f.Better {
			out.Better = append(out.Better, MarkerForecast{describeChange(change, c.Hand), shownU95(change.Readout)})
		}
		names := c.Markers.Names()
		for _, change := range f.Without {
			out.Without = append(out.Without, MarkerForecast{names[change.Track], shownU95(change.Readout)})
		}
		all[i] = out
	}
	return all, nil
}

// shownU95 returns the u95 of a readout in the order and units of Measures.
func shownU95(r kinematics.Readout) []float64 {
	swing := &kinematics.Swing{AtImpact: r}
	out := make([]float64, len(Measures))
	for i, m := range Measures {
		out[i] = m.AtImpact(swing).U95 * m.Scale
	}
	return out
}

func describeChange(c kinematics.Change, h kinematics.Hand) string {
	switch c.Kind {
	case kinematics.GripAdded:
		return fmt.Sprintf("add a grip marker %.0f mm from the axis on the %s side", math.Hypot(c.Point.X, c.Point.Y)*1e3, side(c.Point, h))
	case kinematics.ShaftAdded:
		return fmt.Sprintf("add a shaft marker at %.0f mm", c.Point.Z*1e3)
	case kinematics.GripSpread:
		return fmt.Sprintf("move the grip markers %.0f mm outwards", c.Point.X*1e3)
	}
	panic(fmt.Sprintf("study: no words for a change of kind %d", c.Kind))
}

// side names the side of the shaft that p, on an axis of the club frame, is on
// at address.
func side(p r3.Vec, h kinematics.Hand) string {
	switch {
	case p.Y > math.Abs(p.X):
		return "toe"
	case -p.Y > math.Abs(p.X):
		return "heel"
	case (p.X > 0) == (h == kinematics.Right):
		return "target"
	}
	return "trail"
}
