package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"bendline/kinematics"
	"bendline/kinematics/beam"
	"bendline/kinematics/contrast"
)

// A Softness holds the stiffness of two shafts, as the bench has it, against
// what the swings imply. Ratios are prototype over baseline.
//
// If both shafts bore the same moments at impact, EI of the one over the other
// would be the bend of the other over the one. Players load a softer shaft
// otherwise, and the fit spreads a bend along the shaft as the table of
// stiffness does, so that the implied ratio of a third of the length is
// evidence, not a measurement.
type Softness struct {
	Baseline, Prototype string // club ids
	Thirds              [3]ThirdStiffness
	TipShare            Contrast // of the share of the bend in the tip third at impact
	Seen                Seen
}

// A ThirdStiffness is the ratio of stiffness in a third of the length.
type ThirdStiffness struct {
	Third   string   // "butt", "middle", "tip"
	Bench   float64  // of the means of EI (as springs in a row); NaN where a table is missing
	Implied Contrast // from the bend at impact
}

// A Contrast is a difference or ratio with its 95 % interval, over the runs of
// one player or over the means of several; Low and High are NaN where there are
// too few.
type Contrast struct{ Value, Low, High float64 }

// Seen says where a softer tip shows.
type Seen string

// The outcomes. A tip is softer on the bench where EI of the tip third, against
// that of the rest, is 3 % lower (common practice, no source), and in the
// capture where the interval of the tip third's share of the bend lies above 0:
// few runs leave it so wide that a softer tip does not show, though it is there.
const (
	SeenInBoth    Seen = "both"
	SeenInBench   Seen = "bench_only"
	SeenInCapture Seen = "capture_only"
	SeenInNeither Seen = "neither"
	SeenUnknown   Seen = "unknown" // one of the two is not known
)

// Sentence says where a softer tip shows.
func (s Seen) Sentence() string {
	switch s {
	case SeenInBoth:
		return "A softer tip shows on the bench and in the captures."
	case SeenInBench:
		return "A softer tip shows on the bench, not in the captures: few runs may leave the interval too wide to see it."
	case SeenInCapture:
		return "A softer tip shows in the captures, not on the bench."
	case SeenInNeither:
		return "A softer tip shows neither on the bench nor in the captures."
	}
	return "Whether the tip is softer is not known, on the bench or in the captures."
}

const softerTip = 0.03

// CompareSoftness returns the softness of the clubs compared, from the runs
// compared.
func CompareSoftness(s *Study, c *Comparison) Softness {
	out := Softness{Baseline: c.Baseline, Prototype: c.Prototype}
	base, proto := s.Club(c.Baseline), s.Club(c.Prototype)
	for i, name := range []string{"butt", "middle", "tip"} {
		bent := c.blocked(func(s *kinematics.Swing) float64 {
			b := SiteAtImpact(s)
			return math.Log(b.Thirds[i] * b.Bend)
		})
		out.Thirds[i] = ThirdStiffness{name, meanEI(proto, i) / meanEI(base, i),
			Contrast{math.Exp(-bent.Value), math.Exp(-bent.High), math.Exp(-bent.Low)}}
	}
	out.TipShare = c.blocked(func(s *kinematics.Swing) float64 { return SiteAtImpact(s).Thirds[2] })
	out.Seen = softerTipSeen(out.Thirds[2].Bench/((out.Thirds[0].Bench+out.Thirds[1].Bench)/2), out.TipShare)
	return out
}

// softerTipSeen says where a softer tip shows: bench is the ratio of EI in the
// tip third over that of the rest.
func softerTipSeen(bench float64, share Contrast) Seen {
	switch onBench, inCapture := bench < 1-softerTip, share.Low > 0; {
	case math.IsNaN(bench) || math.IsNaN(share.Low):
		return SeenUnknown
	case onBench && inCapture:
		return SeenInBoth
	case onBench:
		return SeenInBench
	case inCapture:
		return SeenInCapture
	}
	return SeenInNeither
}

// meanEI returns the mean of EI over a third of the length, as springs in a row,
// NaN where the table reaches over less than half of that third.
func meanEI(c *Club, third int) float64 {
	if c == nil || !c.Shaft.Known() {
		return math.NaN()
	}
	from, to := c.Shaft.Length*float64(third)/3, c.Shaft.Length*float64(third+1)/3
	station := c.Shaft.Station
	if min(to, station[len(station)-1])-max(from, station[0]) < (to-from)/2 {
		return math.NaN()
	}
	return beam.Curve{Station: station, Value: c.Shaft.EI}.HarmonicMean(from, to)
}

// blocked returns the difference of a value, prototype less baseline: over runs
// of one player (Welch), over the means of several (paired).
func (c *Comparison) blocked(of func(*kinematics.Swing) float64) Contrast {
	var players []string
	values := map[string]*[2][]float64{}
	for side, runs := range [2][]*Result{c.BaselineRuns, c.PrototypeRuns} {
		for _, r := range runs {
			if values[r.Run.Player] == nil {
				values[r.Run.Player] = new([2][]float64)
				players = append(players, r.Run.Player)
			}
			if v := of(r.Swing); !math.IsNaN(v) && !math.IsInf(v, 0) {
				values[r.Run.Player][side] = append(values[r.Run.Player][side], v)
			}
		}
	}
	players = slices.DeleteFunc(players, func(p string) bool { return len(values[p][0]) == 0 || len(values[p][1]) == 0 })
	var t contrast.Test // whatever keeps the interval from being had shows as NaN
	switch len(players) {
	case 0:
		return Contrast{math.NaN(), math.NaN(), math.NaN()}
	case 1:
		v := values[players[0]]
		t, _ = contrast.Welch(v[0], v[1], level)
	default:
		var a, b []float64
		for _, p := range players {
			a, b = append(a, stat.Mean(values[p][0], nil)), append(b, stat.Mean(values[p][1], nil))
		}
		t, _ = contrast.Paired(a, b, level)
	}
	return Contrast{t.Difference, t.Low, t.High}
}
