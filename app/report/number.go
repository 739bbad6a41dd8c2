package report

import (
	"math"
	"strconv"
	"strings"

	"bendline/app/study"
)

// absent stands for a value that is not known.
const absent = "–"

// A format is how numbers are written.
type format struct{ comma bool } // a decimal comma, not a point

// number returns v with the given decimals and a true minus sign, never a
// negative zero; absent for NaN and infinities.
func (f format) number(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return absent
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.HasPrefix(s, "-") {
		if s = s[1:]; strings.Trim(s, "0.") != "" {
			s = "−" + s
		}
	}
	if f.comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// signed is number with a plus sign before positive values.
func (f format) signed(v float64, digits int) string {
	s := f.number(v, digits)
	if v > 0 && strings.Trim(s, "0.,") != "" && s != absent {
		return "+" + s
	}
	return s
}

// plusMinus returns "v ± u", without the second half where u is not known.
func (f format) plusMinus(v, u float64, digits int) string {
	if math.IsNaN(v) || math.IsNaN(u) {
		return f.number(v, digits)
	}
	return f.number(v, digits) + "\u00a0±\u00a0" + f.number(u, digits)
}

// span returns "low to high", which no line breaks.
func (f format) span(low, high float64, digits int) string {
	return f.number(low, digits) + "\u00a0to\u00a0" + f.number(high, digits)
}

// probability returns p with three decimals, "< 0.001" below that.
func (f format) probability(p float64) string {
	if p < 0.001 {
		return "<\u00a0" + f.number(0.001, 3)
	}
	return f.number(p, 3)
}

// unit returns the sign of the measure's unit, and how it follows a number.
func unit(m study.Measure) (sign, suffix string) {
	if m.Unit == "deg" {
		return "°", "°"
	}
	return m.Unit, "\u00a0" + m.Unit
}

// heading returns the measure with its unit: "Lead, mm".
func heading(m study.Measure) string {
	sign, _ := unit(m)
	return m.Label + ", " + sign
}

// count returns "1 run", "3 runs".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
