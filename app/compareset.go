package app

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"bendline/app/study"
	"bendline/capture"
)

// CompareMeasure chooses the measure looked at, by its key.
type CompareMeasure struct{ Key string }

func (c CompareMeasure) apply(s State) State { s.Measure = c.Key; return s }

// ShowComparePage turns to a page under the answer.
type ShowComparePage struct{ Page int }

func (c ShowComparePage) apply(s State) State { s.ComparePage = c.Page; return s }

// LeaveOut leaves the runs with a flag out of the comparison, or takes them in.
type LeaveOut struct {
	Code capture.Code
	On   bool
}

func (c LeaveOut) apply(s State) State {
	if slices.Contains(s.LeaveOut, c.Code) == c.On {
		return s
	}
	s.LeaveOut = slices.DeleteFunc(slices.Clone(s.LeaveOut), func(code capture.Code) bool { return code == c.Code })
	if c.On {
		s.LeaveOut = append(s.LeaveOut, c.Code)
	}
	return s.compared()
}

// measureIndex returns the place of the measure looked at among those compared.
func (s State) measureIndex() int {
	return max(0, slices.IndexFunc(comparedMeasures(), func(m study.Measure) bool { return m.Key == s.Measure }))
}

func (s State) measure() study.Measure { return comparedMeasures()[s.measureIndex()] }

// difference returns that of the measure looked at. There must be a comparison.
func (s State) difference() study.Difference {
	return slices.Concat(s.Comparison.Measures, s.Comparison.Peaks)[s.measureIndex()]
}

// setMargin sets within what a measure counts as the same; an empty text goes
// back to the usual margin.
func (w *Window) setMargin(m study.Measure, text string) {
	text = strings.TrimSpace(text)
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if text != "" && (err != nil || !(v > 0) || math.IsInf(v, 0)) {
		w.store.Do(Say{Notice{fmt.Sprintf("%q is no margin: write a positive number of %s, or nothing for the usual one.", text, m.Unit), true}})
		return
	}
	w.change(Edit{func(st *study.Study) bool {
		was, set := st.Margins[m.Key]
		st.Margins = maps.Clone(st.Margins)
		if text == "" {
			delete(st.Margins, m.Key)
			return set
		}
		if st.Margins == nil {
			st.Margins = map[string]float64{}
		}
		st.Margins[m.Key] = v
		return !set || was != v
	}})
}

// CurvesFound are the curves of a comparison.
type CurvesFound struct {
	Of                   *study.Comparison
	ToImpact, AlongShaft []study.CurveDifference
	Err                  error
}

func (c *CurvesFound) apply(s State) State { s.Curves = c; return s }

// curves returns the curves of the present comparison, nil where there are none.
func (s State) curves() *CurvesFound {
	if s.Curves == nil || s.Comparison == nil || s.Curves.Of != s.Comparison {
		return nil
	}
	return s.Curves
}

// compareCurves compares curves, as a job.
func (w *Window) compareCurves() {
	cmp := w.store.State().Comparison
	if cmp == nil {
		return
	}
	w.jobs.start("Comparing curves", func(ctx context.Context, post func(Command)) error {
		found := &CurvesFound{Of: cmp}
		if found.ToImpact, found.Err = cmp.Curves(); found.Err == nil && ctx.Err() == nil {
			found.AlongShaft, found.Err = cmp.ShaftCurves()
		}
		if ctx.Err() == nil {
			post(found)
		}
		return ctx.Err()
	}, nil)
}
