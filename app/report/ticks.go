package report

import (
	"math"

	"gonum.org/v1/plot"
)

// ticks marks the multiples of a step.
type ticks struct {
	step   float64
	digits int // decimals of the labels
	format
}

// Ticks implements plot.Ticker.
func (t ticks) Ticks(min, max float64) []plot.Tick {
	var marks []plot.Tick
	const slack = 1e-9 // of a step, for rounding in min and max
	for k := math.Ceil(min/t.step - slack); k*t.step <= max+slack*t.step; k++ {
		marks = append(marks, plot.Tick{Value: k * t.step, Label: t.number(k*t.step, t.digits)})
	}
	return marks
}

// round returns the axis limits and ticks that hold lo to hi in about n steps
// of 1, 2 or 5 times a power of ten; 0 to 1 where lo or hi is not finite.
func (f format) round(lo, hi float64, n int) (min, max float64, t ticks) {
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) || math.IsNaN(lo+hi) {
		lo, hi = 0, 1
	}
	if hi <= lo {
		d := math.Max(math.Abs(lo)*0.1, 1e-3)
		lo, hi = lo-d, hi+d
	}
	raw := (hi - lo) / float64(n)
	power := math.Floor(math.Log10(raw))
	base := math.Pow(10, power)
	step := 10 * base
	for _, m := range []float64{1, 2, 5} {
		if m*base >= raw*(1-1e-9) {
			step = m * base
			break
		}
	}
	t = ticks{format: f, step: step, digits: int(math.Max(0, -math.Floor(math.Log10(step)+1e-9)))}
	return math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, t
}

// names marks whole numbers 0, 1, 2… with words.
type names []string

// Ticks implements plot.Ticker.
func (n names) Ticks(min, max float64) []plot.Tick {
	marks := make([]plot.Tick, len(n))
	for i, s := range n {
		marks[i] = plot.Tick{Value: float64(i), Label: s}
	}
	return marks
}
