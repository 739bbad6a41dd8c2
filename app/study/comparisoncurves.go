package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
)

// An Axis is what a curve runs over, as files name it.
type Axis string

// The axes of curves.
const (
	ToImpact  Axis = "s_to_impact"          // −0.3 to 0
	Downswing Axis = "percent_of_downswing" // 0 at the top to 100 at impact
	Station   Axis = "station_mm"           // from the butt end
)

// A CurveDifference compares a measure along an axis, in shown units.
type CurveDifference struct {
	Measure             Measure
	Baseline, Prototype CurveSet
	T                   []float64 // of prototype minus baseline, NaN where it cannot be had
	Threshold           float64   // of |T| for the curve as a whole at 5 %; NaN where too few curves allow none
	Intervals           []CurveInterval

	Axis             Axis
	Value, Low, High []float64 // the difference, and the band that holds all of its true curve 95 % of the time
	Field            float64   // threshold of random field theory, beside that of permutation
	Ways             int       // permutations tried
	Exact            bool      // they are all there are
}

// A CurveInterval is where a curve differs, in units of its axis.
type CurveInterval struct{ From, To, P float64 }

// Curves compares every measure along the way to impact, as contrast.WelchCurves
// does for one player and contrast.PairedCurves for several.
func (c *Comparison) Curves() ([]CurveDifference, error) {
	x := toImpact()
	return c.curves(Measures, ToImpact, x, func(s *kinematics.Swing, m Measure) []float64 { return course(s, m, x) })
}

// DownswingCurves is Curves in per cent of each run's downswing, which holds
// swings of different tempo together at both ends. Runs without a top have no
// curve.
func (c *Comparison) DownswingCurves() ([]CurveDifference, error) {
	x := make([]float64, 101)
	for i := range x {
		x[i] = float64(i)
	}
	return c.curves(Measures, Downswing, x, func(s *kinematics.Swing, m Measure) []float64 {
		times := make([]float64, len(x))
		for i, percent := range x {
			times[i] = (percent - 100) / 100 * (s.Impact.Value - s.Top)
		}
		return course(s, m, times)
	})
}

// alongShaft are the quantities at impact that change along the shaft; they have
// no value at one place, and no course in time.
var alongShaft = []Measure{
	{Key: "lead_curvature_1_m", Label: "Lead curvature at impact", Unit: "1/m", Scale: 1, Digits: 3},
	{Key: "droop_curvature_1_m", Label: "Droop curvature at impact", Unit: "1/m", Scale: 1, Digits: 3},
}

// ShaftCurves compares the curvature at impact along the shaft, at every 10 mm
// that all runs reach; none where runs have no profile.
func (c *Comparison) ShaftCurves() ([]CurveDifference, error) {
	const every = 10 // mm
	low, high := 0.0, math.Inf(1)
	for _, r := range slices.Concat(c.BaselineRuns, c.PrototypeRuns) {
		s := r.Swing.Bend.Station
		if len(s) < 2 {
			return nil, nil
		}
		low, high = math.Max(low, s[0]*1e3), math.Min(high, s[len(s)-1]*1e3)
	}
	var x []float64
	for at := every * math.Ceil(low/every); at <= high; at += every {
		x = append(x, at)
	}
	return c.curves(alongShaft, Station, x, func(s *kinematics.Swing, m Measure) []float64 {
		v := s.Bend.LeadCurvature.Value
		if m.Key == alongShaft[1].Key {
			v = s.Bend.DroopCurvature.Value
		}
		return along(s.Bend.Station, v, x)
	})
}

// along returns v, known at stations in m, at x in mm, linear between them.
func along(station, v, x []float64) []float64 {
	out := make([]float64, len(x))
	for i, mm := range x {
		at := mm / 1e3
		k, _ := slices.BinarySearch(station, at)
		k = max(1, min(k, len(station)-1))
		part := (at - station[k-1]) / (station[k] - station[k-1])
		out[i] = (1-part)*v[k-1] + part*v[k]
	}
	return out
}

// curves compares measures over x, with read returning a run's curve.
func (c *Comparison) curves(measures []Measure, axis Axis, x []float64, read func(*kinematics.Swing, Measure) []float64) ([]CurveDifference, error) {
	var out []CurveDifference
	for _, m := range measures {
		own := func(s *kinematics.Swing) []float64 { return read(s, m) }
		baseline, prototype := playerCurves(c.BaselineRuns, c.players, own), playerCurves(c.PrototypeRuns, c.players, own)
		d := CurveDifference{Measure: m, Axis: axis, Baseline: newCurveSet(baseline, x), Prototype: newCurveSet(prototype, x)}
		compare := contrast.PairedCurves
		if c.Design == OnePlayer {
			compare = contrast.WelchCurves
		}
		const seed = 1 // any: the same study always gives the same intervals
		t, err := compare(baseline, prototype, 1-level, seed)
		switch {
		case errors.Is(err, contrast.ErrTooFew):
			nan := math.NaN()
			n := len(x)
			t = contrast.CurveTest{T: unknown(n), Threshold: nan, Field: nan, Difference: unknown(n), Low: unknown(n), High: unknown(n)}
			for i := range n {
				t.Difference[i] = d.Prototype.Mean[i] - d.Baseline.Mean[i]
			}
		case err != nil:
			return nil, err
		}
		d.T, d.Threshold, d.Field, d.Ways, d.Exact = t.T, t.Threshold, t.Field, t.Ways, t.Exact
		d.Value, d.Low, d.High = t.Difference, t.Low, t.High
		for _, i := range t.Intervals {
			d.Intervals = append(d.Intervals, CurveInterval{x[i.From], x[i.To], i.P})
		}
		out = append(out, d)
	}
	return out, nil
}

// Words says in a sentence where the curves differ: "Lead differs from 42 to 18
// ms before impact."
func (d CurveDifference) Words() string {
	what := d.Measure.Label
	switch {
	case math.IsNaN(d.Threshold):
		return fmt.Sprintf("There are too few curves to say where %s differs.", strings.ToLower(what))
	case len(d.Intervals) == 0:
		return fmt.Sprintf("%s is not shown to differ anywhere %s.", what, d.Axis.everywhere())
	}
	parts := make([]string, len(d.Intervals))
	for i, v := range d.Intervals {
		parts[i] = d.Axis.stretch(v)
	}
	where := parts[0]
	if n := len(parts); n > 1 {
		where = strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return fmt.Sprintf("%s differs %s.", what, where)
}

// everywhere names all of the axis.
func (a Axis) everywhere() string {
	switch a {
	case Downswing:
		return "in the downswing"
	case Station:
		return "along the shaft"
	}
	return fmt.Sprintf("in the last %d ms before impact", (curvePoints-1)*1000/curveRate)
}

// stretch names a part of the axis.
func (a Axis) stretch(v CurveInterval) string {
	// place writes an end of the stretch, and after what follows it.
	place := func(x float64) string { return fmt.Sprintf("%.0f", x) }
	after := " % of the downswing"
	switch a {
	case Station:
		after = " mm from the butt end"
	case ToImpact:
		place, after = func(x float64) string { return fmt.Sprintf("%.0f", -1e3*x) }, " ms before impact"
		if v.To == 0 && v.From < 0 {
			return "from " + place(v.From) + after + " to impact"
		}
		if v.From == 0 {
			return "at impact"
		}
	}
	if v.From == v.To {
		return "at " + place(v.From) + after
	}
	return "from " + place(v.From) + " to " + place(v.To) + after
}
