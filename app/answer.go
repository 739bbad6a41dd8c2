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

// answer returns what a comparison says about lead, droop and twist, a line
// each.
func answer(cmp *study.Comparison) string {
	var lines []string
	for _, d := range cmp.Measures[:answered] {
		n, said := d.Measure.Digits, ""
		switch v := verdict(d); {
		case math.IsNaN(d.Low + d.High):
			said = "cannot be told: " + strings.TrimRight(plain(d.Why), ".")
		case d.Low > 0 || d.High < 0:
			said = fmt.Sprintf("%s by %s %s with the prototype (95 %% interval %s)", v,
				decimal(math.Abs(d.Value), n), d.Measure.Unit, interval(d.Low, d.High, n))
		default:
			said = fmt.Sprintf("%s (%s %s, 95 %% interval %s)", v, signed(d.Value, n), d.Measure.Unit, interval(d.Low, d.High, n))
		}
		lines = append(lines, d.Measure.Label+": "+said+".")
	}
	return strings.Join(lines, "\n")
}

// basis returns what a comparison rests on.
func basis(st *study.Study, cmp *study.Comparison) string {
	how := "Welch's t over the runs of one player"
	if cmp.Design == study.ManyPlayer {
		how = "paired t over the means of " + plural(cmp.Measures[0].Baseline.Players, "player") + ", each a block"
	}
	text := fmt.Sprintf("Prototype minus baseline: %s against %s; %s.",
		runsWith(st, cmp.PrototypeRuns), runsWith(st, cmp.BaselineRuns), how)
	if len(cmp.LeftOut) > 0 {
		var names []string
		for _, l := range cmp.LeftOut {
			names = append(names, l.Run+" ("+strings.TrimRight(l.Why, ".")+")")
		}
		text += " Left out: " + strings.Join(names, "; ") + "."
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
