package app

import (
	"slices"

	"bendline/app/study"
)

// edited returns the state with a changed study, which Undo takes back.
func (s State) edited(st *study.Study) State {
	s.past = append(slices.Clip(s.past), s.step())
	s.future = nil
	return s.withStudy(st)
}

// A step is what Undo and Redo go back to.
type step struct {
	study *study.Study
	shaft string   // on the tee in a fitting session
	clubs []string // of the session
}

func (s State) step() step { return step{s.Study, s.Bay.Club, s.Bay.Clubs} }

// at returns the state as it was, or will be again, at a step.
func (s State) at(to step) State {
	if s.Bay.On() && to.shaft != "" {
		s.Bay.Club = to.shaft
		clubs := slices.Clone(to.clubs)
		for _, id := range s.Bay.Clubs { // a shaft that was swung stays
			if !slices.Contains(clubs, id) && slices.ContainsFunc(s.swings(), func(r study.Run) bool { return r.Club == id }) {
				clubs = append(clubs, id)
			}
		}
		s.Bay.Clubs = clubs
	}
	return s.withStudy(to.study)
}

// everywhere returns the state with the study changed in the same way now, in
// all that can be undone and redone. What is on disk is still what was.
func (s State) everywhere(change func(study.Study) study.Study) State {
	moved := map[*study.Study]*study.Study{}
	move := func(st *study.Study) *study.Study {
		if moved[st] == nil {
			there := change(*st)
			moved[st] = &there
		}
		return moved[st]
	}
	steps := func(list []step) []step {
		list = slices.Clone(list)
		for i := range list {
			list[i].study = move(list[i].study)
		}
		return list
	}
	s.past, s.future, s.Study = steps(s.past), steps(s.future), move(s.Study)
	return s
}

// withStudy returns the state with another account of the study. Results stay
// with their runs; those that no longer follow from what the study says are
// shown until there are new ones, and count no more.
func (s State) withStudy(st *study.Study) State {
	was := make(map[string]*study.Result, len(s.Results))
	for i, r := range s.Results {
		was[s.Study.Runs[i].ID] = r
	}
	s.Study = st
	s.Results, s.stale = make([]*study.Result, len(st.Runs)), make([]bool, len(st.Runs))
	for i, run := range st.Runs {
		if r := was[run.ID]; r != nil {
			s.stale[i] = !r.Follows(st, run)
			s.Results[i] = r
			if !s.stale[i] {
				s.Results[i] = withRun(r, run).Judged(st)
			}
		}
	}
	s.Panes = slices.DeleteFunc(slices.Clone(s.Panes), func(id string) bool { return st.Run(id) == nil })
	if s.Complete() {
		s.Results = study.Pool(s.Results)
	}
	return s.uncompared()
}

// Edit is a change of the study that Undo takes back: Change gets a copy of it
// whose runs it may set, and reports whether anything changed.
type Edit struct{ Change func(*study.Study) bool }

func (c Edit) apply(s State) State {
	if s.Study == nil {
		return s
	}
	st := *s.Study
	st.Runs, st.Clubs, st.Players = slices.Clone(st.Runs), slices.Clone(st.Clubs), slices.Clone(st.Players)
	if !c.Change(&st) {
		return s
	}
	return s.edited(&st)
}

// editRun is an Edit of one run.
func editRun(id string, change func(*study.Run) bool) Edit {
	return Edit{func(st *study.Study) bool {
		run := st.Run(id)
		return run != nil && change(run)
	}}
}

// Exclude leaves a run out of comparisons for a reason; an empty reason takes
// it in again.
type Exclude struct{ Run, Reason string }

func (c Exclude) apply(s State) State {
	return editRun(c.Run, func(r *study.Run) bool {
		changed := r.Excluded != c.Reason
		r.Excluded = c.Reason
		return changed
	}).apply(s)
}

// Undo takes the last change of the study back.
type Undo struct{}

func (Undo) apply(s State) State {
	if !s.CanUndo() {
		return s
	}
	last := len(s.past) - 1
	to := s.past[last]
	s.future = append(slices.Clip(s.future), s.step())
	s.past = s.past[:last]
	return s.at(to)
}

// Redo makes the last change that was taken back again.
type Redo struct{}

func (Redo) apply(s State) State {
	if !s.CanRedo() {
		return s
	}
	last := len(s.future) - 1
	to := s.future[last]
	s.past = append(slices.Clip(s.past), s.step())
	s.future = s.future[:last]
	return s.at(to)
}

// Saved tells that the study is on disk as it was given.
type Saved struct{ Study *study.Study }

func (c Saved) apply(s State) State { s.saved = c.Study; return s }

// Moved tells that the study is now kept in another file, on disk as it is.
type Moved struct{ Path string }

func (c Moved) apply(s State) State {
	s = s.everywhere(func(st study.Study) study.Study { st.Path = c.Path; return st })
	s.saved = s.Study
	return s
}

// Recovered takes over the changes that were not saved when the program last
// ended. They can be undone. Runs that were saved after them, as captures came
// in, stay.
type Recovered struct{ Study *study.Study }

func (c Recovered) apply(s State) State {
	st := *c.Study
	st.Runs = slices.Clone(st.Runs)
	for _, run := range s.Study.Runs {
		if st.Run(run.ID) == nil {
			st.Runs = append(st.Runs, run)
		}
	}
	return s.edited(&st)
}
