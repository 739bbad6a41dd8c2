package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/app/study"
)

// verdict returns in a word or two what a difference says: whether its 95 %
// interval leaves out zero.
func verdict(d study.Difference) string {
	switch {
	case math.IsNaN(d.Low + d.High):
		return "cannot be told"
	case d.Low > 0:
		return "larger"
	case d.High < 0:
		return "smaller"
	}
	return "no difference shown"
}

// interval returns the ends of an interval, a dash where they are not known.
func interval(low, high float64, digits int) string {
	if math.IsNaN(low + high) {
		return "–"
	}
	return signed(low, digits) + " to " + signed(high, digits)
}

// answered is how many of the measures the answer is about: lead, droop and
// twist, the first.
const answered = 3

// answer returns in one sentence what a comparison says about lead, droop and
// twist.
func answer(cmp *study.Comparison) string {
	var differs, alike, same, untold []string
	why := ""
	for _, d := range cmp.Measures[:answered] {
		n, name := d.Measure.Digits, strings.ToLower(d.Measure.Label)
		switch v := verdict(d); {
		case math.IsNaN(d.Low + d.High):
			untold, why = append(untold, name), strings.TrimRight(plain(d.Why), ".")
		case d.Low > 0 || d.High < 0:
			differs = append(differs, fmt.Sprintf("%s is %s by %s %s (95 %% interval %s)", name, v,
				decimal(math.Abs(d.Value), n), d.Measure.Unit, interval(d.Low, d.High, n)))
		case d.Equivalence.P < 0.05:
			same = append(same, fmt.Sprintf("%s within ±%s %s", name, decimal(d.Equivalence.Margin.Value, -1), d.Measure.Unit))
		default:
			alike = append(alike, name)
		}
	}
	var parts []string
	if len(differs) > 0 {
		parts = append(parts, "at impact "+listed(differs)+" with the prototype")
	}
	if len(same) > 0 {
		parts = append(parts, "the clubs are the same in "+listed(same))
	}
	if len(alike) > 0 {
		parts = append(parts, "no difference is shown in "+listed(alike))
	}
	if len(untold) > 0 {
		parts = append(parts, listed(untold)+" cannot be told: "+why)
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// listed joins items as a sentence does: "a, b and c".
func listed(items []string) string {
	last := len(items) - 1
	if last < 1 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:last], ", ") + " and " + items[last]
}

// basis returns what a comparison rests on.
func basis(st *study.Study, cmp *study.Comparison) string {
	how := "Welch's t over the runs of one player"
	if cmp.Design == study.ManyPlayer {
		how = "paired t over the means of " + plural(cmp.Measures[0].Baseline.Players, "player") + ", each a block"
	}
	text := fmt.Sprintf("Prototype minus baseline: %s against %s; %s%s.",
		runsWith(st, cmp.PrototypeRuns), runsWith(st, cmp.BaselineRuns), how, setByHand(st))
	if len(cmp.LeftOut) > 0 {
		var reasons []string
		runs := map[string][]string{} // by reason
		for _, l := range cmp.LeftOut {
			why := strings.TrimRight(l.Why, ".")
			if runs[why] == nil {
				reasons = append(reasons, why)
			}
			runs[why] = append(runs[why], l.Run)
		}
		for i, why := range reasons {
			reasons[i] = few(runs[why]) + " (" + why + ")"
		}
		text += " Left out: " + strings.Join(reasons, "; ") + "."
	}
	return text
}

// runsWith counts runs and names their clubs.
func runsWith(st *study.Study, runs []*study.Result) string {
	var clubs []string
	for _, r := range runs {
		if name := clubLabel(st, r.Run.Club); !slices.Contains(clubs, name) {
			clubs = append(clubs, name)
		}
	}
	return plural(len(runs), "run") + " with " + strings.Join(clubs, " and ")
}

// signed returns a number with its sign, also a plus.
func signed(v float64, digits int) string {
	text := decimal(v, digits)
	if v > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

// probability returns a p value as it is usually given.
func probability(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return decimal(p, 3)
}
