package report

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
)

// The tip is drawn as far from the unbent shaft as is stated: factor times the
// deflection, in the scale along the shaft.
func TestStandExaggeratesAsStated(t *testing.T) {
	x := []float64{0, 500, 1000}
	for _, tip := range []float64{-80, -3, 12, 55} {
		p := pose{looks[0], []float64{0, tip / 4, tip}}
		box := vg.Point{X: 120, Y: 300}
		s := newStand(x, []pose{p}, box)
		var c recorder.Canvas
		s.draw(draw.Canvas{Canvas: &c, Rectangle: vg.Rectangle{Min: vg.Point{X: 50, Y: 40}, Max: vg.Point{X: 50 + box.X, Y: 40 + box.Y}}}, []pose{p})
		var lines []vg.Path
		for _, a := range c.Actions {
			if l, ok := a.(*recorder.Stroke); ok {
				lines = append(lines, l.Path)
			}
		}
		unbent, bent := lines[0][1].Pos, lines[1][2].Pos
		const along = 300.0 / 1000
		if got, want := float64(bent.X-unbent.X), tip*s.factor*along; math.Abs(got-want) > 1e-9 || bent.Y != unbent.Y {
			t.Errorf("a tip at %v mm is drawn %v pt off, want %v", tip, got, want)
		}
		if bent.X < 50 || bent.X > 50+box.X {
			t.Errorf("a tip at %v mm lies at %v, outside of the box", tip, bent.X)
		}
	}
}

// The exaggeration stated on the slide of shapes is that of its plots.
func TestShapeStatesItsExaggeration(t *testing.T) {
	p := format{}.newPanel("", "", "distance")
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1200, -10, 40
	bare := format{}.newPanel("", "", "")
	*bare.Plot = *p.Plot
	bare.X.Label.Text = ""
	c := draw.Canvas{Canvas: &recorder.Canvas{}, Rectangle: body}
	spy := &sizes{}
	p.Add(spy)
	drawPanels(c, [][]*panel{{bare}, {p}})
	want := float64(spy.last.Y/50) / float64(spy.last.X/1200)
	if got := exaggeration(c, p.Plot); math.Abs(got-want) > 1e-9*want {
		t.Errorf("stated %v, drawn %v", got, want)
	}
}

// sizes notes the size of the data area it is plotted on.
type sizes struct{ last vg.Point }

func (s *sizes) Plot(c draw.Canvas, _ *plot.Plot) { s.last = c.Size() }

// What is drawn of the cover and of a table, action by action.
func TestGoldenActions(t *testing.T) {
	var b strings.Builder
	for _, s := range deckOf(t, small).Slides[:2] {
		var c recorder.Canvas
		s.Draw(&c)
		for _, a := range c.Actions {
			fmt.Fprintln(&b, a.Call())
		}
	}
	const path = "testdata/actions.txt"
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	got, golden := strings.Split(b.String(), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(golden)) {
		if lineAt(got, i) != lineAt(golden, i) {
			t.Fatalf("line %d of %s differs (go test -update writes it anew):\ngot  %s\nwant %s", i+1, path, lineAt(got, i), lineAt(golden, i))
		}
	}
}
