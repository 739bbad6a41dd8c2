package app

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"bendline/app/study"
)

// errStopped is why there is no comparison when its job was stopped.
var errStopped = errors.New("app: the comparison was stopped; choose “Compare” to go on")

// Titles of the jobs of the Compare screen.
const (
	comparing       = "Comparing the clubs"
	comparingCurves = "Comparing curves"
)

// uncompared returns the state without its comparison, which no longer follows
// from it: it is worked out anew once every run has its result.
func (s State) uncompared() State {
	if s.Comparison != nil {
		s.was = s.Comparison
	}
	s.Comparison, s.CompareErr = nil, nil
	if len(s.Study.Choices.Lot) < 2 {
		s.Lot, s.LotErr = nil, nil
	}
	return s
}

// pending reports whether the comparison is still to be worked out.
func (s State) pending() bool { return s.Complete() && s.Comparison == nil && s.CompareErr == nil }

// settled reports whether the comparison is worked out, or there can be none.
func (s State) settled() bool {
	return s.Comparison != nil || s.CompareErr != nil && !errors.Is(s.CompareErr, errStopped)
}

// givesWay reports whether a job is work on the results that was begun unasked:
// it is begun again when there are new results.
func (j Job) givesWay() bool {
	return slices.Contains([]string{"", comparing, comparingCurves, benchAndSwings}, j.Title)
}

// A compareKey tells what a comparison follows from. States with equal keys have
// the same.
type compareKey struct {
	study   *study.Study
	results **study.Result
}

func (s State) compareKey() compareKey {
	k := compareKey{study: s.Study}
	if len(s.Results) > 0 {
		k.results = &s.Results[0]
	}
	return k
}

// Compared brings a comparison of the results of a study, or why there is none.
type Compared struct {
	Of      *study.Analysis
	Found   *study.Comparison
	Problem error
	Lot     lotFound
}

func (c Compared) apply(s State) State {
	if s.Study != c.Of.Study || !s.pending() || len(s.Results) != len(c.Of.Results) {
		return s
	}
	for i, r := range s.Results {
		if r != c.Of.Results[i] {
			return s // of results that there were before
		}
	}
	s.Comparison, s.CompareErr, s.was = c.Found, c.Problem, nil
	s.Lot, s.LotErr = c.Lot.lot, c.Lot.err
	return s
}

// CompareAgain takes up a comparison that was stopped.
type CompareAgain struct{}

func (CompareAgain) apply(s State) State { return s.uncompared() }

// compareClubs works the comparison out, as a job: permutations and mixed models
// take longer than a window may stand still.
func (w *Window) compareClubs() {
	a := w.store.State().analysis()
	w.jobs.start(comparing, func(ctx context.Context, post func(Command)) error {
		lot := findLot(a)
		choices := study.Choices{}
		if lot.lot == nil {
			choices.Lot = []string{} // a lot that cannot be judged leaves the rest alone
		}
		found, err := study.CompareWith(ctx, a, choices, func(done, total int, measure string) {
			post(Work{Job{Title: comparing, Done: done, Total: total, Item: measure}})
		})
		if ctx.Err() == nil {
			post(Compared{a, found, err, lot})
		}
		return ctx.Err()
	}, nil)
}

// CurvesFound are the curves of a comparison, by axis; one that is not there is
// not compared yet.
type CurvesFound struct {
	Of    *study.Comparison
	Along map[study.Axis][]study.CurveDifference
	Err   error
}

func (c *CurvesFound) apply(s State) State { s.Curves = c; return s }

// curves returns the curves of the present comparison, nil where there are none.
func (s State) curves() *CurvesFound {
	if s.Curves == nil || s.Comparison == nil || s.Curves.Of != s.Comparison {
		return nil
	}
	return s.Curves
}

// compareCurves compares curves over every axis, that which is shown first, as a
// job.
func (w *Window) compareCurves() {
	s := w.store.State()
	if s.Comparison == nil {
		return
	}
	w.jobs.start(comparingCurves, func(ctx context.Context, post func(Command)) error {
		found := &CurvesFound{Of: s.Comparison}
		for i := range study.Axes {
			axis := study.Axes[(s.Axis+i)%len(study.Axes)]
			curves, err := s.Comparison.Curves(ctx, axis, func(done, total int, measure string) {
				post(Work{Job{Title: comparingCurves, Done: i*total + done, Total: len(study.Axes) * total,
					Item: fmt.Sprintf("%s, %s", measure, axisNames[axis])}})
			})
			if ctx.Err() != nil {
				return ctx.Err()
			}
			next := &CurvesFound{Of: found.Of, Along: map[study.Axis][]study.CurveDifference{axis: curves}, Err: err}
			for a, c := range found.Along { // what was posted is not changed
				next.Along[a] = c
			}
			if found = next; err != nil {
				break
			}
		}
		post(found)
		return nil
	}, nil)
}
