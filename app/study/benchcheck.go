package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/capture"
	"bendline/kinematics/beam"
)

// swingWeight returns the swing weight that mass and balance of the assembled
// club give, oz in, NaN where either is missing.
func (s *Sheet) swingWeight() float64 {
	a := s.assembly()
	return beam.SwingWeightOzIn(known(a.MassG)/1e3, known(a.BalanceMM)/1e3)
}

// The parts of the sheet, empty where they are missing.

func (s *Sheet) frequency() FrequencyTest { return part(s.Frequency) }
func (s *Sheet) torque() TorqueTest       { return part(s.Torque) }
func (s *Sheet) assembly() Assembly       { return part(s.Assembly) }

func deflection(d *DeflectionTest) DeflectionTest { return part(d) }

func part[P any](p *P) P {
	if p == nil {
		var none P
		return none
	}
	return *p
}

// A Check is an item of the sheet held against the spec, in the unit its Item
// names.
type Check struct {
	Item, Label, Unit        string
	Digits                   int                             // decimals shown
	StationMM                float64                         // of an EI, NaN for other items
	Source                   string                          // of an EI: "three_point" or "stiffness"
	Value, Target, Low, High float64                         // NaN where missing
	EI                       struct{ Value, Target float64 } // of an EI, N m²
	Verdict                  Verdict
}

// String returns a sentence: "weight 66.9 g is out of spec, 62.5 to 65.5 g".
func (c Check) String() string {
	label := c.Label
	if !math.IsNaN(c.StationMM) {
		label = fmt.Sprintf("%s at %v mm (%s)", c.Label, c.StationMM, strings.ReplaceAll(c.Source, "_", " "))
	}
	limits := fmt.Sprintf("%.*f to %.*f %s", c.Digits, c.Low, c.Digits, c.High, c.Unit)
	switch {
	case math.IsNaN(c.Value):
		return fmt.Sprintf("%s is missing; the spec asks for %s", label, limits)
	case c.Verdict == Missing:
		return fmt.Sprintf("%s %.*f %s cannot be judged: the spec lacks minus or plus", label, c.Digits, c.Value, c.Unit)
	}
	return fmt.Sprintf("%s %.*f %s is %v, %s", label, c.Digits, c.Value, c.Unit, c.Verdict, limits)
}

// checks holds the sheet against the spec, item by item: only items that the
// spec names. An EI is checked at each of the spec's stations against the
// three-point readings, where some lie on both sides of the station, and
// against the table of stiffness; missing where there is neither.
func checks(c *Club, sheet *Sheet, spec *Spec) []Check {
	var out []Check
	b := &clubSheet{length: positive(c.Shaft.Length), butt: positive(c.ButtDiameter), tip: positive(c.TipDiameter), sheet: *sheet}
	for i := range benchFields {
		f := &benchFields[i]
		if f.spec == nil || *f.spec(spec) == nil {
			continue
		}
		t := *f.spec(spec)
		low, high := t.limits()
		v := f.measured(b)
		out = append(out, Check{
			Item: f.key, Label: f.label, Unit: f.of.kept(), Digits: f.digits, StationMM: math.NaN(),
			Value: v, Target: *t.Target, Low: low, High: high, Verdict: judge(v, low, high),
		})
	}
	if spec.EIPercent == nil {
		return out
	}
	readings := readingCurve(StiffnessReadings(c, *sheet))
	for _, p := range spec.EIPercent.Stations {
		at := p.StationMM / 1e3
		check := func(source string, ei float64) {
			k := Check{Item: bandKey, Label: "EI off its target", Unit: "%", Digits: 1, StationMM: p.StationMM, Source: source,
				Value: (ei/p.EI - 1) * 100, Low: -known(spec.EIPercent.Minus), High: known(spec.EIPercent.Plus)}
			k.EI.Value, k.EI.Target = ei, p.EI
			k.Verdict = judge(k.Value, k.Low, k.High)
			out = append(out, k)
		}
		within := len(readings.Station) > 0 && at >= readings.Station[0]-1e-9 && at <= readings.Station[len(readings.Station)-1]+1e-9
		if within {
			check("three_point", readings.At(at))
		}
		if c.Shaft.Known() {
			ei, _ := c.Shaft.Stiffness(at)
			check("stiffness", ei)
		}
		if !within && !c.Shaft.Known() {
			check("none", math.NaN())
		}
	}
	return out
}

// A StiffnessReading is the EI that a three-point reading gives.
type StiffnessReading struct {
	StationMM float64
	Formula   float64 // F S³/48y, N m²
	Bias      float64 // share by which the formula misses EI on this taper, negative where low; NaN where the taper is not known
	EI        float64 // formula without the bias; the formula's value where it is not known
}

// StiffnessReadings returns the EI of the sheet's three-point readings. The
// taper that biases the formula is the smooth one through the readings
// themselves, or that of the table of stiffness where there are fewer than four
// readings.
func StiffnessReadings(c *Club, s Sheet) []StiffnessReading {
	out := make([]StiffnessReading, len(s.ThreePoint))
	station, ei := make([]float64, len(out)), make([]float64, len(out))
	for i, r := range s.ThreePoint {
		station[i], ei[i] = r.StationMM/1e3, r.test().EI()
	}
	var taper func(float64) float64
	if t, err := beam.FitTaper(station, ei); err == nil {
		taper = t.At
	} else if c.Shaft.Known() {
		taper = func(at float64) float64 { ei, _ := c.Shaft.Stiffness(at); return ei }
	}
	for i, r := range s.ThreePoint {
		out[i] = StiffnessReading{r.StationMM, ei[i], math.NaN(), ei[i]}
		if taper != nil {
			out[i].Bias = r.test().Bias(taper)
			out[i].EI = ei[i] / (1 + out[i].Bias)
		}
	}
	return out
}

// readingCurve returns the EI of the readings by station.
func readingCurve(r []StiffnessReading) (c beam.Curve) {
	for _, p := range r {
		c.Station, c.Value = append(c.Station, p.StationMM/1e3), append(c.Value, p.EI)
	}
	return c
}

// outOfSpec returns a flag if anything of the club is out of spec.
func (c *Club) outOfSpec() []capture.Flag {
	sheet, err := c.Sheet()
	if err != nil {
		return nil // which no study that was opened or changed has
	}
	spec, err := c.Limits()
	if err != nil {
		return nil
	}
	failed := slices.DeleteFunc(checks(c, &sheet, &spec), func(k Check) bool { return k.Verdict != Failed })
	if len(failed) == 0 {
		return nil
	}
	said := make([]string, len(failed))
	for i, k := range failed {
		said[i] = k.String()
	}
	return []capture.Flag{{Code: capture.OutOfSpec, Detail: fmt.Sprintf("club %q: %s", c.ID, strings.Join(shortened(said), "; "))}}
}

// Judged returns the result with the verdict of its club's bench sheet as it is
// in the study now: a sheet can change without a swing being fitted again.
func (r *Result) Judged(s *Study) *Result {
	c := s.Club(r.Run.Club)
	if c == nil || !r.OK() {
		return r
	}
	now := c.outOfSpec()
	is := func(f capture.Flag) bool { return f.Code == capture.OutOfSpec }
	i := slices.IndexFunc(r.Flags, is)
	if i < 0 && len(now) == 0 || i >= 0 && len(now) > 0 && r.Flags[i] == now[0] {
		return r
	}
	judged := *r
	judged.Flags = append(slices.DeleteFunc(slices.Clone(r.Flags), is), now...)
	if r.pooled {
		judged.found = append(slices.DeleteFunc(slices.Clone(r.found), is), now...)
	}
	return &judged
}

// shortened returns the first of many sentences, and how many more there are.
func shortened(said []string) []string {
	const most = 3
	if len(said) <= most {
		return said
	}
	return append(said[:most:most], fmt.Sprintf("and %d more", len(said)-most))
}
