package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// keyList is a list in which up, down and the page keys choose a row, a click
// with the control key toggles one and a click with shift takes all from the
// chosen one to it. It hands the keys it has no use for to the window. Its rows
// are made of listRows.
type keyList struct {
	widget.List

	OnToggle func(i int)        // nil where rows cannot be ticked
	OnRange  func(from, to int) // from ≤ to

	other func(*fyne.KeyEvent)
	held  func() fyne.KeyModifier
	at    int // the row chosen last
}

func newKeyList(other func(*fyne.KeyEvent)) *keyList {
	l := &keyList{other: other, held: heldKeys}
	l.HideSeparators = true
	l.ExtendBaseWidget(l)
	return l
}

// heldKeys returns the modifier keys that are down.
func heldKeys() fyne.KeyModifier {
	if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		return d.CurrentKeyModifiers()
	}
	return 0
}

// Select chooses a row and brings it into view.
func (l *keyList) Select(i widget.ListItemID) {
	l.at = i
	l.List.Select(i)
}

// FocusGained is part of fyne.Focusable: the chosen row shows where the keyboard
// is.
func (l *keyList) FocusGained() {}

// moves reports whether a key chooses another row of a keyList.
func moves(key fyne.KeyName) bool {
	switch key {
	case fyne.KeyUp, fyne.KeyDown, fyne.KeyPageUp, fyne.KeyPageDown:
		return true
	}
	return false
}

// TypedKey is part of fyne.Focusable.
func (l *keyList) TypedKey(e *fyne.KeyEvent) {
	if !moves(e.Name) {
		l.other(e)
		return
	}
	by := 1
	if e.Name == fyne.KeyPageUp || e.Name == fyne.KeyPageDown {
		by = l.page()
	}
	if e.Name == fyne.KeyUp || e.Name == fyne.KeyPageUp {
		by = -by
	}
	if n := l.Length(); n > 0 {
		l.Select(max(0, min(l.at+by, n-1)))
	}
}

// page returns how many rows are in view, but for one.
func (l *keyList) page() int {
	row := l.CreateItem().MinSize().Height + l.Theme().Size(theme.SizeNamePadding)
	return max(1, int(l.Size().Height/row)-1)
}

// clicked is told of a click on a row.
func (l *keyList) clicked(i int) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(l); c != nil {
		c.Focus(l)
	}
	switch held := l.held(); {
	case held&fyne.KeyModifierShift != 0 && l.OnRange != nil:
		l.OnRange(min(l.at, i), max(l.at, i))
	case held&fyne.KeyModifierShortcutDefault != 0 && l.OnToggle != nil:
		l.OnToggle(i)
	default:
		l.Select(i)
	}
}

// A listRow is what rows of a keyList begin with.
type listRow struct {
	widget.BaseWidget
	list *keyList
	at   int
}

// Tapped is part of fyne.Tappable.
func (r *listRow) Tapped(*fyne.PointEvent) { r.list.clicked(r.at) }
