package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// A tick is a check that gives the keyboard back to the window when clicked, so
// that the space bar goes on playing.
type tick struct{ widget.Check }

// newTick returns a tick; changed is told what the user makes of it.
func newTick(text string, changed func(on bool)) *tick {
	t := &tick{}
	t.Text = text
	t.ExtendBaseWidget(t)
	t.OnChanged = changed
	return t
}

// set ticks or unticks without telling anyone.
func (t *tick) set(on bool) {
	if t.Checked != on {
		t.Checked = on
		t.Refresh()
	}
}

// Tapped is part of fyne.Tappable.
func (t *tick) Tapped(e *fyne.PointEvent) {
	t.Check.Tapped(e)
	if c := fyne.CurrentApp().Driver().CanvasForObject(t); c != nil {
		c.Unfocus()
	}
}
