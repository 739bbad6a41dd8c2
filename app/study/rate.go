package study

import (
	"math"

	"bendline/kinematics"
)

// Rates are how quickly lead, droop and twist change. They are shown as curves
// and not compared.
var Rates = []Measure{
	rateOf(Measures[0], "lead_rate_m_s", "Lead rate", "m/s", 1, 1),
	rateOf(Measures[1], "droop_rate_m_s", "Droop rate", "m/s", 1, 1),
	rateOf(Measures[2], "twist_rate_deg_s", "Twist rate", "deg/s", degree, 0),
}

// rateOf returns the rate of change of a measure. Its uncertainty is not known.
func rateOf(of Measure, key, label, unit string, scale float64, digits int) Measure {
	return Measure{
		Key: key, Label: label, Unit: unit, Scale: scale, Digits: digits,
		Series: func(s *kinematics.Swing) kinematics.Series { return rates(s, of.Series(s).Value) },
		AtImpact: func(s *kinematics.Swing) kinematics.Estimate {
			last := lastBefore(s)
			r := rates(s, of.Series(s).Value).Value
			if last < 0 || last >= len(r) {
				return kinematics.Estimate{Value: math.NaN(), U95: math.NaN()}
			}
			return kinematics.Estimate{Value: r[last], U95: math.NaN()}
		},
	}
}

// rates returns the rate of change of values in every frame, a second: central
// differences and, in the frames beside impact, differences on their own side of
// it. It is NaN where a value it needs is.
func rates(s *kinematics.Swing, v []float64) kinematics.Series {
	out := kinematics.Series{Value: unknown(len(v)), U95: unknown(len(v))}
	last := lastBefore(s)
	for i := range v {
		a, b := i-1, i+1
		if i == last || b == len(v) {
			b = i
		}
		if i == last+1 || a < 0 {
			a = i
		}
		if a < b {
			out.Value[i] = (v[b] - v[a]) * s.Rate / float64(b-a)
		}
	}
	return out
}

// lastBefore returns the last frame before impact; −2 where there is no impact.
func lastBefore(s *kinematics.Swing) int {
	if math.IsNaN(s.Impact.Value) {
		return -2
	}
	return int(math.Ceil((s.Impact.Value-s.Start)*s.Rate)) - 1
}
