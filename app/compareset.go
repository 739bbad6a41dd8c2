package app

import (
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

// TurnAxis chooses what the curves run over, of study.Axes.
type TurnAxis struct{ Axis int }

func (c TurnAxis) apply(s State) State { s.Axis = c.Axis; return s }

// LookAlong chooses which curvature is looked at, of study.AlongShaft.
type LookAlong struct{ Measure int }

func (c LookAlong) apply(s State) State { s.Along = c.Measure; return s }

// LookAtLoading chooses whose loading and release is shown; "" for all together.
type LookAtLoading struct{ Player string }

func (c LookAtLoading) apply(s State) State { s.Loader = c.Player; return s }

// choose is an Edit of what the study keeps as chosen about comparisons.
func choose(change func(*study.Choices) bool) Edit {
	return Edit{func(st *study.Study) bool {
		c := &st.Choices
		c.Margins, c.LeaveOut, c.Lot = maps.Clone(c.Margins), slices.Clone(c.LeaveOut), slices.Clone(c.Lot)
		return change(c)
	}}
}

// CompareClubs chooses the clubs of the comparison; "" for the first of the role.
type CompareClubs struct{ Baseline, Prototype string }

func (c CompareClubs) apply(s State) State {
	return choose(func(of *study.Choices) bool {
		changed := of.Baseline != c.Baseline || of.Prototype != c.Prototype
		of.Baseline, of.Prototype = c.Baseline, c.Prototype
		return changed
	}).apply(s)
}

// LeaveOut leaves the runs with a flag out of the comparison, or takes them in.
type LeaveOut struct {
	Code capture.Code
	On   bool
}

func (c LeaveOut) apply(s State) State {
	return choose(func(of *study.Choices) (changed bool) {
		of.LeaveOut, changed = with(of.LeaveOut, c.Code, c.On)
		return changed
	}).apply(s)
}

// InLot puts a club into the lot that is judged, or takes it out.
type InLot struct {
	Club string
	On   bool
}

func (c InLot) apply(s State) State {
	return choose(func(of *study.Choices) (changed bool) {
		of.Lot, changed = with(of.Lot, c.Club, c.On)
		return changed
	}).apply(s)
}

// with returns a list that has an item, or has it not; changed reports whether
// that is news.
func with[T comparable](list []T, item T, on bool) (next []T, changed bool) {
	i := slices.Index(list, item)
	switch {
	case on && i < 0:
		return append(list, item), true
	case !on && i >= 0:
		return slices.Delete(list, i, i+1), true
	}
	return list, false
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
	w.change(choose(func(of *study.Choices) bool {
		was, set := of.Margins[m.Key]
		if text == "" {
			delete(of.Margins, m.Key)
			return set
		}
		if of.Margins == nil {
			of.Margins = map[string]float64{}
		}
		of.Margins[m.Key] = v
		return !set || was != v
	}))
}
