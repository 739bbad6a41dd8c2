package study

import (
	"context"
	"fmt"
	"slices"

	"bendline/capture"
)

// A Reading is what one file of a study holds, before anything is fitted to it.
type Reading struct {
	Run     string // id, "" for the reference of a club
	Club    string // id
	File    string
	Err     error // why it cannot be used; Capture and Origin may be empty then
	Capture Capture
	Origin  capture.Origin
	Flags   []capture.Flag
	Beside  []string // markers in it that are none of the club's, and so are not used
}

// Read reads every file of the study and looks for what is wrong with it: first
// the references of the clubs, then the runs, in the order of the study. It
// returns an error only when ctx is cancelled.
func Read(ctx context.Context, s *Study) ([]Reading, error) {
	l := newLab(s)
	defer l.close()
	readings := make([]Reading, len(s.Clubs)+len(s.Runs))
	each(ctx, len(readings), func(i int) {
		r := &readings[i]
		err := guard(func() {
			if i < len(s.Clubs) {
				c := &s.Clubs[i]
				r.Club, r.File = c.ID, c.Reference
				l.readReference(r, c)
			} else {
				run := s.Runs[i-len(s.Clubs)]
				r.Run, r.Club, r.File = run.ID, run.Club, run.File
				l.fillRun(r, run)
			}
		})
		if err != nil {
			r.Err = err
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	return readings, nil
}

func (l *lab) readReference(r *Reading, c *Club) {
	h := l.reference(c)
	r.Err, r.Flags = h.err, h.flags
	if h.recording != nil {
		r.Capture, r.Origin = describe(h.recording), h.recording.Origin()
		r.Beside = beside(h.recording, c.Markers)
	}
}

func (l *lab) fillRun(r *Reading, run Run) {
	c := l.study.Club(run.Club)
	if c == nil {
		r.Err = fmt.Errorf("study: there is no club %q in the study", run.Club)
		return
	}
	rec, flags, err := l.readRun(run, c)
	if err != nil {
		r.Err = err
		return
	}
	r.Capture, r.Origin = describe(rec), rec.Origin()
	r.Beside = beside(rec, c.Markers)
	r.Flags = slices.Concat(flags, capture.Inspect(rec, c.Markers))
	r.Err = enough(rec, run.File, c.Markers)
}

// beside returns the markers of a recording that are none of the set's.
func beside(rec *capture.Recording, set capture.MarkerSet) []string {
	own := set.Names()
	return slices.DeleteFunc(slices.Clone(rec.Markers()), func(name string) bool { return slices.Contains(own, name) })
}
