package kinematics

import (
	"errors"
	"fmt"
	"math"
)

// ErrCutOff is returned by Fit where the cut-off that was set by hand is too low
// or too high for the recording's rate.
var ErrCutOff = errors.New("kinematics: the cut-off does not suit the recording")

// highLambda is the decimal logarithm of the largest λ whose smoother is not
// spoilt by rounding.
const highLambda = 11.0

// CutOffs returns the lowest and the highest cut-off that a recording of the
// rate can be smoothed at, Hz.
func CutOffs(rate float64) (low, high float64) {
	return rate / math.Pi * math.Asin(math.Pow(10, -highLambda/(2*order))/2), rate / 2
}

// checkCutOff returns ErrCutOff, wrapped, for a cut-off that is not 0 and not
// within CutOffs.
func checkCutOff(cutOff, rate float64) error {
	low, high := CutOffs(rate)
	if cutOff != 0 && !(cutOff >= low && cutOff <= high) {
		return fmt.Errorf("%w: it is %.4g Hz; at %.6g frames a second it must lie between %.0f and %.0f Hz",
			ErrCutOff, cutOff, rate, math.Ceil(low), math.Floor(high))
	}
	return nil
}

// penalty returns d for which the smoother's gain is 1/(1 + λd) far from the
// ends of a path without gaps. With z's fourth differences and the noise white
// it is (2 sin(ω/2))⁸; where the noise wanders, it grows by the wandering part's
// spectrum over that of the white one (Wiener's filter).
func penalty(frequency, rate float64, noise colour) float64 {
	w := 2 * math.Pi * frequency / rate
	d := math.Pow(2*math.Sin(w/2), 2*order)
	if noise.share > 0 {
		d *= 1 + noise.share*(1-noise.rho*noise.rho)/(1-2*noise.rho*math.Cos(w)+noise.rho*noise.rho)
	}
	return d
}

// cutOffLambda returns the λ whose gain is half at the frequency, Hz.
func cutOffLambda(frequency, rate float64, noise colour) float64 {
	return 1 / penalty(frequency, rate, noise)
}

// cutOffOf returns the frequency at which the gain with λ is half, Hz: half the
// rate where it is half nowhere.
func cutOffOf(lam, rate float64, noise colour) float64 {
	low, high := 0.0, rate/2
	for range 60 { // the penalty rises with frequency
		if mid := (low + high) / 2; lam*penalty(mid, rate, noise) < 1 {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// setWindow sets what is fitted around impact.
func (f *fit) setWindow(opt Options) {
	f.lo, f.hi = 0, f.n
	if opt.Before != nil {
		f.lo = max(0, min(int(math.Ceil(f.impact-*opt.Before*f.rate)), f.before))
	}
	if opt.After != nil {
		f.hi = max(f.before, min(int(math.Floor(f.impact+*opt.After*f.rate))+1, f.n))
	}
}
