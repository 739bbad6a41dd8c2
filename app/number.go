package app

import (
	"math"
	"strconv"
	"strings"

	"bendline/app/study"
	"bendline/kinematics"
)

// shownValue returns an SI value of a measure as it is shown, without its unit;
// a dash where it is not known.
func shownValue(m study.Measure, si float64) string { return decimal(si*m.Scale, m.Digits) }

// decimal returns a number with so many decimals and a true minus sign, never
// "−0"; a dash for NaN.
func decimal(v float64, digits int) string {
	if math.IsNaN(v) {
		return "–"
	}
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return text
}

// shownEstimate returns an estimate of a measure as it is shown, with its
// uncertainty.
func shownEstimate(m study.Measure, e kinematics.Estimate) string {
	if math.IsNaN(e.Value) {
		return "–"
	}
	return shownValue(m, e.Value) + " ± " + shownValue(m, e.U95)
}
