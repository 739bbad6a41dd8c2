package app

import (
	"math"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
)

// fourPanes is a window with the two runs of the small study in four panes,
// with their markers.
func fourPanes(b *testing.B) *Window {
	b.Helper()
	dir := b.TempDir()
	x := New(test.NewTempApp(b), Surroundings{
		Later: func(f func()) { f() }, Go: func(f func()) { f() }, Now: time.Now,
		Preferences: dir + "/p.json", Demo: dir + "/demo", Results: dir + "/results",
	})
	x.win.Resize(fyne.NewSize(1920, 1080))
	x.OpenStudy(smallStudy(b))
	s := x.store.State()
	// The same two runs again under other names.
	x.change(Edit{func(st *study.Study) bool {
		for _, run := range st.Runs {
			run.ID += "-again"
			st.Runs = append(st.Runs, run)
		}
		return true
	}})
	for _, run := range x.store.State().Study.Runs[len(s.Study.Runs):] {
		x.store.Do(ShowRun{run.ID, true})
	}
	x.showMarkers(true)
	x.win.Canvas().Capture()
	return x
}

// rasters returns the pictures in an object.
func rasters(o fyne.CanvasObject) []*canvas.Raster {
	switch v := o.(type) {
	case *canvas.Raster:
		return []*canvas.Raster{v}
	case fyne.Widget:
		var list []*canvas.Raster
		for _, c := range test.WidgetRenderer(v).Objects() {
			list = append(list, rasters(c)...)
		}
		return list
	}
	return nil
}

// BenchmarkFourPanes is what a frame costs when four panes of 19 markers and 60
// stations play: commands, scenes, and painting 420 by 520 pixels each.
func BenchmarkFourPanes(b *testing.B) {
	w := fourPanes(b)
	s := w.store.State()
	if len(s.Panes) != 4 || w.swing.panes[3].figure.seen == nil {
		b.Fatalf("%d panes", len(s.Panes))
	}
	var pictures []*canvas.Raster
	for _, p := range w.swing.panes[:4] {
		for _, r := range rasters(p.view) {
			if r.Size().Height > 100 { // not the key
				pictures = append(pictures, r)
			}
		}
	}
	if len(pictures) != 4 {
		b.Fatalf("%d pictures", len(pictures))
	}
	from, to, step := s.Span()
	t := from
	for b.Loop() {
		if t += step; t > to {
			t = from
		}
		w.store.Do(Seek{t})
		for _, p := range pictures {
			p.Generator(420, 520)
		}
	}
}

// BenchmarkScrub is what a move of the pointer on the time bar costs until the
// whole window is painted, with curves, a profile and a map.
func BenchmarkScrub(b *testing.B) {
	w := fourPanes(b)
	w.store.Do(SetChart{1, "curvature"})
	w.store.Do(SetChart{2, "lead_map"})
	from, to, _ := w.store.State().Span()
	i := 0
	for b.Loop() {
		i++
		w.store.Do(Seek{from + (to-from)*math.Mod(float64(i)*0.37, 1)})
		w.win.Canvas().Capture()
	}
}
