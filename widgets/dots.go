package widgets

import (
	"math"

	"fyne.io/fyne/v2"
)

// DotAt returns the dot of the scene that is nearest to a place in the view, by
// its number, -1 if none is within reach. Of those that are hardly farther, the
// one nearest to the eye is meant.
func (v *ShaftView) DotAt(at fyne.Position) int {
	if v.raster == nil {
		return -1
	}
	const (
		reach = 14 // dp
		even  = 3  // dp, by which a hand misses
	)
	at = at.Subtract(v.raster.Position())
	size := v.raster.Size()
	l := v.camera.lens(float64(size.Width), float64(size.Height))
	best, off, depth := -1, float64(reach), math.Inf(-1)
	for i, d := range v.scene.Dots {
		x, y, _, near, ok := l.project(d.At)
		if !ok {
			continue
		}
		far := math.Hypot(x-float64(at.X), y-float64(at.Y))
		if far < off-even || far <= off+even && far <= reach && near > depth {
			best, off, depth = i, math.Min(off, far), near
		}
	}
	return best
}

// nameDots puts the names of dots beside them, in the order of the scene,
// and leaves out any that would lie on another. n is how many names there
// are already; it returns how many there are then.
func (r *shaftRenderer) nameDots(n int, l lens) int {
	size := r.raster.Size()
	var taken []fyne.Position // top left corners, then bottom right ones
	free := func(a, b fyne.Position) bool {
		for i := 0; i < len(taken); i += 2 {
			if a.X < taken[i+1].X && taken[i].X < b.X && a.Y < taken[i+1].Y && taken[i].Y < b.Y {
				return false
			}
		}
		return true
	}
	for _, d := range r.view.scene.Dots {
		if d.Label == "" {
			continue
		}
		x, y, _, _, ok := l.project(d.At)
		if !ok {
			continue
		}
		t := r.names.take(n, d.Label, r.look.readable(r.look.or(d.Color)), r.look.small)
		text := t.MinSize()
		beside := float32(d.Size)/2 + 4
		for _, left := range []float32{float32(x) + beside, float32(x) - beside - text.Width} {
			a := fyne.NewPos(left, float32(y)-text.Height/2)
			b := a.AddXY(text.Width, text.Height)
			if a.X < 0 || a.Y < 0 || b.X > size.Width || b.Y > size.Height || !free(a, b) {
				continue
			}
			taken = append(taken, a, b)
			t.Move(r.raster.Position().Add(a))
			n++
			break
		}
	}
	return n
}
