package app

import (
	"fmt"
	"strings"

	"bendline/app/study"
)

// bayMeasure is a measure as a fitting session calls it.
type bayMeasure struct {
	study.Measure
	name string // what the bend does, with its unit
}

// bayMeasures are the figures of a swing at impact, in the order shown. What the
// bend adds to loft is the lead angle, what it takes from the lie the droop
// angle.
var bayMeasures = func() []bayMeasure {
	names := map[string]string{
		"lead_mm": "Lead, mm", "droop_mm": "Droop, mm", "twist_deg": "Twist, °",
		"lead_angle_deg": "Loft added, °", "droop_angle_deg": "Toe-down lie, °",
		"kick_speed_m_s": "Kick speed, m/s", "head_speed_m_s": "Head speed, m/s",
	}
	var list []bayMeasure
	for _, key := range []string{"lead_mm", "droop_mm", "twist_deg", "lead_angle_deg", "droop_angle_deg", "kick_speed_m_s", "head_speed_m_s"} {
		for _, m := range study.Measures {
			if m.Key != key {
				continue
			}
			switch key {
			case "lead_angle_deg":
				m.Label = "Loft added"
			case "droop_angle_deg":
				m.Label = "Toe-down lie"
			}
			list = append(list, bayMeasure{m, names[key]})
		}
	}
	return list
}()

// standings returns how two shafts stand to each other in measures.
func standings(st *study.Study, all []study.Shaft, reference, other study.Shaft, measures []study.Measure) []study.Standing {
	list := make([]study.Standing, len(measures))
	for i, m := range measures {
		list[i] = study.Stand(st, all, reference, other, m)
	}
	return list
}

// tag says in two or three words how a difference stands.
func tag(d study.Standing) string {
	switch d.Telling {
	case study.Apart:
		return "larger than spread"
	case study.Alike:
		return fmt.Sprintf("same within ±%s", decimal(d.Margin, -1))
	}
	switch {
	case d.More > 0:
		return fmt.Sprintf("%d more each", d.More)
	case d.More == 0:
		return "not told apart"
	}
	return "cannot be told yet"
}

// told returns at most three sentences about the differences of two shafts: what
// is larger than the player's own spread, what is not, and how many swings would
// settle it.
func told(list []study.Standing, reference, other, player string) string {
	var apart, alike, open, plans []string
	doubt := "’s own spread" // that no difference is larger than
	for _, d := range list {
		name := strings.ToLower(d.Measure.Label)
		switch d.Telling {
		case study.Apart:
			apart = append(apart, name+" "+signed(d.Value, d.Measure.Digits)+" "+d.Measure.Unit)
		case study.Alike:
			alike = append(alike, name+" ("+decimal(d.Margin, -1)+" "+d.Measure.Unit+")")
		default:
			open = append(open, name)
			if d.OwnSpread {
				doubt = "’s own spread and the doubt that the shafts’ references leave"
			}
		}
	}
	var parts []string
	if len(apart) > 0 {
		parts = append(parts, fmt.Sprintf("%s against %s, larger than %s’s own spread: %s.", other, reference, player, listed(apart)))
	}
	if len(alike) > 0 {
		parts = append(parts, "Less than the margin apart: "+listed(alike)+".")
	}
	switch {
	case len(open) == len(list):
		parts = append(parts, fmt.Sprintf("%s against %s: no difference is larger than %s%s so far.", other, reference, player, doubt))
	case len(open) > 0:
		parts = append(parts, "Not told apart so far: "+listed(open)+".")
	}
	for _, d := range list {
		if d.Telling != study.Apart && d.Telling != study.Alike && d.More > 0 && len(plans) < 2 {
			what := fmt.Sprintf("%s %s in %s", decimal(d.Margin, -1), d.Measure.Unit, strings.ToLower(d.Measure.Label))
			if len(plans) == 0 {
				what = fmt.Sprintf("%s with each would most likely show a difference of %s", plural(d.More, "more swing"), what)
			} else {
				what = fmt.Sprintf("%d more, one of %s", d.More, what)
			}
			plans = append(plans, what)
		}
	}
	if len(plans) > 0 {
		parts = append(parts, capital(strings.Join(plans, "; "))+".")
	} else if len(open) > 0 {
		parts = append(parts, "How many more swings would settle it cannot be told yet.")
	}
	return strings.Join(parts, " ")
}
