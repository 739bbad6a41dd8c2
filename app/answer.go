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
	return "not shown to differ"
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
// twist: that the clubs differ, that they are the same within the margin, or that
// neither can be told.
func answer(st *study.Study, cmp *study.Comparison) string {
	var differs, same, neither, untold []string
	why := ""
	for _, d := range cmp.Measures[:answered] {
		name := strings.ToLower(d.Measure.Label)
		within := fmt.Sprintf("±%s %s", decimal(d.Equivalence.Margin.Value, -1), d.Measure.Unit)
		switch {
		case math.IsNaN(d.Low + d.High):
			untold, why = append(untold, name), strings.TrimRight(study.Plain(d.Why), ".")
		case d.Resolved():
			differs = append(differs, differing(cmp, d, within))
		case d.Same():
			same = append(same, name+" within "+within)
		default:
			neither = append(neither, fmt.Sprintf("%s (%s %s)", name, interval(d.Low, d.High, d.Measure.Digits), d.Measure.Unit))
		}
	}
	var parts []string
	if len(differs) > 0 {
		parts = append(parts, "at impact "+listed(differs)+" with the prototype")
	}
	if len(same) > 0 {
		parts = append(parts, "the clubs are the same in "+listed(same))
	}
	if len(neither) > 0 {
		parts = append(parts, "neither a difference nor sameness is shown in "+listed(neither))
	}
	if len(untold) > 0 {
		parts = append(parts, listed(untold)+" cannot be told: "+why)
	}
	text := strings.Join(parts, "; ") + "."
	if cmp.Design == study.OnePlayer {
		return "For one player, " + playerLabel(st, cmp.Measures[0].ByPlayer[0].Player) + ": " + text
	}
	return capital(text)
}

// differing says by how much a measure differs, and what speaks against making
// much of it.
func differing(cmp *study.Comparison, d study.Difference, within string) string {
	n := d.Measure.Digits
	text := fmt.Sprintf("%s is %s by %s %s (95 %% interval %s", strings.ToLower(d.Measure.Label), verdict(d),
		decimal(math.Abs(d.Value), n), d.Measure.Unit, interval(d.Low, d.High, n))
	if d.Same() {
		text += ", which lies within the margin " + within
	}
	if d.Holm >= 0.05 {
		text += fmt.Sprintf("; of %d measures one may do so by chance, p %s with Holm", len(cmp.Measures), probability(d.Holm))
	}
	if v := atSpeed(cmp, d); v.Why == "" && v.Low <= 0 && v.High >= 0 {
		text += fmt.Sprintf("; at equal head speed not shown, %s", interval(v.Low, v.High, n))
	}
	return text + ")"
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
		others := 0
		runs := map[string][]string{} // by reason
		for _, l := range cmp.LeftOut {
			if l.Elsewhere() {
				others++
				continue
			}
			why := strings.TrimRight(l.Why, ".")
			if runs[why] == nil {
				reasons = append(reasons, why)
			}
			runs[why] = append(runs[why], l.Run)
		}
		for i, why := range reasons {
			reasons[i] = few(runs[why]) + " (" + why + ")"
		}
		if len(reasons) > 0 {
			text += " Left out: " + strings.Join(reasons, "; ") + "."
		}
		if others > 0 {
			text += " Not looked at: " + plural(others, "run") + " with other clubs."
		}
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
