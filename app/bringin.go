package app

import (
	"fyne.io/fyne/v2"
)

// A page is a screen that is not always there.
type page interface {
	object() fyne.CanvasObject
	present(State)
}

// BringIn opens the page that brings captures into the study, with files to
// begin with.
type BringIn struct{ Files []string }

func (c BringIn) apply(s State) State {
	s.Bringing, s.BringFiles, s.Playing = true, c.Files, false
	return s
}

// BringInEnd leaves that page.
type BringInEnd struct{}

func (BringInEnd) apply(s State) State {
	s.Bringing, s.BringFiles = false, nil
	return s
}

// bringIn opens the page that brings captures in.
func (w *Window) bringIn(files []string) { w.beginImport(files) }
