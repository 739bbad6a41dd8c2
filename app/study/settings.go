package study

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"bendline/kinematics"
)

// Settings are how every run of a study is smoothed and how much of it is
// fitted, as set by hand; the zero value leaves it to the program.
type Settings struct {
	CutOff        float64  // frequency at which the smoothing passes half, Hz; 0 where the likelihood chooses
	Before, After *float64 // how much is fitted before and after impact, s; nil for all there is
}

type settingsJSON struct {
	CutOff float64  `json:"cutoff_hz,omitzero"`
	Before *float64 `json:"before_s,omitempty"`
	After  *float64 `json:"after_s,omitempty"`
}

// What can be set. The smoother's memory is some 10 ms at the higher of usual
// cut-offs, and the moment under the hands is learnt from the downswing: with
// less than 50 ms the values at impact would rest on too little. What a rate
// allows is narrower (kinematics.CutOffs).
const (
	lowCutOff   = 5.0    // Hz
	highCutOff  = 5000.0 // Hz
	leastBefore = 0.05   // s
	mostAround  = 60.0   // s
)

// Validate returns why the settings cannot be, nil if they can.
func (s Settings) Validate() error {
	if s.CutOff != 0 && !(s.CutOff >= lowCutOff && s.CutOff <= highCutOff) {
		return fmt.Errorf("the cut-off is %v Hz; it must lie between %v and %v Hz, or be left out", s.CutOff, lowCutOff, highCutOff)
	}
	if b := s.Before; b != nil && !(*b >= leastBefore && *b <= mostAround) {
		return fmt.Errorf("the window begins %v ms before impact; it must be between %v and %v ms", millimetres(*b), leastBefore*1e3, mostAround*1e3)
	}
	if a := s.After; a != nil && !(*a >= 0 && *a <= mostAround) {
		return fmt.Errorf("the window ends %v ms after impact; it must be between 0 and %v ms", millimetres(*a), mostAround*1e3)
	}
	return nil
}

// Words returns what was set by hand, a few words each: to stand by every figure
// of the study. The window is told from impact.
func (s Settings) Words() []string {
	var what []string
	if s.CutOff != 0 {
		what = append(what, "cut-off "+strconv.FormatFloat(s.CutOff, 'g', -1, 64)+" Hz")
	}
	if s.Before != nil || s.After != nil {
		from, to := "start", "end"
		if s.Before != nil {
			from = strings.Replace(fmt.Sprintf("%v ms", -millimetres(*s.Before)), "-", "−", 1)
		}
		if s.After != nil {
			to = fmt.Sprintf("%v ms", millimetres(*s.After))
		}
		what = append(what, "window "+from+" to "+to)
	}
	return what
}

// Equal reports whether two settings are alike.
func (s Settings) Equal(o Settings) bool { return reflect.DeepEqual(s, o) }

// json returns the settings as they are written, nil where nothing is set.
func (s Settings) json() *settingsJSON {
	if s.Equal(Settings{}) {
		return nil
	}
	j := settingsJSON(s)
	return &j
}

// options returns what the fit is told.
func (s Settings) options(e Events) kinematics.Options {
	return kinematics.Options{Top: e.Top, Impact: e.Impact, CutOff: s.CutOff, Before: s.Before, After: s.After}
}

// CutOffs returns the lowest and the highest cut-off that was used in the
// results, Hz; NaN where no run was fitted.
func CutOffs(results []*Result) (low, high float64) {
	low, high = math.NaN(), math.NaN()
	for _, r := range results {
		if r != nil && r.OK() && r.Swing.CutOff > 0 {
			if !(r.Swing.CutOff >= low) {
				low = r.Swing.CutOff
			}
			if !(r.Swing.CutOff <= high) {
				high = r.Swing.CutOff
			}
		}
	}
	return low, high
}

// CutOffBounds returns the lowest and the highest cut-off that suits the rates of
// all captures that were read, Hz.
func CutOffBounds(results []*Result) (low, high float64) {
	low, high = lowCutOff, highCutOff
	for _, r := range results {
		if r != nil && r.Capture.Rate > 0 {
			l, h := kinematics.CutOffs(r.Capture.Rate)
			low, high = max(low, l), min(high, h)
		}
	}
	return low, high
}
