package app

import (
	"context"

	"bendline/app/study"
)

// Open opens what was named on the command line or dropped on the window: a
// study, or its folder. Nothing named opens the last study, if it is still
// there, and else stays at the welcome page.
func (w *Window) Open(paths []string) {
	if len(paths) == 0 {
		if exists(w.prefs.LastStudy) {
			w.OpenStudy(w.prefs.LastStudy)
		}
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
		w.jobs.start("Opening", func(_ context.Context, post func(Command)) error {
			file, err := locate([]string{path})
			if err != nil {
				return err
			}
			return openAt(file, post)
		}, w.opened)
	})
}

// OpenDemo opens the demo, and makes it first if it is not there.
func (w *Window) OpenDemo() {
	w.leaving(func() {
		w.jobs.start("Simulating the demo", func(ctx context.Context, post func(Command)) error {
			file, err := demo(ctx, w.around.Demo, post)
			if err != nil {
				return err
			}
			return openAt(file, post)
		}, w.opened)
	})
}

func openAt(file string, post func(Command)) error {
	st, err := study.Open(file)
	if err != nil {
		return err
	}
	post(Opened{st})
	return nil
}

// opened remembers the study that was just opened, and analyses it.
func (w *Window) opened() {
	w.prefs = w.prefs.opened(w.store.State().Study.Path)
	w.welcome.form.setRecent(w.prefs.Recent)
	w.keepPreferences()
	w.analyze()
}

// keepPreferences writes the preferences, beside the window.
func (w *Window) keepPreferences() {
	p, file := w.prefs, w.around.Preferences
	w.around.Go(func() {
		if err := p.Write(file); err != nil {
			w.around.Later(func() { w.store.Do(Say{Notice{sentence(err), true}}) })
		}
	})
}

// saveStudy writes the study back where it came from, and then goes on.
func (w *Window) saveStudy(then func()) {
	st := w.store.State().Study
	if st == nil {
		return
	}
	w.around.Go(func() {
		err := st.Save(st.Path)
		w.around.Later(func() {
			if err != nil {
				w.store.Do(Say{Notice{sentence(err), true}})
				return
			}
			w.store.Do(Saved{st})
			w.store.Do(Say{Notice{Text: "Saved."}})
			if then != nil {
				then()
			}
		})
	})
}
