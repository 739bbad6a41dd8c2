package study

import (
	"fmt"
	"math"
	"strings"

	"bendline/capture"
	"bendline/kinematics"
)

// A Range is a range of values in shown units. The zero Range has no limits.
type Range struct{ Low, High float64 }

// String returns "-80 to 100", or "at most 200" without a lower limit.
func (r Range) String() string {
	if math.IsInf(r.Low, -1) {
		return fmt.Sprintf("at most %v", r.High)
	}
	return fmt.Sprintf("%v to %v", r.Low, r.High)
}

// outside reports whether v is known and lies outside the range.
func (r Range) outside(v float64) bool {
	return r != Range{} && (v < r.Low || v > r.High)
}

// Usual extremes of a driver's downswing, mm. Common practice, no source.
const (
	usualLag   = 200 // largest lag
	usualToeUp = 150 // largest droop upwards
)

// poorFit is the root mean square distance of the markers from the fitted club,
// m, above which a fit is flagged: optical markers in motion are off by less
// than 2 mm (Merriaux, Dupuis, Boutteau, Vasseur & Savatier, Sensors 17:1591,
// 2017), so that more means that the club is not what the study says.
const poorFit = 2e-3

// wrongSide is how far from the lead direction the head may go just before
// impact, rad. A face is open or closed by a few degrees, on a shank by some
// tens; where heel and toe are exchanged it is half a turn.
const wrongSide = 60 / degree

// doubts returns the flags of values outside what is usual for a driver, of a
// second blow, of a club that goes backwards, and of a poor fit.
func doubts(s *kinematics.Swing) []capture.Flag {
	var flags []capture.Flag
	usual := func(what string, v float64, unit string, digits int, r Range) {
		if r.outside(v) {
			flags = append(flags, capture.Flag{Code: capture.OutsideUsual,
				Detail: fmt.Sprintf("%s is %.*f %s; usual is %v %s", what, digits, v, unit, r, unit)})
		}
	}
	for _, m := range Measures {
		usual(strings.ToLower(m.Label)+" at impact", m.AtImpact(s).Value*m.Scale, m.Unit, m.Digits, m.Usual)
	}
	usual("peak lag", -s.PeakLag.Value*1e3, "mm", 1, Range{math.Inf(-1), usualLag})
	usual("peak toe-up", -lowest(s, s.Droop)*1e3, "mm", 1, Range{math.Inf(-1), usualToeUp})
	if len(s.Other) > 0 {
		flags = append(flags, capture.Flag{Code: capture.SeveralBlows, Detail: fmt.Sprintf(
			"the head is slowed as by a ball at %.3f s too; impact is taken at %.3f s, where it loses more speed: set it by hand if that is the wrong one", s.Other[0], s.Impact.Value)})
	}
	if a := s.Facing(); a > wrongSide {
		flags = append(flags, capture.Flag{Code: capture.WrongSide, Detail: fmt.Sprintf(
			"at impact the head goes %.0f° away from the lead direction, so that lead, droop and twist cannot be trusted: heel and toe are not those of the club, the club is of the other hand, or the capture's axes are a mirror image", a*degree)})
	}
	if s.RMS > poorFit {
		flags = append(flags, capture.Flag{Code: capture.PoorFit, From: s.Top, To: s.Impact.Value,
			Detail: fmt.Sprintf("the markers lie %.1f mm from the fitted club, more than %.0f mm: check the marker set, the reference and the stations", s.RMS*1e3, poorFit*1e3)})
	}
	return flags
}

// lowest returns the lowest value of a series between top and impact, NaN where
// there is none.
func lowest(s *kinematics.Swing, of kinematics.Series) float64 {
	low := math.NaN()
	for i, v := range of.Value {
		if t := s.Time(i); t >= s.Top && t <= s.Impact.Value && !(v >= low) {
			low = v
		}
	}
	return low
}
