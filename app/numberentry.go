package app

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
)

// numberEntry is an entry for a positive number, empty for none.
type numberEntry struct {
	entry
	value float64
	fresh fresh
	take  func(v float64)
}

func newNumberEntry(hint string, take func(v float64)) *numberEntry {
	e := &numberEntry{take: take}
	e.escape = func() { e.SetText(numberText(e.value)) }
	e.ExtendBaseWidget(e)
	e.SetPlaceHolder(hint)
	e.OnSubmitted = func(string) { e.submit() }
	return e
}

// submit takes over what was typed, or puts back what was there before.
func (e *numberEntry) submit() {
	v, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(e.Text), ",", "."), 64)
	switch {
	case strings.TrimSpace(e.Text) == "":
		v = 0
	case err != nil || !(v >= 0) || v > 1e9:
		e.SetText(numberText(e.value))
		return
	}
	if v != e.value {
		e.value = v
		e.take(v)
	}
}

// FocusGained is part of fyne.Focusable. What is typed takes the place of what
// was there.
func (e *numberEntry) FocusGained() {
	e.entry.FocusGained()
	e.fresh.gained(e)
}

// Tapped is part of fyne.Tappable.
func (e *numberEntry) Tapped(at *fyne.PointEvent) {
	e.entry.Tapped(at)
	e.fresh.tapped(e)
}

// FocusLost is part of fyne.Focusable.
func (e *numberEntry) FocusLost() {
	e.entry.FocusLost()
	e.submit()
}

// set shows a number without telling anyone; 0 for none.
func (e *numberEntry) set(v float64) {
	if v != e.value || e.Text == "" && v != 0 {
		e.value = v
		e.SetText(numberText(v))
	}
}

func numberText(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
