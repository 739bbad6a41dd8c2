package study

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"bendline/kinematics/beam"
)

// A Sheet is what was measured of a club on the bench, as it was typed: in the
// units and under the keys of the study file. nil is missing.
type Sheet struct {
	WeightG       *float64        `json:"weight_g,omitempty"`   // of the raw shaft
	BalanceMM     *float64        `json:"balance_mm,omitempty"` // of the raw shaft, from the butt end
	Frequency     *FrequencyTest  `json:"frequency,omitempty"`
	Torque        *TorqueTest     `json:"torque,omitempty"`
	Butt          *DeflectionTest `json:"butt_deflection,omitempty"` // held by the butt end
	Tip           *DeflectionTest `json:"tip_deflection,omitempty"`  // held by the tip end
	ThreePoint    []BendReading   `json:"three_point,omitempty"`     // by station
	Mass          []MassStation   `json:"mass,omitempty"`            // by station; uniform where absent
	StiffPlaneDeg *float64        `json:"stiff_plane_deg,omitempty"` // of the stiffest plane, turned from the droop plane
	Assembly      *Assembly       `json:"assembly,omitempty"`
}

// A FrequencyTest is the frequency of the shaft clamped over its butt end with a
// mass at its tip end.
type FrequencyTest struct {
	CPM      *float64 `json:"cpm,omitempty"` // cycles a minute
	ClampMM  *float64 `json:"clamp_mm,omitempty"`
	TipMassG *float64 `json:"tip_mass_g,omitempty"`
}

// A TorqueTest is the twist of the shaft over a length beyond the clamp.
type TorqueTest struct {
	Deg      *float64 `json:"deg,omitempty"`
	MomentNM *float64 `json:"moment_n_m,omitempty"`
	ClampMM  *float64 `json:"clamp_mm,omitempty"`
	BeamMM   *float64 `json:"beam_mm,omitempty"`
}

// A DeflectionTest is how far a load beyond the clamp bends the shaft where it
// acts.
type DeflectionTest struct {
	MM      *float64 `json:"mm,omitempty"`
	LoadN   *float64 `json:"load_n,omitempty"`
	ClampMM *float64 `json:"clamp_mm,omitempty"`
	BeamMM  *float64 `json:"beam_mm,omitempty"`
}

// A BendReading is the deflection under a load midway between two supports.
type BendReading struct {
	StationMM    float64 `json:"station_mm"`
	SpanMM       float64 `json:"span_mm"`
	LoadN        float64 `json:"load_n"`
	DeflectionMM float64 `json:"deflection_mm"`
}

// A MassStation is the mass per length at a station.
type MassStation struct {
	StationMM float64 `json:"station_mm"`
	GramsPerM float64 `json:"g_per_m"`
}

// An Assembly is the finished club. The head's centre of gravity is given from
// the shaft's axis: towards the toe, and away from the target.
type Assembly struct {
	MassG     *float64 `json:"mass_g,omitempty"`
	BalanceMM *float64 `json:"balance_mm,omitempty"` // from the butt end
	HeadG     *float64 `json:"head_g,omitempty"`
	GripG     *float64 `json:"grip_g,omitempty"`
	CGToeMM   *float64 `json:"cg_toe_mm,omitempty"`
	CGBackMM  *float64 `json:"cg_back_mm,omitempty"`

	SwingWeightOzIn *float64 `json:"swing_weight_ozin,omitempty"` // as a scale read it
}

// Sheet returns the club's bench sheet: an empty one where the study has none.
// It returns an error for a sheet that cannot be, which Open refuses.
func (c *Club) Sheet() (Sheet, error) {
	var s Sheet
	if err := decodeObject(c.Bench, &s); err != nil {
		return Sheet{}, at("bench", err)
	}
	if err := s.validate(c); err != nil {
		return Sheet{}, at("bench", err)
	}
	return s, nil
}

// decodeObject reads an optional JSON object into v.
func decodeObject(raw json.RawMessage, v any) error {
	if len(raw) == 0 {
		return nil
	}
	return decode(raw, v)
}

// stiffest is the largest EI and GJ believed of a shaft, N m²: more than a solid
// steel bar of 20 mm has, 210 GPa · π/64 · (20 mm)⁴ = 1650 N m².
const stiffest = 2000

// unlikely returns an error if a stiffness is beyond any shaft's, as a value in
// another unit is.
func unlikely(what string, ei float64) error {
	const lbfIn2 = 2.869815e-3 // N m²
	if ei <= stiffest {
		return nil
	}
	return fmt.Errorf("%s is %.6g N m², more than a solid steel bar has; if it is in lbf in² it is %.3g N m², which is to be typed", what, ei, ei*lbfIn2)
}

// validate returns what in the sheet cannot be.
func (s *Sheet) validate(c *Club) error {
	length := millimetres(c.Shaft.Length)
	for _, q := range s.positives() {
		if v := q.value; v != nil && !(*v > 0 && !math.IsInf(*v, 0)) {
			return fmt.Errorf("%s is %v; it must be positive", q.key, *v)
		}
	}
	if m := s.frequency().TipMassG; m != nil && !(*m >= 0 && !math.IsInf(*m, 0)) { // 0: nothing hangs on the tip
		return fmt.Errorf("frequency.tip_mass_g is %v; it must not be negative", *m)
	}
	for _, q := range s.reaches() {
		clamp, reach := optional(q.clamp), optional(q.beam)
		switch {
		case clamp < 0 || clamp >= length:
			return fmt.Errorf("%s: a clamp of %v mm does not fit the shaft of %v mm", q.key, clamp, length)
		case reach > length, clamp+reach > length:
			return fmt.Errorf("%s: a clamp of %v mm and a beam of %v mm do not fit the shaft of %v mm", q.key, clamp, reach, length)
		}
	}
	for i, r := range s.ThreePoint {
		switch {
		case !(r.StationMM >= 0 && r.StationMM <= length):
			return fmt.Errorf("three_point at %v mm lies beyond the shaft of %v mm", r.StationMM, length)
		case i > 0 && r.StationMM <= s.ThreePoint[i-1].StationMM:
			return fmt.Errorf("three_point at %v mm follows that at %v mm; stations must increase", r.StationMM, s.ThreePoint[i-1].StationMM)
		case !(r.SpanMM > 0 && r.LoadN > 0 && r.DeflectionMM > 0):
			return fmt.Errorf("three_point at %v mm: span_mm %v, load_n %v and deflection_mm %v must all be positive", r.StationMM, r.SpanMM, r.LoadN, r.DeflectionMM)
		case r.StationMM-r.SpanMM/2 < 0 || r.StationMM+r.SpanMM/2 > length:
			return fmt.Errorf("three_point at %v mm: a support of the span of %v mm lies beyond the shaft of %v mm", r.StationMM, r.SpanMM, length)
		}
		if err := unlikely(fmt.Sprintf("three_point at %v mm: EI", r.StationMM), r.test().EI()); err != nil {
			return err
		}
	}
	for i, m := range s.Mass {
		switch {
		case !(m.StationMM >= 0 && m.StationMM <= length):
			return fmt.Errorf("mass at %v mm lies beyond the shaft of %v mm", m.StationMM, length)
		case i > 0 && m.StationMM <= s.Mass[i-1].StationMM:
			return fmt.Errorf("mass at %v mm follows that at %v mm; stations must increase", m.StationMM, s.Mass[i-1].StationMM)
		case !(m.GramsPerM > 0) || math.IsInf(m.GramsPerM, 0):
			return fmt.Errorf("mass at %v mm: g_per_m is %v; it must be positive", m.StationMM, m.GramsPerM)
		}
	}
	return nil
}

type quantity struct {
	key   string
	value *float64
}

// positives returns the values of the sheet that are positive.
func (s *Sheet) positives() []quantity {
	all := []quantity{{"weight_g", s.WeightG}, {"balance_mm", s.BalanceMM}}
	if f := s.Frequency; f != nil {
		all = append(all, quantity{"frequency.cpm", f.CPM})
	}
	if t := s.Torque; t != nil {
		all = append(all, quantity{"torque.deg", t.Deg}, quantity{"torque.moment_n_m", t.MomentNM}, quantity{"torque.beam_mm", t.BeamMM})
	}
	for _, d := range []struct {
		key  string
		test *DeflectionTest
	}{{"butt_deflection", s.Butt}, {"tip_deflection", s.Tip}} {
		if d.test != nil {
			all = append(all, quantity{d.key + ".mm", d.test.MM}, quantity{d.key + ".load_n", d.test.LoadN}, quantity{d.key + ".beam_mm", d.test.BeamMM})
		}
	}
	if a := s.Assembly; a != nil {
		all = append(all, quantity{"assembly.mass_g", a.MassG}, quantity{"assembly.balance_mm", a.BalanceMM},
			quantity{"assembly.head_g", a.HeadG}, quantity{"assembly.grip_g", a.GripG},
			quantity{"assembly.swing_weight_ozin", a.SwingWeightOzIn})
	}
	return all
}

// A setUp is how a shaft is held in a test.
type setUp struct {
	key         string
	clamp, beam *float64
}

func (s *Sheet) reaches() []setUp {
	var all []setUp
	if f := s.Frequency; f != nil {
		all = append(all, setUp{"frequency", f.ClampMM, nil})
	}
	if t := s.Torque; t != nil {
		all = append(all, setUp{"torque", t.ClampMM, t.BeamMM})
	}
	if d := s.Butt; d != nil {
		all = append(all, setUp{"butt_deflection", d.ClampMM, d.BeamMM})
	}
	if d := s.Tip; d != nil {
		all = append(all, setUp{"tip_deflection", d.ClampMM, d.BeamMM})
	}
	return all
}

// optional returns the value, 0 where it is missing.
func optional(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// known returns the value, NaN where it is missing.
func known(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

// test returns the reading in SI units.
func (r BendReading) test() beam.ThreePoint {
	return beam.ThreePoint{Station: r.StationMM / 1e3, Span: r.SpanMM / 1e3, Load: r.LoadN, Deflection: r.DeflectionMM / 1e3}
}

// Beam returns the raw shaft as a beam: the stiffness of the study's table, the
// mass by station or, where only the weight is known, the same everywhere. It
// returns an error where the stiffness is not known. Without a weight the beam
// has no mass.
func (c *Club) Beam(s Sheet) (beam.Beam, error) {
	if !c.Shaft.Known() {
		return beam.Beam{}, errors.New("study: the club has no table of stiffness")
	}
	b := beam.Beam{
		Length: c.Shaft.Length,
		EI:     beam.Curve{Station: slices.Clone(c.Shaft.Station), Value: slices.Clone(c.Shaft.EI)},
		GJ:     beam.Curve{Station: slices.Clone(c.Shaft.Station), Value: slices.Clone(c.Shaft.GJ)},
	}
	switch {
	case len(s.Mass) > 0:
		for _, m := range s.Mass {
			b.Density.Station = append(b.Density.Station, m.StationMM/1e3)
			b.Density.Value = append(b.Density.Value, m.GramsPerM/1e3)
		}
	case s.WeightG != nil:
		b.Density = beam.Constant(*s.WeightG / 1e3 / b.Length)
	}
	return b, b.Validate()
}
