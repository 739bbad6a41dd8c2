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
	was := r.Run
	if was.File != run.File || was.Club != run.Club ||
		!reflect.DeepEqual(was.Import, run.Import) || !reflect.DeepEqual(was.Swaps, run.Swaps) || !reflect.DeepEqual(was.Events, run.Events) {
		return false
	}
	c := s.Club(run.Club)
	if r.club == nil || r.club == c {
		return true
	}
	return c != nil && reflect.DeepEqual(r.club.measured(), c.measured())
}

// measured returns the club without what says nothing about its swings.
func (c *Club) measured() Club {
	m := *c
	m.ID, m.Label, m.Role, m.file = "", "", "", node[clubJSON]{}
	return m
}
