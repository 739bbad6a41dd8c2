package app

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bendline/app/study"
	"bendline/capture"
)

// An Import is what the page that brings captures in shows. It is a value, like
// the State it is part of.
type Import struct {
	Plan    study.Plan
	Current string   // path of the file that is looked at closely
	Ticked  []string // paths of files that are changed together

	ShowClub bool   // the club is looked at, and not the file
	Club     string // id of it
	Marker   string // that is pointed at
	Frame    int    // of the poses that are kept of a file

	Fresh bool // the study is not on disk yet
}

// chosen returns the files that a change is for: those ticked, else the current.
func (m Import) chosen() []string {
	if len(m.Ticked) > 0 {
		return m.Ticked
	}
	if m.Current == "" {
		return nil
	}
	return []string{m.Current}
}

// nameOf returns the name by which a file is shown: its path from the study's
// folder on, or the end of one from elsewhere.
func (m Import) nameOf(path string) string {
	name, err := filepath.Rel(filepath.Dir(m.Plan.Study.Path), path)
	if err != nil || !filepath.IsLocal(name) {
		name = filepath.Base(path)
	}
	return capture.Shown(filepath.ToSlash(name))
}

// settled returns the page with nothing pointed at that is no longer there.
func (m Import) settled() Import {
	there := func(path string) bool { return m.Plan.File(path) != nil }
	m.Ticked = slices.DeleteFunc(slices.Clone(m.Ticked), func(path string) bool { return !there(path) })
	if !there(m.Current) {
		m.Current, m.Frame = "", 0
		if len(m.Plan.Files) > 0 {
			m.Current = m.Plan.Files[0].Path
		}
	}
	if m.Plan.Club(m.Club) == nil {
		m.Club, m.Marker = "", ""
		switch {
		case len(m.Plan.Drafts) > 0:
			m.Club = m.Plan.Drafts[0].ID
		case len(m.Plan.Study.Clubs) > 0:
			m.Club = m.Plan.Study.Clubs[0].ID
		}
	}
	return m
}

// editImport changes what the page that brings captures in shows.
type editImport struct{ change func(*Import) }

func (c editImport) apply(s State) State {
	if !s.Bringing {
		return s
	}
	c.change(&s.Import)
	s.Import = s.Import.settled()
	return s
}

// looked brings previews of files.
func looked(previews ...study.Preview) Command {
	return editImport{func(m *Import) { m.Plan = m.Plan.With(previews...) }}
}

// setFiles changes files at the paths.
func setFiles(paths []string, change func(*study.Arrival)) Command {
	return editImport{func(m *Import) { m.Plan = m.Plan.Set(paths, change) }}
}

// setDraft changes the draft of a club.
func setDraft(id string, change func(*study.Draft)) Command {
	return editImport{func(m *Import) { m.Plan = m.Plan.SetDraft(id, change) }}
}

// showEvery is how often files are shown while many are read.
const showEvery = 400 * time.Millisecond

// keptBeside returns a file beside the preferences.
func (w *Window) keptBeside(name string) string {
	return filepath.Join(filepath.Dir(w.around.Preferences), name)
}

func (w *Window) layoutsFile() string { return w.keptBeside("layouts.json") }
func (w *Window) setsFile() string    { return w.keptBeside("marker-sets.json") }

// beginImport opens the page that brings captures into the open study, with
// files to begin with.
func (w *Window) beginImport(files []string) {
	s := w.store.State()
	if s.Study == nil {
		return
	}
	if s.Bringing {
		w.addCaptures(files)
		return
	}
	sets, err := study.ReadSets(w.setsFile())
	w.store.Do(BringIn{})
	w.store.Do(editImport{func(m *Import) {
		*m = Import{Plan: study.NewPlan(s.Study, sets), Fresh: !exists(s.Study.Path)}
	}})
	if err != nil {
		w.store.Do(Say{Notice{"The saved marker sets cannot be used: " + sentence(err), true}})
	}
	w.addCaptures(files)
}

// beginFresh begins a study in a folder that has none, and brings captures into
// it. Nothing is written until they are.
func (w *Window) beginFresh(dir string, files []string) {
	w.leaving(func() {
		if w.store.State().Job.Title != "" {
			w.jobs.stop()
		}
		w.store.Do(Opened{&study.Study{Path: filepath.Join(dir, studyFile), Title: filepath.Base(dir)}})
		w.beginImport(files)
	})
}

// openCaptures brings captures, or a folder of them, into the open study, else
// into the one beside them, else into a new one there. It reports false if the
// paths are not of captures.
func (w *Window) openCaptures(paths []string) bool {
	dir := ""
	paths = slices.Clone(paths)
	for i, path := range paths {
		path = strings.TrimSpace(path)
		paths[i] = path
		info, err := os.Stat(path)
		if err != nil || info.IsDir() && exists(filepath.Join(path, studyFile)) || strings.EqualFold(filepath.Ext(path), ".json") {
			return false
		}
		if dir == "" {
			if dir = path; !info.IsDir() {
				dir = filepath.Dir(path)
			}
		}
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return false
	}
	switch file := filepath.Join(dir, studyFile); {
	case w.store.State().Study != nil:
		w.beginImport(paths)
	case exists(file):
		left := &leftover{}
		w.jobs.start("Opening", func(_ context.Context, post func(Command)) error { return left.open(file, post) }, func() {
			w.opened(left)
			w.beginImport(paths)
		})
	default:
		w.beginFresh(dir, paths)
	}
	return true
}

// addCaptures looks at files, and all files in folders, and shows each batch as
// soon as it is there.
func (w *Window) addCaptures(paths []string) {
	if len(paths) == 0 {
		return
	}
	plan := w.store.State().Import.Plan
	layouts, err := study.ReadLayouts(w.layoutsFile())
	if err != nil {
		w.store.Do(Say{Notice{"Corrections made earlier cannot be used: " + sentence(err), true}})
	}
	const title = "Reading captures"
	w.jobs.start(title, func(ctx context.Context, post func(Command)) error {
		files, err := study.Find(ctx, paths)
		if err != nil {
			return err
		}
		files = slices.DeleteFunc(files, func(path string) bool { return plan.File(path) != nil })
		slices.Sort(files)
		post(Work{Job{Title: title, Total: len(files)}})
		previews := map[string]study.Preview{} // that are not shown yet
		next, done, shown := 0, 0, w.around.Now()
		// The list grows in the order of names, whichever file is read first.
		show := func() {
			var list []study.Preview
			for ; next < len(files); next++ {
				p, ok := previews[files[next]]
				if !ok {
					break
				}
				list = append(list, p)
				delete(previews, p.Path)
			}
			post(looked(list...))
		}
		err = study.LookAll(ctx, files, layouts, func(p study.Preview) {
			previews[p.Path] = p
			done++
			post(Work{Job{Title: title, Done: done, Total: len(files), Item: filepath.Base(p.Path)}})
			// Proposals look at all files: not after each of many.
			if now := w.around.Now(); now.Sub(shown) > showEvery {
				show()
				shown = now
			}
		})
		if err != nil {
			return err
		}
		show()
		return nil
	}, w.sayRead)
}

// sayRead tells how reading went.
func (w *Window) sayRead() { w.store.Do(Say{readNotice(w.store.State().Import.Plan)}) }

// readNotice returns the sentence that tells how reading went.
func readNotice(p study.Plan) Notice {
	bad := 0
	for _, a := range p.Files {
		if a.Err != nil {
			bad++
		}
	}
	switch {
	case len(p.Files) == 0:
		return Notice{"No files were found there.", true}
	case bad == len(p.Files):
		return Notice{"None of " + plural(bad, "file") + " could be read as a capture; select one to read why.", true}
	case bad > 0:
		return Notice{Text: plural(len(p.Files), "file") + ", of which " + plural(bad, "file") + " could not be read; select one to read why."}
	case len(p.Files) == 1:
		return Notice{Text: "The file could be read."}
	}
	return Notice{Text: "All " + plural(len(p.Files), "file") + " could be read."}
}

// correct reads files again under other hints, and remembers these for all
// files of their layout.
func (w *Window) correct(paths []string, change func(*capture.Hints)) {
	plan := w.store.State().Import.Plan
	w.jobs.start("Reading again", func(ctx context.Context, post func(Command)) error {
		layouts, err := study.ReadLayouts(w.layoutsFile())
		if err != nil {
			return err
		}
		for _, path := range paths {
			a := plan.File(path)
			if a == nil {
				continue
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			hints := a.Hints
			change(&hints)
			p := study.LookWith(path, hints)
			post(looked(p))
			if p.Err == nil && p.Layout != "" {
				layouts = layouts.With(p.Layout, hints)
			}
		}
		return layouts.Write(w.layoutsFile())
	}, w.sayRead)
}

// saveSet keeps the markers of a draft under a name.
func (w *Window) saveSet(club, name string) {
	m := w.store.State().Import
	d := m.Plan.Draft(club)
	if d == nil || name == "" {
		return
	}
	sets := study.SetsWith(m.Plan.Sets, study.SavedSet{Name: name, Markers: d.Markers, Length: d.Shaft.Length,
		ButtDiameter: d.ButtDiameter, TipDiameter: d.TipDiameter})
	w.around.Go(func() {
		err := study.WriteSets(w.setsFile(), sets)
		w.around.Later(func() {
			if err != nil {
				w.store.Do(Say{Notice{sentence(err), true}})
				return
			}
			// The draft is as it was: what it has is now also a set.
			w.store.Do(editImport{func(m *Import) { m.Plan.Sets = sets }})
			w.store.Do(Say{Notice{Text: "The marker set is kept as “" + name + "”."}})
		})
	})
}

// askEndImport leaves the page without bringing anything in, and asks first if
// something was sorted by hand.
func (w *Window) askEndImport() { w.leavingImport(w.endImport) }

// leavingImport runs then when nothing sorted by hand would be lost, or the user
// has chosen.
func (w *Window) leavingImport(then func()) {
	if s := w.store.State(); !s.Bringing || !s.Import.Plan.ByHand() {
		then()
		return
	}
	w.ask("Leave without bringing them in?",
		"What you chose and typed on this page will be lost. The captures stay as they are.",
		reply{"Leave without", then}, reply{"Stay", func() {}})
}

// endImport leaves the page without bringing anything in. A study that was only
// begun for it is forgotten.
func (w *Window) endImport() {
	m := w.store.State().Import
	if w.store.State().Job.Title != "" {
		w.jobs.stop()
	}
	w.store.Do(BringInEnd{})
	if st := w.store.State().Study; m.Fresh && len(st.Runs) == 0 {
		w.store.Do(Closed{})
		return
	}
	w.catchUp()
}

// Closed shows the welcome page again.
type Closed struct{}

func (Closed) apply(s State) State {
	n := newState()
	n.Slowness, n.Exaggeration, n.Band, n.Charts, n.Grouping = s.Slowness, s.Exaggeration, s.Band, s.Charts, s.Grouping
	return n
}

// bringThemIn carries the plan out: copies, adds to the study, and analyses. A
// study that is not on disk yet is saved.
func (w *Window) bringThemIn() {
	s := w.store.State()
	plan := s.Import.Plan
	plan.Study = s.Study // Undo may have changed it meanwhile
	if plan.Blocked().Why != "" || s.Job.Title != "" {
		return
	}
	const title = "Bringing in"
	var st *study.Study
	w.jobs.start(title, func(ctx context.Context, post func(Command)) (err error) {
		st, err = plan.Bring(ctx, func(done, total int, item string) {
			post(Work{Job{Title: title, Done: done, Total: total, Item: item}})
		})
		return err
	}, func() {
		fresh := w.store.State().Import.Fresh
		w.store.Do(BringInEnd{})
		if fresh {
			w.store.Do(Opened{st})
			w.saveStudy(func() { w.opened(&leftover{}) })
			return
		}
		w.change(Edit{func(to *study.Study) bool {
			to.World, to.Clubs, to.Players, to.Runs = st.World, st.Clubs, st.Players, st.Runs
			return true
		}})
		w.store.Do(Say{Notice{Text: plural(plan.Count(), "file") + " brought in; Undo takes them out again."}})
	})
}
