package app

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

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
			w.keepSafe()
			if then != nil {
				then()
			}
		})
	})
}

// askPath asks for a path in a dialog.
func (w *Window) askPath(title, do, hint, path string, then func(path string)) {
	if w.asking() {
		return
	}
	e := newEntry(w.escape)
	e.SetText(path)
	item := widget.NewFormItem("File", w.withFolder(e))
	item.HintText = hint
	form := dialog.NewForm(title, do, "Close", []*widget.FormItem{item}, func(ok bool) {
		if path := strings.TrimSpace(e.Text); ok && path != "" {
			then(path)
		}
	}, w.win)
	form.Resize(fyne.NewSize(720, 190))
	e.OnSubmitted = func(string) { form.Submit() }
	form.Show()
	w.win.Canvas().Focus(e)
}

// askSaveAs asks where else the study is to be kept.
func (w *Window) askSaveAs() {
	st := w.store.State().Study
	if st == nil {
		return
	}
	w.askPath("Save the study as", "Save", "in another folder, the captures are copied there too", st.Path, w.saveAs)
}

// saveAs keeps the study, from now on, in another file.
func (w *Window) saveAs(path string) {
	st := w.store.State().Study
	path = studyPath(path)
	if path == st.Path {
		w.saveStudy(nil)
		return
	}
	if exists(path) {
		w.store.Do(Say{Notice{fmt.Sprintf("%s is there already; choose another name.", path), true}})
		return
	}
	var moved *study.Study
	w.jobs.start("Copying", func(ctx context.Context, post func(Command)) (err error) {
		moved, err = st.CopyTo(ctx, path, func(done, total int, _ string) {
			post(Work{Job{Title: "Copying", Done: done, Total: total}})
		})
		return err
	}, func() {
		if w.store.State().Study != st {
			w.store.Do(Say{Notice{"The study was changed while it was copied; the copy is as it was before.", true}})
			return
		}
		old := st.Path
		w.store.Do(Moved{moved.Path})
		w.safe.do(func() error { return study.DropAutosave(old) })
		w.prefs = w.prefs.opened(moved.Path)
		w.menu.setRecent(w, w.prefs.Recent)
		w.keepPreferences()
		w.store.Do(Say{Notice{Text: "Saved as " + moved.Path + "."}})
		w.catchUp()
	})
}

// studyPath returns the study file that a path stands for: a folder's own, and
// one with the ending of a study.
func studyPath(path string) string {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, studyFile)
	}
	if filepath.Ext(path) == "" {
		path += ".json"
	}
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	return path
}

// askNew asks where a new study is to be.
func (w *Window) askNew() {
	home, err := os.UserHomeDir()
	if err != nil {
		home = ""
	}
	w.askPath("Begin a new study", "Begin", "best in a folder of its own, beside or above its captures",
		filepath.Join(home, "new-study", studyFile), w.newStudy)
}

// newStudy begins an empty study in a file, and goes where captures are brought
// in.
func (w *Window) newStudy(path string) {
	path = studyPath(path)
	w.leaving(func() {
		w.jobs.start("Beginning", func(_ context.Context, post func(Command)) error {
			if exists(path) {
				return fmt.Errorf("app: %s is there already; choose another name, or open it", path)
			}
			if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
				return fmt.Errorf("app: cannot make the folder: %w", errors.Unwrap(err))
			}
			st := &study.Study{Path: path, Title: filepath.Base(filepath.Dir(path)), World: study.World{Up: "+z", Target: "+x"}}
			if err := st.Save(path); err != nil {
				return err
			}
			post(Opened{st})
			return nil
		}, func() {
			w.opened(&leftover{})
			w.beginImport(nil)
		})
	})
}
