package app

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"

	"bendline/app/study"
)

// A Bay is a fitting session: one player swings shafts in turn, and captures are
// taken in as they land in a folder. The zero Bay is none.
type Bay struct {
	Folder string
	Player string
	Clubs  []string // the player's shafts, in the order of their keys
	Club   string   // the shaft on the tee: captures that begin now are of it

	Against string // club the others are held against, "" for the first swung
	Shown   string // run that is looked at, "" for the latest
	Latest  string // run that landed last
	Page    int    // of bayPages

	Receiving string            // name of the file that is being written, "" for none
	Waiting   int               // captures that are whole and not analysed yet
	Said      Notice            // what came of the last file, or of the folder
	Faults    map[string]string // by run: what was to be put right
}

// bayPages are the pages of a fitting session.
var bayPages = []string{"This swing", "Through the downswing"}

// On reports whether a session runs.
func (b Bay) On() bool { return b.Folder != "" }

// swings returns the runs of the session's player with the session's clubs, in
// the order of the study, which is that of landing.
func (s State) swings() []study.Run {
	var list []study.Run
	for _, r := range s.Study.Runs {
		if r.Player == s.Bay.Player && slices.Contains(s.Bay.Clubs, r.Club) {
			list = append(list, r)
		}
	}
	return list
}

// shownSwing returns the swing that is looked at and its number among its
// player's, from 1; ok is false without one.
func (s State) shownSwing() (run study.Run, number int, ok bool) {
	list := s.swings()
	for _, id := range []string{s.Bay.Shown, s.Bay.Latest} {
		for i, r := range list {
			if r.ID == id {
				return r, i + 1, true
			}
		}
	}
	if n := len(list); n > 0 {
		return list[n-1], n, true
	}
	return study.Run{}, 0, false
}

// shafts returns what the player did with each of the session's clubs, in the
// order of their keys.
func (s State) shafts() []study.Shaft {
	all := study.Shafts(s.analysis(), s.Bay.Player)
	var list []study.Shaft
	for _, id := range s.Bay.Clubs {
		if i := slices.IndexFunc(all, func(f study.Shaft) bool { return f.Club == id }); i >= 0 {
			list = append(list, all[i])
		}
	}
	return list
}

// pair returns the two shafts that are held against each other: the one on the
// tee, or if that is the reference the next that was swung, and the reference.
// ok is false where there are no two.
func pair(b Bay, shafts []study.Shaft) (reference, other study.Shaft, ok bool) {
	find := func(fit func(study.Shaft) bool) (study.Shaft, bool) {
		i := slices.IndexFunc(shafts, fit)
		if i < 0 {
			return study.Shaft{}, false
		}
		return shafts[i], true
	}
	swung := func(f study.Shaft) bool { return len(f.Runs) > 0 }
	reference, ok = find(func(f study.Shaft) bool { return f.Club == b.Against })
	if !ok {
		reference, ok = find(swung)
	}
	if !ok {
		return reference, other, false
	}
	other, ok = find(func(f study.Shaft) bool { return f.Club == b.Club && f.Club != reference.Club })
	if !ok {
		other, ok = find(func(f study.Shaft) bool { return swung(f) && f.Club != reference.Club })
	}
	return reference, other, ok
}

// StartBay begins a fitting session.
type StartBay struct{ Bay Bay }

func (c StartBay) apply(s State) State {
	s.Bay, s.Screen, s.Large, s.Playing = c.Bay, BayScreen, "", false
	of := func(list []step) []step { // of a session before, whose shafts may be others
		list = slices.Clone(list)
		for i := range list {
			list[i].shaft, list[i].clubs = "", nil
		}
		return list
	}
	s.past, s.future = of(s.past), of(s.future)
	s.Notice = Notice{} // of the study as it was before
	return s
}

// EndBay ends the session; its swings stay in the study.
type EndBay struct{}

func (EndBay) apply(s State) State {
	if s.Bay.On() {
		s.Notice = Notice{Text: fmt.Sprintf("The session has ended: %s, all in this study.", plural(len(s.swings()), "swing"))}
	}
	s.Bay = Bay{}
	return s
}

// PutOn says which shaft is swung from now on. It can be undone.
type PutOn struct{ Club string }

func (c PutOn) apply(s State) State {
	if !slices.Contains(s.Bay.Clubs, c.Club) || s.Bay.Club == c.Club {
		return s
	}
	s.past, s.future = append(slices.Clip(s.past), s.step()), nil
	s.Bay.Club = c.Club
	s.Bay.Shown = ""
	s.Bay.Said = Notice{Text: "Now: " + clubLabel(s.Study, c.Club) + "."}
	return s
}

// GiveSwing says that a swing was made with another shaft. It can be undone.
type GiveSwing struct{ Run, Club string }

func (c GiveSwing) apply(s State) State {
	if s.Study == nil || s.Study.Club(c.Club) == nil {
		return s
	}
	s = editRun(c.Run, func(r *study.Run) bool {
		if r.Club == c.Club {
			return false
		}
		r.GiveTo(c.Club)
		return true
	}).apply(s)
	if run := s.Study.Run(c.Run); s.Bay.On() && run != nil {
		s.Bay.Faults = maps.Clone(s.Bay.Faults)
		delete(s.Bay.Faults, c.Run) // it was of the other shaft
		s.Bay.Shown = c.Run
		_, number, _ := s.shownSwing()
		s.Bay.Said = Notice{Text: fmt.Sprintf("Swing %d is now of %s.", number, clubLabel(s.Study, c.Club))}
	}
	return s
}

// LookAt shows the swing so many after the one shown, or before it.
type LookAt struct{ By int }

func (c LookAt) apply(s State) State {
	list := s.swings()
	_, number, ok := s.shownSwing()
	if !ok {
		return s
	}
	return s.look(list[max(0, min(number-1+c.By, len(list)-1))].ID)
}

// look shows a swing, and what was to be put right in it.
func (s State) look(run string) State {
	s.Bay.Shown = run
	_, number, _ := s.shownSwing()
	s.Bay.Said = Notice{Text: fmt.Sprintf("Swing %d: nothing to put right.", number)}
	switch r := s.Result(run); {
	case s.Bay.Faults[run] != "":
		s.Bay.Said = Notice{capital(s.Bay.Faults[run]) + ".", true}
	case r != nil && !r.OK():
		s.Bay.Said = Notice{sentence(r.Err), true}
	}
	return s
}

// HoldAgainst chooses the shaft the others are held against.
type HoldAgainst struct{ Club string }

func (c HoldAgainst) apply(s State) State { s.Bay.Against = c.Club; return s }

// ShowBayPage shows one of bayPages.
type ShowBayPage struct{ Page int }

func (c ShowBayPage) apply(s State) State { s.Bay.Page = c.Page; return s }

// BaySays tells what became of a file or of the folder.
type BaySays struct{ Notice Notice }

func (c BaySays) apply(s State) State { s.Bay.Said = c.Notice; return s }

// Receiving names the file that is being written, "" for none, and says how
// many captures wait to be analysed.
type Receiving struct {
	File    string
	Waiting int
}

func (c Receiving) apply(s State) State {
	s.Bay.Receiving, s.Bay.Waiting = c.File, c.Waiting
	return s
}

// Landed brings a capture that the session took in. It is no gesture: Undo does
// not take it back.
type Landed struct {
	Taken study.Taken
	Run   study.Run // as the session has it
}

func (c Landed) apply(s State) State {
	t := c.Taken
	name := filepath.Base(t.Path)
	if s.Bay.Receiving == name {
		s.Bay.Receiving = ""
	}
	s.Bay.Waiting = max(0, s.Bay.Waiting-1)
	if t.Result == nil {
		text := fmt.Sprintf("%s is in the study already, as swing %s.", name, t.Run)
		if t.Fault != "" {
			text = fmt.Sprintf("%s: %s.", name, study.Plain(t.Fault))
		}
		s.Bay.Said = Notice{text, t.Fault != ""}
		return s
	}
	with := s.everywhere(func(st study.Study) study.Study {
		st.Runs = slices.Clone(st.Runs)
		if was := st.Run(t.Run); was != nil {
			was.File = c.Run.File
			if was.Excluded == "" {
				was.Excluded = c.Run.Excluded // of another club, by its markers
			}
		} else {
			st.Runs = append(st.Runs, c.Run)
		}
		return st
	})
	now := with.Study
	with.Study = s.Study
	s = with.withStudy(now)
	s = Analysed{[]*study.Result{t.Result}}.apply(s)
	s.Bay.Latest, s.Bay.Shown = t.Run, ""
	s.Bay.Faults = maps.Clone(s.Bay.Faults)
	delete(s.Bay.Faults, t.Run)
	_, number, _ := s.shownSwing()
	s.Bay.Said = Notice{Text: fmt.Sprintf("Swing %d is in, nothing to put right. Ready for the next.", number)}
	if t.Replaced {
		s.Bay.Said.Text = fmt.Sprintf("%s was written again: swing %d, %s, is as it is now.", name, number, clubLabel(s.Study, c.Run.Club))
	}
	if t.Fault != "" {
		if s.Bay.Faults == nil {
			s.Bay.Faults = map[string]string{}
		}
		s.Bay.Faults[t.Run] = study.Plain(t.Fault)
		s.Bay.Said = Notice{capital(study.Plain(t.Fault)) + ".", true}
	}
	return s
}

// Rewritten takes over what another program wrote to the study file during a
// session. What the window had can be had back.
type Rewritten struct{ Study *study.Study }

func (c Rewritten) apply(s State) State {
	s = s.edited(c.Study)
	s.saved = s.Study
	s.Bay.Said = Notice{"Another program changed the study file; this is what it wrote. Undo gives back what was here.", true}
	return s
}
