package widgets

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// repaint has a raster painted anew and returns it, or another to stand in its
// place. Fyne forgets on which canvas an object is that was hidden for a while,
// so that a refresh is lost, but may still keep its picture: the old one would
// be shown again.
func repaint(r *canvas.Raster) *canvas.Raster {
	if fyne.CurrentApp().Driver().CanvasForObject(r) != nil {
		r.Refresh()
		return r
	}
	n := canvas.NewRaster(r.Generator)
	n.Resize(r.Size())
	n.Move(r.Position())
	n.Hidden = r.Hidden
	return n
}
