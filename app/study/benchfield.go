package study

import (
	"math"
	"strings"

	"bendline/kinematics"
	"bendline/kinematics/beam"
)

// A clubSheet is all of a club that the bench measures and wants, to be changed.
type clubSheet struct {
	length, butt, tip *float64 // mm
	shaft             kinematics.Shaft
	sheet             Sheet
	spec              Spec
}

// clubSheet returns what the bench measures and wants of a club, in copies.
func (c *Club) clubSheet() (*clubSheet, error) {
	sheet, err := c.Sheet()
	if err != nil {
		return nil, err
	}
	spec, err := c.Limits()
	if err != nil {
		return nil, err
	}
	return &clubSheet{positive(c.Shaft.Length), positive(c.ButtDiameter), positive(c.TipDiameter), c.Shaft, sheet, spec}, nil
}

// positive returns a length in m as mm, nil for 0.
func positive(m float64) *float64 {
	if m == 0 {
		return nil
	}
	mm := millimetres(m)
	return &mm
}

// with returns the club with the sheet. What cannot be is an error.
func (c Club) with(b *clubSheet) (Club, error) {
	was := c
	c.Shaft = b.shaft
	c.Shaft.Length, c.ButtDiameter, c.TipDiameter = optional(b.length)/1e3, optional(b.butt)/1e3, optional(b.tip)/1e3
	c.Bench, c.Spec = nil, nil // held against the new length when they are put back
	if err := c.validate(); err != nil {
		return was, err
	}
	c.Bench, c.Spec = was.Bench, was.Spec
	c, err := c.WithSheet(b.sheet)
	if err == nil {
		c, err = c.WithLimits(b.spec)
	}
	if err != nil {
		return was, err
	}
	return c, nil
}

// A benchField is one value of the sheet, which a spec may name. To add one, add
// it to Sheet, to Spec and to benchFields.
type benchField struct {
	key, label string
	of         *dimension
	digits     int
	span       span
	names      string // that a table may give it besides its label, parted by |

	at   func(*clubSheet) **float64 // where the value is kept
	spec func(*Spec) **Tolerance    // nil where no spec names it
}

// ensured returns what p points at, made if it is missing.
func ensured[P any](p **P) *P {
	if *p == nil {
		*p = new(P)
	}
	return *p
}

var benchFields = []benchField{
	{"length_mm", "length", aLength, 1, span{300, 1500}, "shaft length|raw length",
		func(b *clubSheet) **float64 { return &b.length }, func(s *Spec) **Tolerance { return &s.LengthMM }},
	{"butt_diameter_mm", "butt diameter", aLength, 2, span{4, 40}, "butt od|diameter butt",
		func(b *clubSheet) **float64 { return &b.butt }, func(s *Spec) **Tolerance { return &s.ButtDiameterMM }},
	{"tip_diameter_mm", "tip diameter", aLength, 2, span{4, 40}, "tip od|diameter tip",
		func(b *clubSheet) **float64 { return &b.tip }, func(s *Spec) **Tolerance { return &s.TipDiameterMM }},
	{"weight_g", "weight", aMass, 1, span{10, 400}, "raw weight|shaft weight|mass|shaft mass|raw mass",
		func(b *clubSheet) **float64 { return &b.sheet.WeightG }, func(s *Spec) **Tolerance { return &s.WeightG }},
	{"balance_mm", "balance point", aLength, 1, span{50, 1500}, "balance|shaft balance|bp",
		func(b *clubSheet) **float64 { return &b.sheet.BalanceMM }, func(s *Spec) **Tolerance { return &s.BalanceMM }},
	{"stiff_plane_deg", "stiff plane, from the droop plane", anAngle, 0, span{-360, 360}, "stiff plane|spine|stiff plane orientation|orientation of the stiff plane",
		func(b *clubSheet) **float64 { return &b.sheet.StiffPlaneDeg }, nil},
	{"frequency_cpm", "frequency", aFrequency, 1, span{40, 3000}, "cpm|butt frequency",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Frequency).CPM }, func(s *Spec) **Tolerance { return &s.FrequencyCPM }},
	{"frequency_clamp_mm", "frequency, clamp", aLength, 1, span{0, 500}, "clamp|frequency clamp length",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Frequency).ClampMM }, nil},
	{"frequency_tip_mass_g", "frequency, tip mass", aMass, 1, span{0, 1000}, "tip mass|tip weight|frequency tip weight",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Frequency).TipMassG }, nil},
	{"torque_deg", "torque", anAngle, 2, span{0.1, 60}, "torsion|twist",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Torque).Deg }, func(s *Spec) **Tolerance { return &s.TorqueDeg }},
	{"torque_moment_n_m", "torque, moment", aMoment, 3, span{0.05, 20}, "moment|torque load",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Torque).MomentNM }, nil},
	{"torque_clamp_mm", "torque, clamp", aLength, 1, span{0, 500}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Torque).ClampMM }, nil},
	{"torque_beam_mm", "torque, beam length", aLength, 1, span{100, 1500}, "torque beam|torque length",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Torque).BeamMM }, nil},
	{"butt_deflection_mm", "butt deflection", aLength, 1, span{1, 1000}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Butt).MM }, func(s *Spec) **Tolerance { return &s.ButtDeflectionMM }},
	{"butt_deflection_load_n", "butt deflection, load", aForce, 2, span{0.1, 500}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Butt).LoadN }, nil},
	{"butt_deflection_clamp_mm", "butt deflection, clamp", aLength, 1, span{0, 500}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Butt).ClampMM }, nil},
	{"butt_deflection_beam_mm", "butt deflection, beam length", aLength, 1, span{100, 1500}, "butt deflection beam|butt deflection length",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Butt).BeamMM }, nil},
	{"tip_deflection_mm", "tip deflection", aLength, 1, span{1, 1000}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Tip).MM }, func(s *Spec) **Tolerance { return &s.TipDeflectionMM }},
	{"tip_deflection_load_n", "tip deflection, load", aForce, 2, span{0.1, 500}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Tip).LoadN }, nil},
	{"tip_deflection_clamp_mm", "tip deflection, clamp", aLength, 1, span{0, 500}, "",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Tip).ClampMM }, nil},
	{"tip_deflection_beam_mm", "tip deflection, beam length", aLength, 1, span{100, 1500}, "tip deflection beam|tip deflection length",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Tip).BeamMM }, nil},
	{bandKey, "EI at every station", aShare, 1, span{}, "ei band|ei tolerance", nil, nil},
	{"assembly_mass_g", "mass of the club", aMass, 1, span{100, 1500}, "club mass|club weight|assembly mass|assembled weight|total weight",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).MassG }, func(s *Spec) **Tolerance { return &s.AssemblyMassG }},
	{"assembly_balance_mm", "balance of the club", aLength, 1, span{100, 1500}, "club balance|assembly balance|assembled balance|balance of club",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).BalanceMM }, func(s *Spec) **Tolerance { return &s.AssemblyBalanceMM }},
	{"head_g", "mass of the head", aMass, 1, span{50, 600}, "head|head mass|head weight",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).HeadG }, nil},
	{"grip_g", "mass of the grip", aMass, 1, span{5, 300}, "grip|grip mass|grip weight",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).GripG }, nil},
	{"cg_toe_mm", "head CG towards the toe", aLength, 1, span{-100, 150}, "cg toe|cg towards toe|head cg toe",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).CGToeMM }, nil},
	{"cg_back_mm", "head CG away from the target", aLength, 1, span{-100, 150}, "cg back|cg depth|head cg back",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).CGBackMM }, nil},
	{"swing_weight_ozin", "swing weight", aSwing, 2, span{50, 400}, "swingweight",
		func(b *clubSheet) **float64 { return &ensured(&b.sheet.Assembly).SwingWeightOzIn }, func(s *Spec) **Tolerance { return &s.SwingWeightOzIn }},
}

// fieldOf returns the field with the key, nil for none.
func fieldOf(key string) *benchField {
	for i := range benchFields {
		if benchFields[i].key == key {
			return &benchFields[i]
		}
	}
	return nil
}

// measured returns the field's value, NaN where it is missing. A swing weight
// that was not read from a scale follows from the mass and balance of the club.
func (f *benchField) measured(b *clubSheet) float64 {
	if f.at == nil {
		return math.NaN()
	}
	v := known(*f.at(b))
	if f.key == "swing_weight_ozin" && math.IsNaN(v) {
		return b.sheet.swingWeight()
	}
	return v
}

// bandKey is the field whose limits are those of EI at every station of the spec.
const bandKey = "ei_percent"

// limit returns where a limit of the field is kept: nil where the field has none
// of that kind.
func (f *benchField) limit(s *Spec, column BenchColumn) **float64 {
	if f.key == bandKey {
		switch column {
		case BenchMinus:
			return &ensured(&s.EIPercent).Minus
		case BenchPlus:
			return &ensured(&s.EIPercent).Plus
		}
		return nil
	}
	if f.spec == nil {
		return nil
	}
	t := ensured(f.spec(s))
	return map[BenchColumn]**float64{BenchTarget: &t.Target, BenchMinus: &t.Minus, BenchPlus: &t.Plus}[column]
}

// swept takes away the parts of sheet and spec that hold nothing.
func (b *clubSheet) swept() {
	sweep(&b.sheet.Frequency)
	sweep(&b.sheet.Torque)
	sweep(&b.sheet.Butt)
	sweep(&b.sheet.Tip)
	sweep(&b.sheet.Assembly)
	for i := range benchFields {
		if f := &benchFields[i]; f.spec != nil {
			sweep(f.spec(&b.spec))
		}
	}
	if e := b.spec.EIPercent; e != nil && e.Minus == nil && e.Plus == nil && len(e.Stations) == 0 {
		b.spec.EIPercent = nil
	}
}

func sweep[P comparable](p **P) {
	var nothing P
	if *p != nil && **p == nothing {
		*p = nil
	}
}

// parse reads a typed value of the field. The swing weight is also read on the
// letter scale, whose D0 is given.
func (f *benchField) parse(text, unit string, mark decimalMark, zero float64) (float64, error) {
	if f.key == "swing_weight_ozin" {
		if w, ok := beam.ParseSwingWeight(strings.ToUpper(strings.TrimSpace(text)), zero); ok {
			return rounded(w), nil
		}
	}
	return f.of.parse(text, unit, mark)
}

// A BenchColumn is a column of a bench sheet.
type BenchColumn int

// The columns.
const (
	BenchValue BenchColumn = iota
	BenchTarget
	BenchMinus
	BenchPlus
)

// String returns "measured", "target", "minus" or "plus".
func (c BenchColumn) String() string {
	return [...]string{"measured", "target", "minus", "plus"}[c]
}
