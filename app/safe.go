package app

import "bendline/app/study"

// A turn does work beside the window, one piece at a time, and of what is asked
// meanwhile only the latest: for files that are written over and over.
type turn struct {
	around Surroundings
	store  *Store
	busy   bool
	next   func() error
}

// do does the work, or does it next.
func (t *turn) do(work func() error) {
	if t.busy {
		t.next = work
		return
	}
	t.busy = true
	t.around.Go(func() {
		err := work()
		t.around.Later(func() {
			t.busy = false
			if err != nil {
				t.store.Do(Say{Notice{sentence(err), true}})
			}
			if next := t.next; next != nil {
				t.next = nil
				t.do(next)
			}
		})
	})
}

// keepSafe writes the study's changes beside its file, so that nothing is lost
// if the program ends now, or takes them away from there if all is saved.
func (w *Window) keepSafe() {
	s := w.store.State()
	switch st := s.Study; {
	case st == nil:
	case s.Unsaved():
		w.safe.do(st.Autosave)
	default:
		w.safe.do(func() error { return study.DropAutosave(st.Path) })
	}
}
