package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// ground paints the ground of the window. Fyne (2.7.1) clears a window with a
// colour a little lighter than its theme says, against which everything that has a
// ground of its own, as tables and plots, would stand out as a box.
type ground struct{ widget.BaseWidget }

func newGround() *ground {
	g := &ground{}
	g.ExtendBaseWidget(g)
	return g
}

// CreateRenderer is part of fyne.Widget.
func (g *ground) CreateRenderer() fyne.WidgetRenderer {
	r := &groundRenderer{widget.NewSimpleRenderer(canvas.NewRectangle(nil)), g}
	r.Refresh()
	return r
}

type groundRenderer struct {
	fyne.WidgetRenderer
	of *ground
}

// Refresh is part of fyne.WidgetRenderer.
func (r *groundRenderer) Refresh() {
	rectangle := r.Objects()[0].(*canvas.Rectangle)
	rectangle.FillColor = r.of.Theme().Color(theme.ColorNameBackground, fyne.CurrentApp().Settings().ThemeVariant())
	rectangle.Refresh()
}
