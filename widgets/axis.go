package widgets

import (
	"math"
	"strconv"
	"strings"
)

// An extent is a stretch of an axis, lo below hi.
type extent struct{ lo, hi float64 }

// at returns where v lies: 0 at lo, 1 at hi.
func (e extent) at(v float64) float64 { return (v - e.lo) / (e.hi - e.lo) }

// value returns what lies at part f of the way from lo to hi.
func (e extent) value(f float64) float64 { return e.lo + f*(e.hi-e.lo) }

// has reports whether v lies in the extent.
func (e extent) has(v float64) bool { return v >= e.lo && v <= e.hi }

// hold returns v, or the end nearest to it if it lies outside.
func (e extent) hold(v float64) float64 { return math.Max(e.lo, math.Min(e.hi, v)) }

// with returns the extent widened to v; NaN changes nothing.
func (e extent) with(v float64) extent {
	if v < e.lo {
		e.lo = v
	}
	if v > e.hi {
		e.hi = v
	}
	return e
}

// nowhere is the extent of no values, to widen with them.
var nowhere = extent{math.Inf(1), math.Inf(-1)}

// roomy returns the extent with a part of its length added at both ends. That
// of one value gets room around it; that of none is 0 to 1.
func (e extent) roomy(part float64) extent {
	switch {
	case e.lo > e.hi:
		return extent{0, 1}
	case e.lo == e.hi:
		part = math.Max(math.Abs(e.lo)*0.1, 1e-3)
		return extent{e.lo - part, e.hi + part}
	}
	d := part * (e.hi - e.lo)
	return extent{e.lo - d, e.hi + d}
}

// ticks returns the multiples in the extent of a step of 1, 2 or 5 times a
// power of ten, about n of them and at least one more or less, and the decimals
// that tell them apart: the nice numbers of P. Heckbert, "Nice numbers for
// graph labels", Graphics Gems (1990), without widening the extent.
func (e extent) ticks(n int) (values []float64, decimals int) {
	raw := (e.hi - e.lo) / float64(max(n, 1))
	if !(raw > 0) || math.IsInf(raw, 0) {
		return nil, 0
	}
	power := math.Floor(math.Log10(raw))
	step, unit := 10.0, math.Pow(10, power)
	for _, s := range []float64{1, 2, 5} {
		if raw/unit <= s*(1+1e-9) { // 0.3/0.1 is a little above 3
			step = s
			break
		}
	}
	if step == 10 {
		step, unit, power = 1, 10*unit, power+1
	}
	first := math.Ceil(e.lo/(step*unit) - 1e-9)
	for i := first; i*step*unit <= e.hi+1e-9*step*unit; i++ {
		v := i * step * unit
		if power < 0 { // dividing by a whole power keeps 0.3 from becoming 0.30000000000000004
			v = i * step / math.Pow(10, -power)
		}
		values = append(values, v+0) // +0 turns -0 to 0
	}
	return values, max(0, -int(power))
}

// number formats v with a minus as wide as a digit; NaN is a dash.
func number(v float64, decimals int) string {
	if math.IsNaN(v) {
		return "–"
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" { // no minus before a rounded zero
		s = strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", minus, 1)
}

// minus is the minus of texts on the screen: an en dash. Fyne's font lacks the
// sign U+2212, and one from another font would lift the whole text.
const minus = "–"
