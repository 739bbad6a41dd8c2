package study

import (
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
	X         []float64 // s to impact, from −0.3 to 0, or what the Axis of a CurveDifference says
	Mean      []float64 // NaN where no curve has a value
	Low, High []float64 // mean minus and plus one standard deviation, NaN with fewer than two curves
	Filled    []bool    // the values of more than half of the runs rest on markers that the rod fills; nil for nowhere
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
	x := toImpact()
	c := newCurveSet(playerCurves(runCurves(good, playersOf(good), func(s *kinematics.Swing) []float64 { return course(s, m, x) })), x)
	c.Filled = filled(good, x)
	return c
}

// filled reports for each of the times x, s to impact, whether the values of more
// than half of the runs rest there on markers that the rod fills; nil if they do
// nowhere.
func filled(runs []*Result, x []float64) []bool {
	var out []bool
	for i, t := range x {
		n := 0
		for _, r := range runs {
			s := r.Swing
			if f := int(math.Round((s.Impact.Value + t - s.Start) * s.Rate)); f >= 0 && f < len(s.Filled) && s.Filled[f] {
				n++
			}
		}
		if 2*n > len(runs) {
			if out == nil {
				out = make([]bool, len(x))
			}
			out[i] = true
		}
	}
	return out
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

// runCurves returns the curves of each player's runs. read returns that of a run.
func runCurves(runs []*Result, players []string, read func(*kinematics.Swing) []float64) [][][]float64 {
	by := make([][][]float64, len(players))
	for i, p := range players {
		for _, r := range runs {
			if r.Run.Player == p {
				by[i] = append(by[i], read(r.Swing))
			}
		}
	}
	return by
}

// playerCurves returns the curves of the runs of a single player, or the mean
// curve of each of several.
func playerCurves(by [][][]float64) [][]float64 {
	if len(by) == 1 {
		return by[0]
	}
	out := make([][]float64, len(by))
	for i, curves := range by {
		for _, s := range contrast.Summaries(curves) {
			out[i] = append(out[i], s.Mean)
		}
	}
	return out
}

// newCurveSet returns the mean of curves over x.
func newCurveSet(curves [][]float64, x []float64) CurveSet {
	c := CurveSet{
		X: x, N: len(curves),
		Mean: unknown(len(x)), Low: unknown(len(x)), High: unknown(len(x)),
	}
	for i, s := range contrast.Summaries(curves) {
		c.Mean[i], c.Low[i], c.High[i] = s.Mean, s.Mean-s.SD, s.Mean+s.SD
	}
	return c
}

// course returns the values of a measure at times x, s to impact, in shown
// units: linear between frames, and from the last frame before contact to the
// value at impact. It is NaN where a neighbouring frame is.
func course(s *kinematics.Swing, m Measure, x []float64) []float64 {
	v := m.Series(s).Value
	out := unknown(len(x))
	impact := (s.Impact.Value - s.Start) * s.Rate // in frames
	last := min(int(math.Ceil(impact))-1, len(v)-1)
	for i, t := range x {
		const rounding = 1e-9
		at := impact + t*s.Rate // in frames
		if math.IsNaN(at) {
			continue
		}
		before := int(math.Floor(at + rounding))
		part := at - float64(before)
		switch {
		case t == 0:
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

// toImpact returns the times of a curve to impact, s.
func toImpact() []float64 {
	x := make([]float64, curvePoints)
	for i := range x {
		x[i] = float64(i-curvePoints+1) / curveRate
	}
	return x
}

// unknown returns n values that are not known.
func unknown(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}
