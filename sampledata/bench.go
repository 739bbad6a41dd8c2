package sampledata

import (
	"math"
	"math/rand/v2"
)

// A Bench is what was measured of a club before it was swung, in the units and
// keys of a study file.
type Bench struct {
	WeightG    float64      `json:"weight_g"`
	BalanceMM  float64      `json:"balance_mm"`
	Frequency  Frequency    `json:"frequency"`
	Torque     Torque       `json:"torque"`
	ThreePoint []ThreePoint `json:"three_point"`
	Assembly   Assembly     `json:"assembly"`
}

// Frequency is the first frequency of the shaft clamped at the butt with a mass
// at the tip.
type Frequency struct {
	CPM      float64 `json:"cpm"` // cycles a minute
	ClampMM  float64 `json:"clamp_mm"`
	TipMassG float64 `json:"tip_mass_g"`
}

// Torque is the twist of the beam beyond the clamp under a moment at its end.
type Torque struct {
	Deg      float64 `json:"deg"`
	MomentNM float64 `json:"moment_n_m"`
	ClampMM  float64 `json:"clamp_mm"`
	BeamMM   float64 `json:"beam_mm"`
}

// ThreePoint is the deflection at a station, midway between two supports, under
// a load there.
type ThreePoint struct {
	StationMM    float64 `json:"station_mm"`
	SpanMM       float64 `json:"span_mm"`
	LoadN        float64 `json:"load_n"`
	DeflectionMM float64 `json:"deflection_mm"`
}

// Assembly is the finished club.
type Assembly struct {
	MassG     float64 `json:"mass_g"`
	BalanceMM float64 `json:"balance_mm"`
	HeadG     float64 `json:"head_g"`
	GripG     float64 `json:"grip_g"`
}

// A Spec is what the bench is held against.
type Spec struct {
	WeightG         Tolerance `json:"weight_g"`
	BalanceMM       Tolerance `json:"balance_mm"`
	FrequencyCPM    Tolerance `json:"frequency_cpm"`
	TorqueDeg       Tolerance `json:"torque_deg"`
	SwingWeightOzIn Tolerance `json:"swing_weight_ozin"`
	EIPercent       EISpec    `json:"ei_percent"`
}

// A Tolerance is a target and how far below and above it a value may lie.
type Tolerance struct {
	Target float64 `json:"target"`
	Minus  float64 `json:"minus"`
	Plus   float64 `json:"plus"`
}

// An EISpec is the intended stiffness and how far off it may be, in percent.
type EISpec struct {
	Minus    float64     `json:"minus"`
	Plus     float64     `json:"plus"`
	Stations []EIStation `json:"stations"`
}

// An EIStation is the stiffness at a station.
type EIStation struct {
	StationMM float64 `json:"station_mm"`
	EINM2     float64 `json:"ei_n_m2"`
}

// parts are the masses of a club, kg.
type parts struct{ shaft, head, grip float64 }

// The set-ups of the bench.
const (
	frequencyClamp, tipMass                = 0.127, 0.205        // m, kg
	torqueClamp, torqueBeam, torqueMoment  = 0.076, 1.016, 1.356 // m, m, N m: one pound-foot
	threePointSpan, threePointLoad         = 0.3, 50.            // m, N
	shaftBalance, headBalance, gripBalance = 0.49, 1.02, 0.115   // shares of the length, m
)

// measured returns the bench values of a shaft of known stiffness, as gauges of
// usual resolution would show them, and the spec they are the nominal values
// of.
func (c *Club) measured(p parts, rng *rand.Rand) (*Bench, *Spec) {
	ei, gj := c.stiffness()
	length := c.Shaft.Length
	exact := Bench{
		WeightG:   p.shaft * 1e3,
		BalanceMM: shaftBalance * length * 1e3,
		Frequency: Frequency{cyclesPerMinute(ei, frequencyClamp, length, tipMass, p.shaft/length), frequencyClamp * 1e3, tipMass * 1e3},
		Torque:    Torque{torqueMoment * integral(torqueClamp, torqueClamp+torqueBeam, reciprocal(gj)) * 180 / math.Pi, torqueMoment, torqueClamp * 1e3, torqueBeam * 1e3},
	}
	mass := p.shaft + p.head + p.grip
	balance := (p.shaft*shaftBalance*length + p.head*headBalance*length + p.grip*gripBalance) / mass
	exact.Assembly = Assembly{mass * 1e3, balance * 1e3, p.head * 1e3, p.grip * 1e3}
	spec := &Spec{
		WeightG:         Tolerance{round(exact.WeightG, 0.1), 1.5, 1.5},
		BalanceMM:       Tolerance{round(exact.BalanceMM, 1), 6, 6},
		FrequencyCPM:    Tolerance{round(exact.Frequency.CPM, 1), 3, 3},
		TorqueDeg:       Tolerance{round(exact.Torque.Deg, 0.1), 0.25, 0.25},
		SwingWeightOzIn: Tolerance{round(swingWeight(mass, balance), 0.5), 1.75, 1.75},
		EIPercent:       EISpec{Minus: 4, Plus: 4},
	}

	gauge := func(x, sd, step float64) float64 { return round(x+sd*rng.NormFloat64(), step) }
	b := exact
	b.WeightG = gauge(b.WeightG, 0.3, 0.1)
	b.BalanceMM = gauge(b.BalanceMM, 1, 0.5)
	b.Frequency.CPM = gauge(b.Frequency.CPM, 0.5, 0.1)
	b.Torque.Deg = gauge(b.Torque.Deg, 0.03, 0.01)
	b.Assembly.MassG = gauge(b.Assembly.MassG, 0.3, 0.1)
	b.Assembly.BalanceMM = gauge(b.Assembly.BalanceMM, 0.7, 0.5)
	for s := 0.2; s < length-threePointSpan/2; s += 0.1 {
		y := threePointDeflection(ei, s, threePointSpan, threePointLoad) * 1e3
		b.ThreePoint = append(b.ThreePoint, ThreePoint{round(s*1e3, 1), threePointSpan * 1e3, threePointLoad, gauge(y, 0.003*y, 1e-3)})
		spec.EIPercent.Stations = append(spec.EIPercent.Stations, EIStation{round(s*1e3, 1), round(ei(s), 0.1)})
	}
	return &b, spec
}

// swingWeight returns mass times the distance of the balance point beyond a
// fulcrum 14 in from the butt end, oz in (common practice, no source).
func swingWeight(mass, balance float64) float64 {
	const ounce, inch = 0.028349523125, 0.0254
	return mass / ounce * (balance/inch - 14)
}

// threePointDeflection returns the deflection under a load midway between two
// supports, by virtual work: the integral of M m / EI, with M = F x/2 and
// m = x/2 from either support.
func threePointDeflection(ei func(float64) float64, station, span, load float64) float64 {
	half := span / 2
	return load / 4 * integral(0, half, func(x float64) float64 {
		return x * x * (1/ei(station-half+x) + 1/ei(station+half-x))
	})
}

// cyclesPerMinute returns the first frequency of a cantilever with a mass at
// its tip by Rayleigh's quotient, taking for the mode the shape under a load at
// the tip: right to a part in a thousand when the tip mass outweighs the beam.
func cyclesPerMinute(ei func(float64) float64, clamp, length, tip, density float64) float64 {
	const n = 400
	h := (length - clamp) / n
	var y, slope, work, inertia float64
	for i := range n {
		s := clamp + (float64(i)+0.5)*h
		bend := (length - s) / ei(s)
		middle := y + slope*h/2 + bend*h*h/8
		y += slope*h + bend*h*h/2
		slope += bend * h
		work += ei(s) * bend * bend * h
		inertia += density * middle * middle * h
	}
	return 60 / (2 * math.Pi) * math.Sqrt(work/(inertia+tip*y*y))
}

// integral returns the integral of f by the midpoint rule.
func integral(from, to float64, f func(float64) float64) float64 {
	const n = 1000
	h := (to - from) / n
	sum := 0.0
	for i := range n {
		sum += f(from + (float64(i)+0.5)*h)
	}
	return sum * h
}

func reciprocal(f func(float64) float64) func(float64) float64 {
	return func(s float64) float64 { return 1 / f(s) }
}
