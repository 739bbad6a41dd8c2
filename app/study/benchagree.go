package study

import (
	"fmt"
	"math"
)

// An Agreement holds a measured value of the sheet against what its other values
// give for it, in the unit its Item names.
type Agreement struct {
	Item, Label, Unit  string
	Digits             int
	StationMM          float64 // of an EI, NaN for other items
	From               string  // what Computed was worked out from
	Computed, Measured float64
	Usual              float64 // how far the two differ in ordinary work; common practice, no source
	TooLow, TooHigh    string  // what could explain a measured value below, or above, the computed one
}

// Difference returns measured less computed.
func (a Agreement) Difference() float64 { return a.Measured - a.Computed }

// Agrees reports whether the values differ by no more than is usual.
func (a Agreement) Agrees() bool { return math.Abs(a.Difference()) <= a.Usual }

// Explanation returns what could explain the difference, "" where the values
// agree.
func (a Agreement) Explanation() string {
	switch {
	case a.Agrees():
		return ""
	case a.Difference() < 0:
		return a.TooLow
	}
	return a.TooHigh
}

// String returns a sentence.
func (a Agreement) String() string {
	where := ""
	if !math.IsNaN(a.StationMM) {
		where = fmt.Sprintf(" at %v mm", a.StationMM)
	}
	s := fmt.Sprintf("%s%s was measured as %.*f %s, and is %.*f %s from %s", a.Label, where, a.Digits, a.Measured, a.Unit, a.Digits, a.Computed, a.Unit, a.From)
	if e := a.Explanation(); e != "" {
		s += ": " + e
	}
	return s
}

// How far values differ in ordinary work. Common practice, no source.
const (
	usualCPM        = 3    // cycles a minute
	usualTorque     = 0.25 // deg
	usualDeflection = 0.03 // share
	usualEI         = 0.03 // share
	usualBalance    = 20   // mm: few shafts are as heavy at the tip as at the butt
	usualWeight     = 2    // g, of the shaft
	usualAssembly   = 6    // g, of the club: glue, ferrule, tape
	usualSwing      = 1.75 // oz in: one step of the letter scale
)

// agreements returns every measured value that others give as well, in the
// order of the sheet. Pairs of which one is not known are left out.
func (b *ClubBench) agreements(c *Club) []Agreement {
	var out []Agreement
	add := func(a Agreement) {
		if !math.IsNaN(a.Computed) && !math.IsNaN(a.Measured) {
			out = append(out, a)
		}
	}
	nan := math.NaN()
	f, s, a := b.FromStiffness, &b.Sheet, b.Sheet.assembly()
	add(Agreement{"frequency_cpm", "frequency", "cpm", 1, nan, "EI, weight, clamp and tip mass", f.FrequencyCPM, known(s.frequency().CPM), usualCPM,
		"a clamp that gives way or holds less than stated, a tip mass heavier than stated or beyond the tip end, the soft plane up, or an EI table that is too stiff",
		"a clamp that holds more than stated, a lighter tip mass, the stiff plane up, or an EI table that is too soft"})
	add(Agreement{"torque_deg", "torque", "deg", 2, nan, "GJ, moment and beam length", f.TorqueDeg, known(s.torque().Deg), usualTorque,
		"a shorter beam or a smaller moment than stated, or a GJ table that is too soft",
		"a clamp that slips, a longer beam or a larger moment than stated, or a GJ table that is too stiff"})
	for _, d := range []struct {
		item, label string
		computed    float64
		test        *DeflectionTest
	}{{"butt_deflection_mm", "butt deflection", f.ButtDeflectionMM, s.Butt}, {"tip_deflection_mm", "tip deflection", f.TipDeflectionMM, s.Tip}} {
		add(Agreement{d.item, d.label, "mm", 1, nan, "EI, load and lengths", d.computed, known(deflection(d.test).MM), usualDeflection * d.computed,
			"a shorter beam or a smaller load than stated, or an EI table that is too soft",
			"a clamp that gives way, a longer beam or a larger load than stated, or an EI table that is too stiff"})
	}
	if c.Shaft.Known() {
		table := func(at float64) float64 { ei, _ := c.Shaft.Stiffness(at); return ei }
		for i, r := range s.ThreePoint {
			// Both with the bias of the formula in them.
			add(Agreement{"ei_n_m2", "EI by three-point bend", "N m²", 1, r.StationMM, "the table of stiffness", r.test().Of(table).EI(), b.Readings[i].Formula, usualEI * b.Readings[i].Formula,
				"a soft spot that the table does not show, supports that give way, or the soft plane up",
				"a stiff spot that the table does not show, a deflection read short, or the stiff plane up"})
		}
	}
	shaft, err := c.Beam(*s)
	if err == nil && len(shaft.Density.Station) > 0 {
		mass, balance := shaft.Mass()
		from := "a mass that is the same everywhere"
		if len(s.Mass) > 0 {
			from = "the mass by station"
			add(Agreement{"weight_g", "weight", "g", 1, nan, from, mass * 1e3, known(s.WeightG), usualWeight,
				"a table of mass that is too heavy", "a table of mass that is too light"})
		}
		add(Agreement{"balance_mm", "balance point", "mm", 1, nan, from, balance * 1e3, known(s.BalanceMM), usualBalance,
			"more mass towards the butt: give the mass by station", "more mass towards the tip: give the mass by station"})
	}
	parts := known(s.WeightG) + known(a.HeadG) + known(a.GripG)
	add(Agreement{"assembly_mass_g", "mass of the club", "g", 1, nan, "shaft, head and grip", parts, known(a.MassG), usualAssembly,
		"a shaft that was trimmed after it was weighed, or parts of another club", "glue, ferrule and tape, or parts of another club"})
	add(Agreement{"swing_weight_ozin", "swing weight", "oz in", 2, nan, "mass and balance of the club", s.swingWeight(), known(a.SwingWeightOzIn), usualSwing,
		"a fulcrum beyond 14 in, or mass and balance of another state of the club", "a fulcrum short of 14 in, or mass and balance of another state of the club"})
	return out
}
