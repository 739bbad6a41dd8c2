package study

import (
	"errors"
	"math"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
)

// Mean curves run over the last 300 ms to impact: a downswing takes about 250
// (common practice, no source).
const (
	curveRate   = 1000 // points a second
	curvePoints = 301
)

// A CurveSet is the mean course of a measure towards impact, in shown units.
type CurveSet struct {
	X         []float64 // s to impact, from −0.3 to 0
	Mean      []float64 // NaN where no curve has a value
	Low, High []float64 // mean minus and plus one standard deviation, NaN with fewer than two curves
	N         int       // curves: runs of one player, or the means of several players
}

// MeanCurve returns the mean course of the measure over runs, held together at
// impact: the mean over players of the means over their runs. Runs that failed
// or have no impact are left out. At 0 a run's curve has its value at impact;
// no frame after contact is used.
func MeanCurve(runs []*Result, m Measure) CurveSet {
	var good []*Result
	for _, r := range runs {
		if hasImpact(r) {
			good = append(good, r)
		}
	}
	return newCurveSet(playerCurves(good, playersOf(good), m))
}

// A CurveDifference compares a measure along the way to impact.
type CurveDifference struct {
	Measure             Measure
	Baseline, Prototype CurveSet
	T                   []float64 // of prototype minus baseline, NaN where it cannot be had
	Threshold           float64   // of |T| for the curve as a whole at 5 %; NaN where too few curves allow none
	Intervals           []CurveInterval
}

// A CurveInterval is where a curve differs, in s to impact.
type CurveInterval struct{ From, To, P float64 }

// Curves compares every measure along the way to impact, as contrast.WelchCurves
// does for one player and contrast.PairedCurves for several.
func (c *Comparison) Curves() ([]CurveDifference, error) {
	var out []CurveDifference
	for _, m := range Measures {
		d, err := c.curve(m)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

func (c *Comparison) curve(m Measure) (CurveDifference, error) {
	baseline, prototype := playerCurves(c.BaselineRuns, c.players, m), playerCurves(c.PrototypeRuns, c.players, m)
	d := CurveDifference{Measure: m, Baseline: newCurveSet(baseline), Prototype: newCurveSet(prototype)}
	compare := contrast.PairedCurves
	if c.Design == OnePlayer {
		compare = contrast.WelchCurves
	}
	const seed = 1 // any: the same study always gives the same intervals
	t, err := compare(baseline, prototype, 1-level, seed)
	switch {
	case errors.Is(err, contrast.ErrTooFew):
		d.T, d.Threshold = unknown(curvePoints), math.NaN()
		return d, nil
	case err != nil:
		return CurveDifference{}, err
	}
	d.T, d.Threshold = t.T, t.Threshold
	for _, i := range t.Intervals {
		d.Intervals = append(d.Intervals, CurveInterval{d.Baseline.X[i.From], d.Baseline.X[i.To], i.P})
	}
	return d, nil
}

// playersOf returns who made the runs, in the order of their first.
func playersOf(runs []*Result) []string {
	var players []string
	seen := map[string]bool{}
	for _, r := range runs {
		if !seen[r.Run.Player] {
			seen[r.Run.Player] = true
			players = append(players, r.Run.Player)
		}
	}
	return players
}

// playerCurves returns the curves of the runs of a single player, or the mean
// curve of each of several.
func playerCurves(runs []*Result, players []string, m Measure) [][]float64 {
	by := make([][][]float64, len(players))
	for i, p := range players {
		for _, r := range runs {
			if r.Run.Player == p {
				by[i] = append(by[i], toImpact(r.Swing, m))
			}
		}
	}
	if len(players) == 1 {
		return by[0]
	}
	out := make([][]float64, len(players))
	for i, curves := range by {
		out[i] = unknown(curvePoints)
		for j, s := range contrast.Summaries(curves) {
			out[i][j] = s.Mean
		}
	}
	return out
}

func newCurveSet(curves [][]float64) CurveSet {
	c := CurveSet{
		X: make([]float64, curvePoints), N: len(curves),
		Mean: unknown(curvePoints), Low: unknown(curvePoints), High: unknown(curvePoints),
	}
	for i := range c.X {
		c.X[i] = float64(i-curvePoints+1) / curveRate
	}
	for i, s := range contrast.Summaries(curves) {
		c.Mean[i], c.Low[i], c.High[i] = s.Mean, s.Mean-s.SD, s.Mean+s.SD
	}
	return c
}

// toImpact returns the course of a measure to impact in shown units: linear
// between frames, and from the last frame before contact to the value at
// impact. It is NaN where a neighbouring frame is.
func toImpact(s *kinematics.Swing, m Measure) []float64 {
	v := m.Series(s).Value
	out := unknown(curvePoints)
	impact := (s.Impact.Value - s.Start) * s.Rate // in frames
	last := min(int(math.Ceil(impact))-1, len(v)-1)
	for i := range out {
		const rounding = 1e-9
		at := impact + float64(i-curvePoints+1)/curveRate*s.Rate // in frames
		before := int(math.Floor(at + rounding))
		part := at - float64(before)
		switch {
		case i == curvePoints-1:
			out[i] = m.AtImpact(s).Value * m.Scale
		case before < 0 || last < 0:
		case before >= last:
			part = (at - float64(last)) / (impact - float64(last))
			out[i] = m.Scale * ((1-part)*v[last] + part*m.AtImpact(s).Value)
		case part < rounding:
			out[i] = m.Scale * v[before]
		default:
			out[i] = m.Scale * ((1-part)*v[before] + part*v[before+1])
		}
	}
	return out
}

// unknown returns n values that are not known.
func unknown(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}
