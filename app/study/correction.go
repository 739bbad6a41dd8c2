package study

import (
	"maps"
	"reflect"
	"slices"
)

// Corrections returns what was put right by hand in a run, a few words each: to
// stand by every figure the run is in.
func (r Run) Corrections() []string {
	var what []string
	if r.Events.Top != nil {
		what = append(what, "top set by hand")
	}
	if r.Events.Impact != nil {
		what = append(what, "impact set by hand")
	}
	for _, w := range r.Swaps {
		what = append(what, w.A+" and "+w.B+" exchanged")
	}
	for _, from := range slices.Sorted(maps.Keys(r.Import.Columns)) {
		what = append(what, from+" renamed "+r.Import.Columns[from])
	}
	return what
}

// Follows reports whether the result is of the run and its club as they now
// are in the study: nothing was corrected since that bears on it.
func (r *Result) Follows(s *Study, run Run) bool {
	if !r.Run.Alike(run) || !reflect.DeepEqual(r.Run.Events, run.Events) || !r.Settings.Equal(s.Settings) {
		return false
	}
	c := s.Club(run.Club)
	if r.club == nil || r.club == c {
		return true
	}
	return c != nil && reflect.DeepEqual(r.club.measured(), c.measured())
}

// Alike reports whether two runs are of one capture, read in one way, with the
// same club.
func (r Run) Alike(o Run) bool {
	return r.File == o.File && r.Club == o.Club && reflect.DeepEqual(r.Import, o.Import) && reflect.DeepEqual(r.Swaps, o.Swaps)
}

// measured returns the club without what says nothing about its swings.
func (c *Club) measured() Club {
	m := *c
	m.ID, m.Label, m.Role, m.file = "", "", "", node[clubJSON]{}
	m.Bench, m.Spec, m.ButtDiameter, m.TipDiameter = nil, nil, 0, 0 // see Judged
	return m
}
