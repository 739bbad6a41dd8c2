package study

import (
	"io"
	"math"
)

type comparisonJSON struct {
	Format    string        `json:"format"`
	Version   int           `json:"version"`
	Baseline  string        `json:"baseline"`
	Prototype string        `json:"prototype"`
	Design    Design        `json:"design"`
	Measures  []measureJSON `json:"measures"`
	Curves    []curveJSON   `json:"curves"`
	LeftOut   []leftOutJSON `json:"left_out"`
}

type measureJSON struct {
	Measure    string         `json:"measure"`
	Baseline   summaryJSON    `json:"baseline"`
	Prototype  summaryJSON    `json:"prototype"`
	Difference differenceJSON `json:"difference"`
}

type summaryJSON struct {
	Runs    int    `json:"runs"`
	Players int    `json:"players"`
	Mean    number `json:"mean"`
	SD      number `json:"sd"`
}

type differenceJSON struct {
	Value number     `json:"value"`
	CI95  *[2]number `json:"ci95"`
	T     number     `json:"t"`
	DF    number     `json:"df"`
	P     number     `json:"p"`
	Why   string     `json:"why,omitempty"` // there is no interval
}

type curveJSON struct {
	Measure       string         `json:"measure"`
	Axis          string         `json:"axis"`
	X             []number       `json:"x"`
	BaselineMean  []number       `json:"baseline_mean"`
	PrototypeMean []number       `json:"prototype_mean"`
	T             []number       `json:"t"`
	Threshold     *float64       `json:"threshold,omitempty"`
	Intervals     []intervalJSON `json:"intervals,omitzero"`
}

type intervalJSON struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
	P    float64 `json:"p"`
}

type leftOutJSON struct {
	Run string `json:"run"`
	Why string `json:"why"`
}

// WriteComparison writes a comparison with its curves as JSON
// (bendline-comparison, version 1). A value that is not known is null. Where
// too few curves allow no threshold, threshold and intervals are absent.
func WriteComparison(w io.Writer, c *Comparison) error {
	out := comparisonJSON{
		Format: "bendline-comparison", Version: 1,
		Baseline: c.Baseline, Prototype: c.Prototype, Design: c.Design,
		LeftOut: make([]leftOutJSON, len(c.LeftOut)),
	}
	for _, d := range c.Measures {
		m := measureJSON{
			Measure:  d.Measure.Key,
			Baseline: newSummaryJSON(d.Baseline), Prototype: newSummaryJSON(d.Prototype),
			Difference: differenceJSON{Value: number(d.Value), T: number(d.T), DF: number(d.DF), P: number(d.P), Why: d.Why},
		}
		if !math.IsNaN(d.Low) {
			m.Difference.CI95 = &[2]number{number(d.Low), number(d.High)}
		}
		out.Measures = append(out.Measures, m)
	}
	curves, err := c.Curves()
	if err != nil {
		return err
	}
	for _, d := range curves {
		out.Curves = append(out.Curves, newCurveJSON(d))
	}
	for i, l := range c.LeftOut {
		out.LeftOut[i] = leftOutJSON(l)
	}
	return writeJSON(w, out)
}

func newSummaryJSON(s Summary) summaryJSON {
	return summaryJSON{s.Runs, s.Players, number(s.Mean), number(s.SD)}
}

func newCurveJSON(d CurveDifference) curveJSON {
	out := curveJSON{
		Measure: d.Measure.Key, Axis: "s_to_impact",
		X:            numbers(d.Baseline.X),
		BaselineMean: numbers(d.Baseline.Mean), PrototypeMean: numbers(d.Prototype.Mean),
		T: numbers(d.T),
	}
	if !math.IsNaN(d.Threshold) {
		out.Threshold = &d.Threshold
		out.Intervals = make([]intervalJSON, len(d.Intervals))
		for i, v := range d.Intervals {
			out.Intervals[i] = intervalJSON(v)
		}
	}
	return out
}
