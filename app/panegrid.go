package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// paneGrid lays panes out in as many columns as make their shorter side the
// longest.
type paneGrid struct{}

// columns returns how many panes stand side by side in a size.
func (paneGrid) columns(n int, size fyne.Size) int {
	best, most := 1, float32(-1)
	for c := 1; c <= n; c++ {
		rows := (n + c - 1) / c
		side := min(size.Width/float32(c), size.Height/float32(rows))
		if side > most {
			best, most = c, side
		}
	}
	return best
}

// MinSize is part of fyne.Layout.
func (paneGrid) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(400, 150) }

// Layout is part of fyne.Layout.
func (g paneGrid) Layout(o []fyne.CanvasObject, size fyne.Size) {
	if len(o) == 0 {
		return
	}
	columns := g.columns(len(o), size)
	rows := (len(o) + columns - 1) / columns
	pad := theme.Padding()
	w, h := (size.Width+pad)/float32(columns), (size.Height+pad)/float32(rows)
	for i, p := range o {
		p.Move(fyne.NewPos(w*float32(i%columns), h*float32(i/columns)))
		p.Resize(fyne.NewSize(w-pad, h-pad))
	}
}

var _ fyne.Layout = paneGrid{}
