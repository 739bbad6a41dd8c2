package report

import (
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
)

// Where values rest on filled markers a curve is dashed, and it is whole all the
// same.
func TestFilledCurve(t *testing.T) {
	l := filledCurve{curve{[]float64{0, 1, 2, 3, 4}, []float64{1, 1, 1, 1, 1}, draw.LineStyle{Color: ink, Width: 2}},
		[]bool{false, false, true, true, false}}
	p := format{}.newPanel("", "", "")
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 4, 0, 2
	var rec recorder.Canvas
	l.Plot(draw.NewCanvas(&rec, 100, 100), p.Plot)
	var dashed bool
	got := map[bool][][2]vg.Length{}
	for _, a := range rec.Actions {
		switch a := a.(type) {
		case *recorder.SetLineDash:
			dashed = len(a.Dashes) > 0
		case *recorder.Stroke:
			from, to := a.Path[0].Pos.X, a.Path[len(a.Path)-1].Pos.X
			got[dashed] = append(got[dashed], [2]vg.Length{from, to})
		}
	}
	whole, dashes := got[false], got[true]
	if len(whole) == 0 || whole[0] != [2]vg.Length{0, 50} || len(dashes) != 1 || dashes[0] != [2]vg.Length{50, 100} {
		t.Errorf("whole %v, dashed %v", whole, dashes)
	}
}
