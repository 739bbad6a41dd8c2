package study

import (
	"errors"
	"fmt"
	"math"
)

// A Spec is what a club is to measure, item by item, in the units and under the
// keys of the study file. nil is an item without a spec.
type Spec struct {
	LengthMM          *Tolerance `json:"length_mm,omitempty"`
	ButtDiameterMM    *Tolerance `json:"butt_diameter_mm,omitempty"`
	TipDiameterMM     *Tolerance `json:"tip_diameter_mm,omitempty"`
	WeightG           *Tolerance `json:"weight_g,omitempty"`
	BalanceMM         *Tolerance `json:"balance_mm,omitempty"`
	FrequencyCPM      *Tolerance `json:"frequency_cpm,omitempty"`
	TorqueDeg         *Tolerance `json:"torque_deg,omitempty"`
	ButtDeflectionMM  *Tolerance `json:"butt_deflection_mm,omitempty"`
	TipDeflectionMM   *Tolerance `json:"tip_deflection_mm,omitempty"`
	AssemblyMassG     *Tolerance `json:"assembly_mass_g,omitempty"`
	AssemblyBalanceMM *Tolerance `json:"assembly_balance_mm,omitempty"`
	SwingWeightOzIn   *Tolerance `json:"swing_weight_ozin,omitempty"`
	EIPercent         *EIBand    `json:"ei_percent,omitempty"`
}

// A Tolerance is a target and how far below and above it a value may lie.
type Tolerance struct {
	Target *float64 `json:"target,omitempty"`
	Minus  *float64 `json:"minus,omitempty"`
	Plus   *float64 `json:"plus,omitempty"`
}

// An EIBand is the stiffness that is wanted at stations, and by how many percent
// it may be missed.
type EIBand struct {
	Minus    *float64  `json:"minus,omitempty"`
	Plus     *float64  `json:"plus,omitempty"`
	Stations []EIPoint `json:"stations,omitempty"`
}

// An EIPoint is a stiffness at a station.
type EIPoint struct {
	StationMM float64 `json:"station_mm"`
	EI        float64 `json:"ei_n_m2"`
}

// Limits returns the club's spec: an empty one where the study has none. It
// returns an error for a spec that cannot be, which Open refuses.
func (c *Club) Limits() (Spec, error) {
	var s Spec
	if err := decodeObject(c.Spec, &s); err != nil {
		return Spec{}, at("spec", err)
	}
	if err := s.validate(millimetres(c.Shaft.Length)); err != nil {
		return Spec{}, at("spec", err)
	}
	return s, nil
}

func (s *Spec) validate(length float64) error {
	for i := range benchFields {
		f := &benchFields[i]
		if f.spec == nil || *f.spec(s) == nil {
			continue
		}
		t := *f.spec(s)
		if t.Target == nil {
			return fmt.Errorf("%s has a tolerance without a target", f.key)
		}
		if err := nonNegative(t.Minus, t.Plus); err != nil {
			return at(f.key, err)
		}
	}
	b := s.EIPercent
	if b == nil {
		return nil
	}
	if err := nonNegative(b.Minus, b.Plus); err != nil {
		return at(bandKey, err)
	}
	if len(b.Stations) == 0 {
		return errors.New("ei_percent has a tolerance without a target: it names no stations")
	}
	for i, p := range b.Stations {
		switch {
		case !(p.StationMM >= 0 && p.StationMM <= length):
			return fmt.Errorf("ei_percent at %v mm lies beyond the shaft of %v mm", p.StationMM, length)
		case i > 0 && p.StationMM <= b.Stations[i-1].StationMM:
			return fmt.Errorf("ei_percent at %v mm follows that at %v mm; stations must increase", p.StationMM, b.Stations[i-1].StationMM)
		case !(p.EI > 0):
			return fmt.Errorf("ei_percent at %v mm: ei_n_m2 is %v; it must be positive", p.StationMM, p.EI)
		}
		if err := unlikely(fmt.Sprintf("ei_percent at %v mm: EI", p.StationMM), p.EI); err != nil {
			return err
		}
	}
	return nil
}

func nonNegative(minus, plus *float64) error {
	for _, t := range []quantity{{"minus", minus}, {"plus", plus}} {
		if t.value != nil && !(*t.value >= 0) {
			return fmt.Errorf("%s is %v; it is a distance from the target, not negative", t.key, *t.value)
		}
	}
	return nil
}

// limits returns the lowest and the highest value allowed, NaN where the
// tolerance is missing.
func (t Tolerance) limits() (low, high float64) {
	return known(t.Target) - known(t.Minus), known(t.Target) + known(t.Plus)
}

// A Verdict says whether a value is in spec.
type Verdict int

// The verdicts. What is missing has not passed.
const (
	Missing Verdict = iota // there is no value, or no limit on its side
	Passed
	Failed
)

// String returns "missing", "in spec" or "out of spec".
func (v Verdict) String() string {
	return [...]string{"missing", "in spec", "out of spec"}[v]
}

// judge returns the verdict on a value between two limits; NaN is missing. A
// value on a limit is in spec.
func judge(value, low, high float64) Verdict {
	// Sums of decimals miss them by their last bits.
	slack := 1e-9 * math.Max(math.Abs(low), math.Abs(high))
	if math.IsNaN(slack) {
		slack = 0
	}
	switch {
	case value < low-slack || value > high+slack:
		return Failed
	case math.IsNaN(value) || math.IsNaN(low) || math.IsNaN(high):
		return Missing
	}
	return Passed
}
