package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
)

// An Axis is what a curve runs over, as files name it.
type Axis string

// Axes are those of curves.
var Axes = []Axis{ToImpact, Downswing, Station}

// The axes of curves.
const (
	ToImpact  Axis = "s_to_impact"          // −0.3 to 0
	Downswing Axis = "percent_of_downswing" // 0 at the top to 100 at impact
	Station   Axis = "station_mm"           // from the butt end
)

// A CurveDifference compares a measure along an axis, in shown units.
type CurveDifference struct {
	Measure             Measure
	Axis                Axis
	Baseline, Prototype CurveSet

	CurveView
	Within *CurveView // about these players alone, where those are too few for a threshold; else nil
}

// A CurveView is what is told of a difference of curves.
type CurveView struct {
	About            string    // whom it tells about: Wide, Narrow or Single
	T                []float64 // of prototype minus baseline, NaN where it cannot be had
	Threshold        float64   // of |T| for the curve as a whole at 5 %; NaN where too few curves allow none
	Intervals        []CurveInterval
	Value, Low, High []float64 // the difference, and the band that holds all of its true curve 95 % of the time
	Field            float64   // threshold of random field theory, beside that of permutation
	Ways             int       // permutations tried
	Exact            bool      // they are all there are
}

// Told returns the view that can tell where the curves differ: that about these
// players alone where they are too few to tell about others like them.
func (d CurveDifference) Told() CurveView {
	if d.Within != nil {
		return *d.Within
	}
	return d.CurveView
}

// A CurveInterval is where a curve differs, in units of its axis.
type CurveInterval struct{ From, To, P float64 }

// keptCurves are the curves of a comparison that were compared, each axis once.
type keptCurves struct {
	sync.Mutex
	along map[Axis][]CurveDifference
}

// Curves compares curves along an axis, as contrast.WelchCurves does for one
// player and contrast.PairedCurves for several (contrast.BlockCurves beside it
// where those are too few for it): every measure on the way to impact or in per
// cent of each run's downswing, or the curvature at impact along the shaft. It
// takes a moment the first time; p, which may be nil, is told of every curve,
// and a cancelled ctx ends it. The slice must not be changed.
//
// Per cent of the downswing holds swings of different tempo together at both
// ends; runs without a top have no curve there. Along the shaft there is a value
// at every 10 mm that all runs reach, and no curve where runs have no profile.
func (c *Comparison) Curves(ctx context.Context, axis Axis, p Progress) ([]CurveDifference, error) {
	c.kept.Lock()
	defer c.kept.Unlock()
	if found, ok := c.kept.along[axis]; ok {
		return found, nil
	}
	if p == nil {
		p = func(int, int, string) {}
	}
	found, err := c.curves(ctx, axis, p)
	if err != nil {
		return nil, fmt.Errorf("study: comparing curves: %w", err)
	}
	if c.kept.along == nil {
		c.kept.along = map[Axis][]CurveDifference{}
	}
	c.kept.along[axis] = found
	return found, nil
}

// ground returns what curves along the axis are of, where they have values, and
// how a run's is read.
func (c *Comparison) ground(axis Axis) (measures []Measure, x []float64, read func(*kinematics.Swing, Measure) []float64) {
	switch axis {
	case Downswing:
		x = make([]float64, 101)
		for i := range x {
			x[i] = float64(i)
		}
		return Measures, x, func(s *kinematics.Swing, m Measure) []float64 {
			times := make([]float64, len(x))
			for i, percent := range x {
				times[i] = (percent - 100) / 100 * (s.Impact.Value - s.Top)
			}
			return course(s, m, times)
		}
	case Station:
		x = c.stations()
		if x == nil {
			return nil, nil, nil
		}
		return AlongShaft, x, func(s *kinematics.Swing, m Measure) []float64 {
			v := s.Bend.LeadCurvature.Value
			if m.Key == AlongShaft[1].Key {
				v = s.Bend.DroopCurvature.Value
			}
			return along(s.Bend.Station, v, x)
		}
	}
	x = toImpact()
	return Measures, x, func(s *kinematics.Swing, m Measure) []float64 { return course(s, m, x) }
}

// AlongShaft are the quantities at impact that change along the shaft; they have
// no value at one place, and no course in time.
var AlongShaft = []Measure{
	{Key: "lead_curvature_1_m", Label: "Lead curvature at impact", Unit: "1/m", Scale: 1, Digits: 3},
	{Key: "droop_curvature_1_m", Label: "Droop curvature at impact", Unit: "1/m", Scale: 1, Digits: 3},
}

// stations returns every 10 mm of the shaft that all runs reach, mm from the butt
// end; nil where runs have no profile.
func (c *Comparison) stations() []float64 {
	const every = 10 // mm
	low, high := 0.0, math.Inf(1)
	for _, r := range slices.Concat(c.BaselineRuns, c.PrototypeRuns) {
		s := r.Swing.Bend.Station
		if len(s) < 2 {
			return nil
		}
		low, high = math.Max(low, s[0]*1e3), math.Min(high, s[len(s)-1]*1e3)
	}
	var x []float64
	for at := every * math.Ceil(low/every); at <= high; at += every {
		x = append(x, at)
	}
	return x
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

func (c *Comparison) curves(ctx context.Context, axis Axis, p Progress) ([]CurveDifference, error) {
	measures, x, read := c.ground(axis)
	var out []CurveDifference
	for i, m := range measures {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		own := func(s *kinematics.Swing) []float64 { return read(s, m) }
		baselines, prototypes := runCurves(c.BaselineRuns, c.players, own), runCurves(c.PrototypeRuns, c.players, own)
		baseline, prototype := playerCurves(baselines), playerCurves(prototypes)
		d := CurveDifference{Measure: m, Axis: axis, Baseline: newCurveSet(baseline, x), Prototype: newCurveSet(prototype, x)}
		compare, about := contrast.PairedCurves, Wide
		if c.Design == OnePlayer {
			compare, about = contrast.WelchCurves, Single
		}
		const seed = 1 // any: the same study always gives the same intervals
		t, err := compare(baseline, prototype, 1-level, seed)
		switch {
		case errors.Is(err, contrast.ErrTooFew):
			nan := math.NaN()
			n := len(x)
			t = contrast.CurveTest{T: unknown(n), Threshold: nan, Field: nan, Difference: unknown(n), Low: unknown(n), High: unknown(n)}
			for k := range n {
				t.Difference[k] = d.Prototype.Mean[k] - d.Baseline.Mean[k]
			}
		case err != nil:
			return nil, err
		}
		d.CurveView = newCurveView(t, x, about)
		if c.Design == ManyPlayer && math.IsNaN(d.Threshold) {
			t, err := contrast.BlockCurves(baselines, prototypes, 1-level, seed)
			if err == nil && !math.IsNaN(t.Threshold) {
				within := newCurveView(t, x, Narrow)
				d.Within = &within
			} else if err != nil && !errors.Is(err, contrast.ErrTooFew) {
				return nil, err
			}
		}
		out = append(out, d)
		p(i+1, len(measures), m.Label)
	}
	return out, nil
}

func newCurveView(t contrast.CurveTest, x []float64, about string) CurveView {
	v := CurveView{
		About: about, T: t.T, Threshold: t.Threshold, Value: t.Difference, Low: t.Low, High: t.High,
		Field: t.Field, Ways: t.Ways, Exact: t.Exact,
	}
	for _, i := range t.Intervals {
		v.Intervals = append(v.Intervals, CurveInterval{x[i.From], x[i.To], i.P})
	}
	return v
}

// Words says in a sentence where the curves differ: "Lead differs from 42 to 18
// ms before impact."
func (d CurveDifference) Words() string {
	what, v := d.Measure.Label, d.Told()
	whose := func(text string) string { return text }
	if v.About == Narrow {
		what = strings.ToLower(what)
		whose = func(text string) string { return "For these players " + text }
	}
	switch {
	case math.IsNaN(v.Threshold):
		return fmt.Sprintf("There are too few curves to say where %s differs.", strings.ToLower(what))
	case len(v.Intervals) == 0:
		return whose(fmt.Sprintf("%s is not shown to differ anywhere %s.", what, d.Axis.everywhere()))
	}
	parts := make([]string, len(v.Intervals))
	for i, v := range v.Intervals {
		parts[i] = d.Axis.stretch(v)
	}
	where := parts[0]
	if n := len(parts); n > 1 {
		where = strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	caution := ""
	if d.Axis == Station { // Swing.Bend spreads a moment by it
		caution = " An error of a club's table of stiffness shows here too."
	}
	return whose(fmt.Sprintf("%s differs %s.", what, where)) + caution
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
