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

// nameDots puts the names of dots beside, above or below them, in the order of
// the scene, on no dot where there is room, and leaves out any that would lie on
// another. n is how many names there are already; it returns how many there are
// then.
func (r *shaftRenderer) nameDots(n int, l lens) int {
	size := r.raster.Size()
	var names, dots []fyne.Position // of each a top left corner and a bottom right one
	for _, d := range r.view.scene.Dots {
		if x, y, _, _, ok := l.project(d.At); ok {
			half := float32(d.Size) / 2
			dots = append(dots, fyne.NewPos(float32(x)-half, float32(y)-half), fyne.NewPos(float32(x)+half, float32(y)+half))
		}
	}
	free := func(taken []fyne.Position, a, b fyne.Position) bool {
		for i := 0; i < len(taken); i += 2 {
			if a.X < taken[i+1].X && taken[i].X < b.X && a.Y < taken[i+1].Y && taken[i].Y < b.Y {
				return false
			}
		}
		return a.X >= 0 && a.Y >= 0 && b.X <= size.Width && b.Y <= size.Height
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
		at, half := fyne.NewPos(float32(x), float32(y)), fyne.NewPos(text.Width/2, text.Height/2)
		places := []fyne.Position{
			at.AddXY(beside, -half.Y), at.AddXY(-beside-text.Width, -half.Y),
			at.AddXY(-half.X, -beside-text.Height+2), at.AddXY(-half.X, beside-2),
		}
		place := func(among []fyne.Position) bool {
			for _, a := range places {
				if b := a.AddXY(text.Width, text.Height); free(names, a, b) && free(among, a, b) {
					names = append(names, a, b)
					t.Move(r.raster.Position().Add(a))
					return true
				}
			}
			return false
		}
		if place(dots) || place(nil) {
			n++
		}
	}
	return n
}
