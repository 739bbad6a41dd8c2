package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// entry is an entry in a dialog: Escape, which widget.Entry keeps to itself,
// closes the dialog.
type entry struct {
	widget.Entry
	escape func()
}

func newEntry(escape func()) *entry {
	e := &entry{escape: escape}
	e.ExtendBaseWidget(e)
	return e
}

// TypedKey is part of fyne.Focusable.
func (e *entry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.escape()
		return
	}
	e.Entry.TypedKey(k)
}

// asking reports whether a dialog is open.
func (w *Window) asking() bool { return w.win.Canvas().Overlays().Top() != nil }

// escape closes the dialog that is open, if any.
func (w *Window) escape() {
	if over := w.win.Canvas().Overlays().Top(); over != nil {
		over.Hide()
	}
}
