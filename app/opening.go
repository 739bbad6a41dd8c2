package app

import (
	"context"
	"fmt"
	"time"

	"bendline/app/study"
)

// Open opens what was named on the command line or dropped on the window: a
// study, or its folder; captures, or a folder of them, are brought in. Nothing
// named opens the last study, if it is still there, and else stays at the welcome
// page.
func (w *Window) Open(paths []string) {
	if len(paths) == 0 {
		if exists(w.prefs.LastStudy) {
			w.OpenStudy(w.prefs.LastStudy)
		}
		return
	}
	if w.openCaptures(paths) {
		return
	}
	path, err := locate(paths)
	if err != nil {
		w.store.Do(Say{Notice{sentence(err), true}})
		return
	}
	w.OpenStudy(path)
}

// OpenStudy opens the study at a path, or in a folder, and analyses it.
func (w *Window) OpenStudy(path string) {
	w.leaving(func() {
		left := &leftover{}
		w.jobs.start("Opening", func(_ context.Context, post func(Command)) error {
			file, err := locate([]string{path})
			if err != nil {
				return err
			}
			return left.open(file, post)
		}, func() { w.opened(left) })
	})
}

// OpenDemo opens the demo, and makes it first if it is not there.
func (w *Window) OpenDemo() {
	w.leaving(func() {
		left := &leftover{}
		w.jobs.start("Simulating the demo", func(ctx context.Context, post func(Command)) error {
			file, err := demo(ctx, w.around.Demo, post)
			if err != nil {
				return err
			}
			return left.open(file, post)
		}, func() {
			w.opened(left)
			if !w.prefs.Toured {
				w.takeTour()
			}
		})
	})
}

// takeTour begins the tour.
func (w *Window) takeTour() {
	w.store.Do(TakeTour{1})
	w.prefs.Toured = true
	w.keepPreferences()
}

// A leftover is what was not saved of a study when the program last ended.
type leftover struct {
	study *study.Study // nil for nothing
	at    time.Time
	err   error // why it cannot be read
}

// open opens a study file and looks for what was left.
func (l *leftover) open(file string, post func(Command)) error {
	st, err := study.Open(file)
	if err != nil {
		return err
	}
	l.study, l.at, l.err = study.Recover(file)
	post(Opened{st})
	return nil
}

// opened remembers the study that was just opened, offers what was not saved of
// it, and analyses it.
func (w *Window) opened(left *leftover) {
	st := w.store.State().Study
	w.prefs = w.prefs.opened(st.Path)
	w.welcome.form.setRecent(w.prefs.Recent)
	w.menu.setRecent(w, w.prefs.Recent)
	w.keepPreferences()
	switch {
	case left.err != nil:
		w.store.Do(Say{Notice{"Changes that were not saved were found and cannot be read: " + sentence(left.err), true}})
	case left.study != nil:
		w.offer(st, left)
	}
	if last := w.prefs.Bay; last.Study == st.Path && !last.Ended {
		w.store.Do(ShowScreen{BayScreen}) // the program ended in a fitting session
	}
	w.analyze()
}

// offer asks whether the changes that were not saved are to be taken back.
func (w *Window) offer(st *study.Study, left *leftover) {
	still := func(do func()) func() {
		return func() {
			if w.store.State().Study == st {
				do()
			}
		}
	}
	w.ask("Changes were not saved", fmt.Sprintf(
		"When the program last ended, changes to this study were not saved (%s). Take them back? You can still undo them.",
		left.at.Format("2 January 2006, 15:04")),
		reply{"Give them up", still(func() { w.safe.do(func() error { return study.DropAutosave(st.Path) }) })},
		reply{"Take them back", still(func() { w.change(Recovered{left.study}) })})
}

// keepPreferences writes the preferences, beside the window.
func (w *Window) keepPreferences() {
	p, file := w.prefs, w.around.Preferences
	w.writing.do(func() error { return p.Write(file) })
}
