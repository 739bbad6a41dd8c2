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

// newReference builds the unloaded club from the recording in which it hangs.
func newReference(rec *capture.Recording, c *Club) (*kinematics.Reference, error) {
	return kinematics.NewReference(tracks(rec, c.Markers), indices(c.Markers), c.Shaft, c.Hand)
}

// fit fits a swing of the club, under the settings of its study.
func fit(ctx context.Context, rec *capture.Recording, c *Club, ref *kinematics.Reference, s Settings, e Events) (*kinematics.Swing, error) {
	return kinematics.Fit(ctx, tracks(rec, c.Markers), rec.Start(), rec.Rate(), ref, s.options(e))
}
