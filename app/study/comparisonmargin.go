package study

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// A Margin is the difference of a measure below which two clubs count as the
// same, in shown units.
type Margin struct {
	Value  float64
	Source string // who set it: "chosen", "study file", or CommonPractice
}

// CommonPractice marks a figure that the trade uses and no publication gives.
const CommonPractice = "common practice, no source"

// usualMargins by measure: common practice, no source. Each is about one
// player's own standard deviation at impact.
var usualMargins = map[string]float64{
	"lead_mm": 4, "droop_mm": 3, "twist_deg": 0.5,
	"lead_angle_deg": 0.7, "droop_angle_deg": 0.5,
	"head_speed_m_s": 0.5, "kick_speed_m_s": 0.5,
	"peak_lag_mm": 8, "peak_lag_ms": 10,
	"peak_toe_up_mm": 8, "peak_toe_up_ms": 10, "droop_turn_ms": 10,
}

// margin returns the margin of the measure: chosen for this comparison, else set
// in the study file, else the usual one.
func margin(s *Study, chosen map[string]float64, m Measure) Margin {
	if v, ok := chosen[m.Key]; ok {
		return Margin{v, "chosen"}
	}
	if v, ok := s.Choices.Margins[m.Key]; ok {
		return Margin{v, "study file"}
	}
	return Margin{usualMargins[m.Key], CommonPractice}
}

// validateMargins returns an error if a margin is of no measure, or no margin.
func validateMargins(margins map[string]float64) error {
	for _, key := range slices.Sorted(maps.Keys(margins)) {
		v := margins[key]
		switch _, known := usualMargins[key]; {
		case !known:
			return fmt.Errorf("margins: there is no measure %q; the measures are %s", key, strings.Join(measureKeys(), ", "))
		case !(v > 0) || math.IsInf(v, 0):
			return fmt.Errorf("margins: %s is %v; it must be positive", key, v)
		}
	}
	return nil
}

// measureKeys returns the keys of the measures that a comparison has.
func measureKeys() []string {
	var keys []string
	for _, m := range slices.Concat(Measures, Peaks) {
		keys = append(keys, m.Key)
	}
	return keys
}
