package app

import (
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// demoSwing returns one analysed run of the demo.
func demoSwing(tb testing.TB) (*study.Study, *kinematics.Swing) {
	tb.Helper()
	st, err := study.Open(smallStudy(tb))
	if err != nil {
		tb.Fatal(err)
	}
	r := study.AnalyzeRun(context.Background(), st, st.Runs[0])
	if !r.OK() {
		tb.Fatal(r.Err)
	}
	return st, r.Swing
}

// TestFigure draws one frame near impact in every view and at every
// exaggeration. At factor 1 the head's path is the measured one.
func TestFigure(t *testing.T) {
	st, sw := demoSwing(t)
	i := sw.FrameAt(sw.Impact.Value) - 5
	for v := range viewNames {
		for _, factor := range exaggerations {
			f := newFigure(sw, st.Clubs[0], st.World, View(v), factor)
			s := f.scene(i, widgets.Palette[0], true)
			straight, bent := s.Rods[0].Line, s.Rods[1].Line
			if d := r3.Norm(r3.Sub(straight[0], bent[0])); d > 1e-9 {
				t.Errorf("%s, %g×: the butt is drawn %v m off the unbent line", viewNames[v], factor, d)
			}
			// The tip is off the unbent line by lead, droop and the shortening
			// of the bent line, each times the factor.
			tip := r3.Sub(f.tip(i).Origin, r3.Vec{Z: sw.Length})
			if got, want := r3.Norm(r3.Sub(bent[len(bent)-1], straight[1])), r3.Norm(tip); !within(got, want, 1e-6) {
				t.Errorf("%s, %g×: the tip is drawn %v m off the unbent line, want %v", viewNames[v], factor, got, want)
			}
			if !within(tip.X, factor*sw.Lead.Value[i], 1e-4) || !within(-tip.Y, factor*sw.Droop.Value[i], 1e-4) {
				t.Errorf("%s, %g×: tip at %v, lead %v, droop %v", viewNames[v], factor, tip, sw.Lead.Value[i], sw.Droop.Value[i])
			}
			if last := s.Trails[0].Points[len(s.Trails[0].Points)-1]; last != f.path[i] {
				t.Errorf("%s, %g×: the trail ends at %v, the head is at %v", viewNames[v], factor, last, f.path[i])
			}
			if s.Grid == View(v).gripFixed() {
				t.Errorf("%s: grid %v", viewNames[v], s.Grid)
			}
		}
	}
	f := newFigure(sw, st.Clubs[0], st.World, FaceOn, 1)
	if d := r3.Norm(r3.Sub(f.path[i], labAxes(st.World).scene(sw.Head[i]))); d > 2e-3 {
		t.Errorf("to scale, the head is drawn %v m from where it was measured", d)
	}
}

// BenchmarkFigure is what another exaggeration costs a pane, once.
func BenchmarkFigure(b *testing.B) {
	st, sw := demoSwing(b)
	for b.Loop() {
		newFigure(sw, st.Clubs[0], st.World, FaceOn, 3)
	}
}

// BenchmarkScene is what a frame costs a pane, without painting.
func BenchmarkScene(b *testing.B) {
	st, sw := demoSwing(b)
	f := newFigure(sw, st.Clubs[0], st.World, FaceOn, 3)
	i := sw.FrameAt(sw.Impact.Value)
	for b.Loop() {
		f.scene(i, widgets.Palette[0], true)
	}
}

// The points of a trail lie as far from each other, whatever the speed, and a gap
// stays one.
func TestTrailIsEven(t *testing.T) {
	path := make([]r3.Vec, 1000)
	for i := range path {
		path[i] = r3.Vec{X: math.Pow(float64(i)/999, 3)} // ever faster
	}
	path[900].X = math.NaN()
	list := evenly(path, 50)
	if len(list) < 45 || len(list) > 55 {
		t.Fatalf("%d points, want about 50", len(list))
	}
	if !slices.Contains(list, 900) || !slices.Contains(list, 901) {
		t.Errorf("the gap is bridged: %v", list)
	}
	for k := 1; k < len(list); k++ {
		if d := path[list[k]].X - path[list[k-1]].X; d > 0.025 {
			t.Errorf("from point %d to the next it is %g", k-1, d)
		}
	}
}
