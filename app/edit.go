package app

import (
	"slices"

	"bendline/app/study"
)

// edited returns the state with a changed study, which Undo takes back.
func (s State) edited(st *study.Study) State {
	s.past = append(slices.Clip(s.past), s.Study)
	s.future = nil
	return s.withStudy(st)
}

// withStudy returns the state with another account of the same runs.
func (s State) withStudy(st *study.Study) State {
	s.Study = st
	s.Results = slices.Clone(s.Results)
	for i, r := range s.Results {
		if r != nil {
			s.Results[i] = withRun(r, st.Runs[i])
		}
	}
	return s.compared()
}

// Exclude leaves a run out of comparisons for a reason; an empty reason takes
// it in again.
type Exclude struct{ Run, Reason string }

func (c Exclude) apply(s State) State {
	i := s.RunIndex(c.Run)
	if i < 0 || s.Study.Runs[i].Excluded == c.Reason {
		return s
	}
	st := *s.Study
	st.Runs = slices.Clone(st.Runs)
	st.Runs[i].Excluded = c.Reason
	return s.edited(&st)
}

// Undo takes the last change of the study back.
type Undo struct{}

func (Undo) apply(s State) State {
	if !s.CanUndo() {
		return s
	}
	last := len(s.past) - 1
	st := s.past[last]
	s.future = append(slices.Clip(s.future), s.Study)
	s.past = s.past[:last]
	return s.withStudy(st)
}

// Redo makes the last change that was taken back again.
type Redo struct{}

func (Redo) apply(s State) State {
	if !s.CanRedo() {
		return s
	}
	last := len(s.future) - 1
	st := s.future[last]
	s.past = append(slices.Clip(s.past), s.Study)
	s.future = s.future[:last]
	return s.withStudy(st)
}

// Saved tells that the study is on disk as it was given.
type Saved struct{ Study *study.Study }

func (c Saved) apply(s State) State { s.saved = c.Study; return s }
