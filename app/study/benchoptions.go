package study

import (
	"fmt"
	"math"
)

// BenchSettings are what a study sets of the conventions of its bench and of what
// the swings are held against, in the units of the study file; nil is the usual
// value.
type BenchSettings struct {
	ZeroOzIn     *float64 `json:"d0_ozin,omitempty"`
	ClampMM      *float64 `json:"clamp_mm,omitempty"`
	TipMassG     *float64 `json:"tip_mass_g,omitempty"`
	SoftSpot     *float64 `json:"soft_spot_percent,omitempty"`
	HandsMM      *float64 `json:"hands_mm,omitempty"`
	HeadG        *float64 `json:"head_g,omitempty"`
	CGToeMM      *float64 `json:"cg_toe_mm,omitempty"`
	CGBackMM     *float64 `json:"cg_back_mm,omitempty"`
	RadiusMM     *float64 `json:"radius_mm,omitempty"`
	Slope        *float64 `json:"slope,omitempty"`
	Swings       *float64 `json:"swings,omitempty"`
	RigAmplitude *float64 `json:"rig_amplitude_microstrain,omitempty"`
}

// A BenchSetting is one of them, to be shown and set.
type BenchSetting struct {
	Key, Label, Usual string // Usual says what counts where it is not set
	of                *dimension
	span              span
	at                func(*BenchSettings) **float64
	use               func(*BenchOptions, *SwingOptions, float64)
}

// Unit returns the unit of its values, "" for a plain number.
func (b BenchSetting) Unit() string { return b.of.kept() }

// In returns its value in a study, NaN where it is not set.
func (b BenchSetting) In(s *Study) float64 { return known(*b.at(&s.BenchSettings)) }

// AllBenchSettings are the settings, in the order they are shown in.
var AllBenchSettings = []BenchSetting{
	{"d0_ozin", "D0 of the letter scale", "213.5", aSwing, span{150, 300}, func(s *BenchSettings) **float64 { return &s.ZeroOzIn },
		func(b *BenchOptions, _ *SwingOptions, v float64) { b.SwingWeightZero = v }},
	{"clamp_mm", "clamp, if a test has none", "127", aLength, span{20, 500}, func(s *BenchSettings) **float64 { return &s.ClampMM },
		func(b *BenchOptions, _ *SwingOptions, v float64) { b.ClampMM = v }},
	{"tip_mass_g", "tip mass, if a test has none", "205", aMass, span{0, 1000}, func(s *BenchSettings) **float64 { return &s.TipMassG },
		func(b *BenchOptions, _ *SwingOptions, v float64) { b.TipMassG = v }},
	{"soft_spot_percent", "soft spot, below the taper by", "5", aShare, span{0.5, 50}, func(s *BenchSettings) **float64 { return &s.SoftSpot },
		func(b *BenchOptions, _ *SwingOptions, v float64) { b.SoftSpot = v / 100 }},
	{"hands_mm", "hands, from the butt end", "200", aLength, span{0, 500}, func(s *BenchSettings) **float64 { return &s.HandsMM },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.Clamp = v / 1e3 }},
	{"head_g", "head, if a sheet has none", "200", aMass, span{50, 600}, func(s *BenchSettings) **float64 { return &s.HeadG },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.HeadMass = v / 1e3 }},
	{"cg_toe_mm", "its CG towards the toe", "36", aLength, span{-100, 150}, func(s *BenchSettings) **float64 { return &s.CGToeMM },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.CGToe = v / 1e3 }},
	{"cg_back_mm", "its CG away from the target", "15", aLength, span{-100, 150}, func(s *BenchSettings) **float64 { return &s.CGBackMM },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.CGBack = v / 1e3 }},
	{"radius_mm", "radius of the head's path", "as captured", aLength, span{300, 5000}, func(s *BenchSettings) **float64 { return &s.RadiusMM },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.Radius = v / 1e3 }},
	{"slope", "exponent of damage", "10", aNumber, span{1, 40}, func(s *BenchSettings) **float64 { return &s.Slope },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.WearSlope = v }},
	{"swings", "swings to stand for", "10000", aNumber, span{1, 1e9}, func(s *BenchSettings) **float64 { return &s.Swings },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.WearSwings = v }},
	{"rig_amplitude_microstrain", "amplitude (half of its range)", "hardest cycle", aStrain, span{10, 1e5}, func(s *BenchSettings) **float64 { return &s.RigAmplitude },
		func(_ *BenchOptions, o *SwingOptions, v float64) { o.WearRigRange = 2 * v / 1e6 }},
}

// options returns the usual options with what the study sets.
func (s *Study) options() (BenchOptions, SwingOptions) {
	b, o := DefaultBenchOptions(), DefaultSwingOptions()
	for _, k := range AllBenchSettings {
		if v := *k.at(&s.BenchSettings); v != nil {
			k.use(&b, &o, *v)
		}
	}
	return b, o
}

// BenchOptions returns the conventions of the study's bench.
func (s *Study) BenchOptions() BenchOptions { b, _ := s.options(); return b }

// SwingOptions returns what the study's swings are held against.
func (s *Study) SwingOptions() SwingOptions { _, o := s.options(); return o }

// WithSetting returns the study with a setting as typed, "" for the usual value.
// What cannot be is an error. It panics for a key that no setting has.
func (s *Study) WithSetting(key, text string) (*Study, error) {
	for _, k := range AllBenchSettings {
		if k.Key != key {
			continue
		}
		out := *s
		if isMissing(text) {
			*k.at(&out.BenchSettings) = nil
			return &out, nil
		}
		v, err := k.of.parse(text, "", markUnknown)
		if err != nil {
			return nil, fmt.Errorf("study: %s: %w", k.Label, err)
		}
		if err := k.of.believed(v, k.span); err != nil {
			return nil, fmt.Errorf("study: %s is %w", k.Label, err)
		}
		*k.at(&out.BenchSettings) = &v
		return &out, nil
	}
	panic("study: there is no setting called " + key)
}

// validate returns an error for a setting that cannot be.
func (s *BenchSettings) validate() error {
	for _, k := range AllBenchSettings {
		if v := *k.at(s); v != nil {
			if err := k.of.believed(*v, k.span); err != nil || math.IsNaN(*v) {
				return fmt.Errorf("bench_settings: %s is %w", k.Key, err)
			}
		}
	}
	return nil
}
