package app

import (
	"maps"
	"math"
	"slices"

	"bendline/app/study"
)

// SetEvent sets top or impact of a run by hand, s in the run's own time; NaN
// takes what the program finds again.
type SetEvent struct {
	Run    string
	Moment Moment
	Time   float64
}

func (c SetEvent) apply(s State) State {
	var at *float64
	if !math.IsNaN(c.Time) {
		at = &c.Time
	}
	return editRun(c.Run, func(r *study.Run) bool {
		of := &r.Events.Top
		if c.Moment == Impact {
			of = &r.Events.Impact
		}
		if *of == at || *of != nil && at != nil && **of == *at {
			return false
		}
		*of = at
		return true
	}).apply(s)
}

// SetEvents sets both events of a run by hand; nil takes what the program finds.
type SetEvents struct {
	Run    string
	Events study.Events
}

func (c SetEvents) apply(s State) State {
	same := func(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }
	return editRun(c.Run, func(r *study.Run) bool {
		changed := !same(r.Events.Top, c.Events.Top) || !same(r.Events.Impact, c.Events.Impact)
		r.Events = c.Events
		return changed
	}).apply(s)
}

// Exchange puts right two labels of a run that have each other's place.
type Exchange struct {
	Run  string
	Swap study.Swap
}

func (c Exchange) apply(s State) State {
	return editRun(c.Run, func(r *study.Run) bool {
		r.Swaps = append(slices.Clip(r.Swaps), c.Swap)
		return true
	}).apply(s)
}

// Rename takes a marker of a run's capture for one of the club's.
type Rename struct{ Run, From, To string }

func (c Rename) apply(s State) State {
	return editRun(c.Run, func(r *study.Run) bool {
		if c.From == c.To || r.Import.Columns[c.From] == c.To {
			return false
		}
		columns := maps.Clone(r.Import.Columns)
		if columns == nil {
			columns = map[string]string{}
		}
		columns[c.From] = c.To
		r.Import.Columns = columns
		return true
	}).apply(s)
}

// ClearLabels takes the labels of a run as the capture has them.
type ClearLabels struct{ Run string }

func (c ClearLabels) apply(s State) State {
	return editRun(c.Run, func(r *study.Run) bool {
		changed := len(r.Swaps) > 0 || len(r.Import.Columns) > 0
		r.Swaps, r.Import.Columns = nil, nil
		return changed
	}).apply(s)
}
