package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// bayScreen is the fitting bay: where a session starts, and its live page.
type bayScreen struct {
	root  fyne.CanvasObject
	start *bayStart
	live  *bayLive
}

func newBayScreen(w *Window) *bayScreen {
	b := &bayScreen{start: newBayStart(w), live: newBayLive(w)}
	b.root = container.NewStack(b.start.root, b.live.root)
	return b
}

func (b *bayScreen) present(s State) {
	show(b.start.root, !s.Bay.On())
	show(b.live.root, s.Bay.On())
	if s.Bay.On() {
		b.live.present(s)
	} else {
		b.start.present(s)
	}
}
