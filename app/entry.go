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

// nameEntry is an entry with a list of names that may be chosen. What is typed
// takes the place of what was there.
type nameEntry struct {
	widget.SelectEntry
	fresh fresh
}

func newNameEntry(names []string) *nameEntry {
	e := &nameEntry{}
	e.Wrapping = fyne.TextWrap(fyne.TextTruncateClip) // one line, as of any SelectEntry
	e.ExtendBaseWidget(e)
	e.SetOptions(names)
	return e
}

// FocusGained is part of fyne.Focusable.
func (e *nameEntry) FocusGained() {
	e.SelectEntry.FocusGained()
	e.fresh.gained(e)
}

// Tapped is part of fyne.Tappable.
func (e *nameEntry) Tapped(at *fyne.PointEvent) {
	e.SelectEntry.Tapped(at)
	e.fresh.tapped(e)
}

// fresh is whether an entry has just got the keyboard. All of its text is then
// selected, so that what is typed takes its place.
type fresh bool

func (f *fresh) gained(e fyne.Shortcutable) {
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	*f = true
}

// tapped selects again where the click was the one that brought the keyboard: it
// has put the cursor among the letters.
func (f *fresh) tapped(e fyne.Shortcutable) {
	if *f {
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
	*f = false
}

// asking reports whether a dialog is open.
func (w *Window) asking() bool { return w.win.Canvas().Overlays().Top() != nil }

// escape closes the dialog that is open, if any.
func (w *Window) escape() {
	if over := w.win.Canvas().Overlays().Top(); over != nil {
		over.Hide()
	}
}
