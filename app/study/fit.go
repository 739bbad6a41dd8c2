package study

import (
	"context"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// tracks returns the paths of the set's markers in the order of set.Names, nil
// for a marker the recording does not have.
func tracks(rec *capture.Recording, set capture.MarkerSet) [][]r3.Vec {
	names := set.Names()
	out := make([][]r3.Vec, len(names))
	for i, name := range names {
		out[i] = rec.Track(name)
	}
	return out
}

// indices returns which of those tracks is which marker of the club.
func indices(set capture.MarkerSet) kinematics.Markers {
	track := make(map[string]int)
	for i, name := range set.Names() {
		track[name] = i
	}
	m := kinematics.Markers{Heel: track[set.Heel], Toe: track[set.Toe]}
	for _, name := range set.Grip {
		m.Grip = append(m.Grip, track[name])
	}
	for _, s := range set.Shaft {
		m.Shaft = append(m.Shaft, kinematics.ShaftMark{Track: track[s.Name], Station: s.Station, Offset: s.Offset})
	}
	for _, name := range set.Head {
		m.Head = append(m.Head, track[name])
	}
	return m
}

// FitShaft returns the shaft as the fit takes it: without its stiffness where the
// table spans less than half of the length. What such a table leaves out would
// be taken to be as stiff as its ends, which bends the curve along the shaft more
// than a usual taper does.
func (c *Club) FitShaft() kinematics.Shaft {
	s := c.Shaft
	if n := len(s.Station); n > 0 && s.Station[n-1]-s.Station[0] < s.Length/2 {
		s.Station, s.EI, s.GJ = nil, nil, nil
	}
	return s
}

// newReference builds the unloaded club from the recording in which it hangs.
func newReference(rec *capture.Recording, c *Club) (*kinematics.Reference, error) {
	return kinematics.NewReference(tracks(rec, c.Markers), indices(c.Markers), c.FitShaft(), c.Hand)
}

// fit fits a swing of the club, under the settings of its study.
func fit(ctx context.Context, rec *capture.Recording, c *Club, ref *kinematics.Reference, s Settings, e Events) (*kinematics.Swing, error) {
	return kinematics.Fit(ctx, tracks(rec, c.Markers), rec.Start(), rec.Rate(), ref, s.options(e))
}
