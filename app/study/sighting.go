package study

import (
	"context"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/kinematics"
)

// A Sighting is what the cameras saw of a club's markers in a run.
type Sighting struct {
	Names     []string              // of the marker set: grip, shaft, head
	Seen      [][]r3.Vec            // by marker and frame: place in the lab, m; NaN where not seen, nil for never
	Reference *kinematics.Reference // its tracks are the markers in this order
}

// See reads the capture of a run again, as it was read to be analysed.
func See(ctx context.Context, s *Study, run Run) (*Sighting, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	l := newLab(s)
	defer l.close()
	club, err := l.club(run)
	if err != nil {
		return nil, err
	}
	hanging := l.reference(club)
	if hanging.err != nil {
		return nil, hanging.err
	}
	rec, _, err := l.readRun(run, club)
	if err != nil {
		return nil, err
	}
	return &Sighting{club.Markers.Names(), tracks(rec, club.Markers), hanging.pose}, nil
}
