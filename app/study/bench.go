package study

import (
	"fmt"
	"math"

	"bendline/capture"
	"bendline/kinematics/beam"
)

// BenchOptions are the conventions of the bench that no standard fixes.
type BenchOptions struct {
	SwingWeightZero float64 // oz in that are called D0
	ClampMM         float64 // of a frequency test whose clamp is missing, and of the bend point
	TipMassG        float64 // of a frequency test whose tip mass is missing
	SoftSpot        float64 // how far below the smooth taper is a soft spot, share of EI
}

// DefaultBenchOptions are common practice, no source: D0 at 213.5 oz in, 127 mm
// of clamp, 205 g at the tip. Readings of stiffness repeat within some 1 %, and
// ordinary shafts bow from the smooth taper by some 3 %: 5 % is more than that
// (beam.SoftSpots says how often a shaft without a soft spot shows one).
func DefaultBenchOptions() BenchOptions {
	return BenchOptions{SwingWeightZero: beam.SwingWeightZero, ClampMM: 127, TipMassG: 205, SoftSpot: 0.05}
}

// A ClubBench is what the bench says of a club. Numbers are NaN where they
// cannot be had; Flags says why.
type ClubBench struct {
	Club              string // id
	Sheet             Sheet
	Spec              Spec
	Checks            []Check // one for each item that the spec names
	FromStiffness     FromStiffness
	Readings          []StiffnessReading
	SwingWeightOzIn   float64
	SwingWeightLetter string // "D2.0", "" where there is none
	SwingWeightZero   float64
	Agreements        []Agreement
	Departures        []beam.Departure // of EI from a smooth taper, by station
	SoftSpots         []beam.SoftSpot
	Flags             []BenchFlag
}

// A BenchFlag is one thing worth knowing about a club's sheet.
type BenchFlag struct {
	Code   capture.Code
	Item   string // key of the item, "" where it concerns the whole sheet
	Detail string // one plain sentence
}

// Codes of the bench, besides capture.OutOfSpec.
const (
	ItemMissing capture.Code = "missing"      // the spec or a test names it, the sheet does not have it
	Disagrees   capture.Code = "inconsistent" // two values of the sheet do not go together
	Soft        capture.Code = "soft_spot"
	SetUpTaken  capture.Code = "setup_assumed" // a test does not say how it was set up
)

// OutOfSpec returns the checks that failed.
func (b *ClubBench) OutOfSpec() []Check { return b.with(Failed) }

// Missing returns the checks that could not be made.
func (b *ClubBench) Missing() []Check { return b.with(Missing) }

func (b *ClubBench) with(v Verdict) []Check {
	var out []Check
	for _, c := range b.Checks {
		if c.Verdict == v {
			out = append(out, c)
		}
	}
	return out
}

// Bench returns what the bench says of every club, in the order of the study:
// the sheet held against the spec, and the sheet held against itself. It
// returns an error only for a study that Validate refuses.
func Bench(s *Study, o BenchOptions) ([]ClubBench, error) {
	out := make([]ClubBench, len(s.Clubs))
	for i := range s.Clubs {
		var err error
		if out[i], err = benchOf(&s.Clubs[i], o); err != nil {
			return nil, fmt.Errorf("study: club %q: %w", s.Clubs[i].ID, err)
		}
	}
	return out, nil
}

func benchOf(c *Club, o BenchOptions) (ClubBench, error) {
	sheet, err := c.Sheet()
	if err != nil {
		return ClubBench{}, err
	}
	spec, err := c.Limits()
	if err != nil {
		return ClubBench{}, err
	}
	b := ClubBench{
		Club: c.ID, Sheet: sheet, Spec: spec, Checks: checks(c, &sheet, &spec),
		Readings: StiffnessReadings(c, sheet), SwingWeightOzIn: fieldOf("swing_weight_ozin").measured(&clubSheet{sheet: sheet}), SwingWeightZero: o.SwingWeightZero,
	}
	b.SwingWeightLetter = beam.SwingWeightLetter(b.SwingWeightOzIn, o.SwingWeightZero)
	for _, k := range b.Checks {
		switch k.Verdict {
		case Failed:
			b.flag(capture.OutOfSpec, k.Item, k.String())
		case Missing:
			b.flag(ItemMissing, k.Item, k.String())
		}
	}
	b.FromStiffness = b.fromStiffness(c, o)
	b.Agreements = b.agreements(c)
	for _, a := range b.Agreements {
		if !a.Agrees() {
			b.flag(Disagrees, a.Item, a.String())
		}
	}
	b.softness(c, o)
	return b, nil
}

func (b *ClubBench) flag(code capture.Code, item, detail string) {
	b.Flags = append(b.Flags, BenchFlag{code, item, detail})
}

// softness finds where EI departs from a smooth taper: in the readings where
// there are enough, else in the table.
func (b *ClubBench) softness(c *Club, o BenchOptions) {
	curve := readingCurve(b.Readings)
	d, err := beam.Departures(curve.Station, curve.Value)
	if err != nil {
		if d, err = beam.Departures(c.Shaft.Station, c.Shaft.EI); err != nil {
			return // too few stations for anything to depart from
		}
	}
	b.Departures = d
	b.SoftSpots = beam.SoftSpots(b.Departures, o.SoftSpot)
	for _, s := range b.SoftSpots {
		over := ""
		if s.From != s.To {
			over = fmt.Sprintf(" (%.0f to %.0f mm)", s.From*1e3, s.To*1e3)
		}
		b.flag(Soft, "ei_n_m2", fmt.Sprintf("EI is %.1f %% below a smooth taper at %.0f mm%s", -s.Worst.Share*100, s.Worst.Station*1e3, over))
	}
}

// FromStiffness is what the tables of stiffness and mass give for the tests of
// the sheet, in their set-up. NaN is not known.
type FromStiffness struct {
	FrequencyCPM, TorqueDeg               float64
	ClampMM, TipMassG                     float64 // of the frequency
	ButtDeflectionMM                      float64
	TipDeflectionMM                       float64
	BendPointCompressedMM                 float64 // crest when compressed end to end, from the butt end
	BendPointRatio                        float64 // 100 × tip/(butt + tip deflection) under one small load and one clamp
	MomentNM, TorqueClampMM, TorqueBeamMM float64 // of the torque
}

// fromStiffness works out the tests. The set-up of a frequency test that the
// sheet leaves out is taken from the options, and flagged.
func (b *ClubBench) fromStiffness(c *Club, o BenchOptions) FromStiffness {
	nan := math.NaN()
	f := FromStiffness{nan, nan, nan, nan, nan, nan, nan, nan, nan, nan, nan}
	shaft, err := c.Beam(b.Sheet)
	if err != nil {
		b.flag(ItemMissing, "stiffness", "the club has no table of stiffness, so that nothing can be worked out from it")
		return f
	}
	if !c.FitShaft().Known() {
		b.flag(ItemMissing, "stiffness", "the table of stiffness spans less than half of the shaft: beyond its ends it is taken as constant here, and the fit of the swings does not use it")
	}
	freq, torque := b.Sheet.frequency(), b.Sheet.torque()
	f.ClampMM, f.TipMassG = known(freq.ClampMM), known(freq.TipMassG)
	if math.IsNaN(f.ClampMM) || math.IsNaN(f.TipMassG) {
		if math.IsNaN(f.ClampMM) {
			f.ClampMM = o.ClampMM
		}
		if math.IsNaN(f.TipMassG) {
			f.TipMassG = o.TipMassG
		}
		b.flag(SetUpTaken, "frequency", fmt.Sprintf("the sheet does not say how the frequency was taken; the value from stiffness is for a clamp of %v mm and %v g at the tip", f.ClampMM, f.TipMassG))
	}
	value := func(item string, scale float64, work func() (float64, error)) float64 {
		v, err := work()
		if err != nil {
			b.flag(ItemMissing, item, err.Error())
			return nan
		}
		return v * scale
	}
	if len(shaft.Density.Station) == 0 {
		b.flag(ItemMissing, "weight_g", "the sheet has no weight, so that no frequency can be worked out from stiffness")
	} else {
		f.FrequencyCPM = value("frequency", 1, func() (float64, error) { return shaft.CPM(f.ClampMM/1e3, f.TipMassG/1e3) })
	}
	f.MomentNM, f.TorqueClampMM, f.TorqueBeamMM = known(torque.MomentNM), known(torque.ClampMM), known(torque.BeamMM)
	f.TorqueDeg = shaft.Twist(f.MomentNM, f.TorqueClampMM/1e3, (f.TorqueClampMM+f.TorqueBeamMM)/1e3) * degree
	if b.Sheet.Torque != nil && math.IsNaN(f.TorqueDeg) {
		b.flag(ItemMissing, "torque", "the torque test lacks its moment, clamp or beam length, so that no torque can be worked out from stiffness")
	}
	for _, d := range []struct {
		item string
		test *DeflectionTest
		beam beam.Beam
		into *float64
	}{{"butt_deflection", b.Sheet.Butt, shaft, &f.ButtDeflectionMM}, {"tip_deflection", b.Sheet.Tip, shaft.Reversed(), &f.TipDeflectionMM}} {
		if d.test != nil {
			*d.into = value(d.item, 1e3, func() (float64, error) {
				return d.beam.Sag(known(d.test.ClampMM)/1e3, known(d.test.BeamMM)/1e3, known(d.test.LoadN))
			})
		}
	}
	f.BendPointCompressedMM = shaft.BendPointCompressed() * 1e3
	clamp := o.ClampMM / 1e3
	const small = 1 // N: the ratio is then that of small deflections
	butt, err1 := shaft.Sag(clamp, shaft.Length-clamp, small)
	tip, err2 := shaft.Reversed().Sag(clamp, shaft.Length-clamp, small)
	if err1 == nil && err2 == nil { // else the shaft is shorter than the clamp, which shows as NaN
		f.BendPointRatio = beam.BendPointRatio(butt, tip)
	}
	return f
}
