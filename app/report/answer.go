package report

import (
	"fmt"
	"math"
	"strings"

	"bendline/app/study"
)

// known reports whether a difference has an interval.
func known(d study.Difference) bool { return !math.IsNaN(d.Value) && !math.IsNaN(d.Low+d.High) }

// question is what the deck answers.
func (m *material) question(name func(id string) string) string {
	if m.c != nil {
		return fmt.Sprintf("Does %s differ from %s at impact?", name(m.c.Prototype), name(m.c.Baseline))
	}
	switch len(m.shown) {
	case 0:
		return "What do the captures show?"
	case 1:
		return fmt.Sprintf("How does %s bend in the swing and at impact?", name(m.shown[0].club.ID))
	}
	return fmt.Sprintf("How do %d clubs bend in the swing and at impact?", len(m.shown))
}

// answer is the one sentence that answers it, from the first measure; where that
// is not shown to differ it names those that do.
func (m *material) answer(name func(id string) string) string {
	if m.c == nil || len(m.c.Measures) == 0 {
		return m.alone(name)
	}
	d := m.c.Measures[0]
	base, proto := name(m.c.Baseline), name(m.c.Prototype)
	what := strings.ToLower(d.Measure.Label)
	if math.IsNaN(d.Value) {
		return fmt.Sprintf("These runs do not give a difference in %s between %s and %s.", what, proto, base)
	}
	_, suffix := unit(d.Measure)
	digits := d.Measure.Digits
	others := ""
	if names := differing(m.c.Measures); len(names) > 0 {
		others = "; " + list(names) + " " + differVerb(len(names))
	}
	interval := fmt.Sprintf("95\u00a0%% interval %s%s", m.span(d.Low, d.High, digits), suffix)
	switch {
	case !known(d):
		why := "they are too few for an interval"
		if d.Baseline.Runs > 1 && d.Baseline.SD == 0 && d.Prototype.SD == 0 {
			why = "they do not spread, so that there is no interval"
		}
		return fmt.Sprintf("%s differs from %s by %s%s in %s at impact in these runs; %s (%s).",
			proto, base, m.signed(d.Value, digits), suffix, what, why, who(d))
	case !d.Resolved() && d.Same():
		return fmt.Sprintf("%s and %s are the same in %s at impact within ±%s%s: %s%s (%s; %s)%s.",
			proto, base, what, m.number(d.Equivalence.Margin.Value, -1), suffix, m.signed(d.Value, digits), suffix, interval, who(d), others)
	case !d.Resolved():
		return fmt.Sprintf("No difference in %s at impact is resolved between %s and %s: %s%s (%s; %s)%s.",
			what, proto, base, m.signed(d.Value, digits), suffix, interval, who(d), others)
	}
	chance := ""
	if d.Holm >= significant {
		chance = fmt.Sprintf("; p\u00a0%s over %d measures", m.probability(d.Holm), len(m.c.Measures))
	}
	more, low, high := "more", d.Low, d.High
	if d.Value < 0 {
		more, low, high = "less", -d.High, -d.Low
	}
	verb := "has %s%s %s " + what
	if d.Measure.Key == "lead_mm" {
		verb = "leads %s%s %s"
		if d.Baseline.Mean < 0 && d.Prototype.Mean < 0 {
			verb = "lags %s%s %s"
			if more == "more" {
				more = "less"
			} else {
				more = "more"
			}
		}
	}
	return fmt.Sprintf("%s "+verb+" at impact than %s (95\u00a0%% interval %s%s; %s%s).", proto,
		m.number(math.Abs(d.Value), digits), suffix, more, base, m.span(low, high, digits), suffix, who(d), chance)
}

// alone is the answer where there is nothing to compare.
func (m *material) alone(name func(id string) string) string {
	switch {
	case len(m.all) == 0:
		return "No run could be used; the reasons are listed at the end."
	case len(m.shown) == 0:
		return "No run of the chosen clubs could be used; the reasons are listed at the end."
	}
	parts := make([]string, len(m.shown))
	for i, g := range m.shown {
		lead := study.Measures[0]
		mean, sd := g.mean(1, atImpact(lead))
		_, suffix := unit(lead)
		parts[i] = fmt.Sprintf("%s %s%s", name(g.club.ID), m.plusMinus(mean[0], sd[0], lead.Digits), suffix)
	}
	return "Lead at impact, mean ± SD: " + strings.Join(parts, "; ") + ". Nothing is compared in this deck."
}

// who says over what a difference is: "3 players", "6 and 5 runs of one player".
func who(d study.Difference) string {
	if n := min(d.Baseline.Players, d.Prototype.Players); n > 1 {
		return count(n, "player")
	}
	return fmt.Sprintf("one player, %d and %s", d.Baseline.Runs, count(d.Prototype.Runs, "run"))
}

// significant is the level below which an adjusted p lets a headline say that a
// measure differs.
const significant = 0.05

// differing returns the names of the measures that differ, also when their number
// is taken into account.
func differing(measures []study.Difference) []string {
	var names []string
	for _, d := range measures {
		if d.Resolved() && d.Holm < significant {
			names = append(names, strings.ToLower(d.Measure.Label))
		}
	}
	return names
}

// differVerb returns "differs" for one measure, "differ" for several.
func differVerb(n int) string {
	if n == 1 {
		return "differs"
	}
	return "differ"
}

// verdict is the headline of a table of differences: which measures differ, also
// when their number is taken into account.
func verdict(measures []study.Difference, when string) string {
	differ := differing(measures)
	n, open := len(differ), len(measures)-len(differ)
	verb := differVerb(n)
	switch {
	case n == 0:
		return when + " no difference is resolved"
	case open == 0:
		return when + " every measure differs"
	}
	named := fmt.Sprintf("%s %s %s; %s not resolved", when, list(differ), verb, outOf(open, len(measures)))
	if width(bold(titleSize, ink), named) <= bodyWide*0.85 {
		return named
	}
	return fmt.Sprintf("%s %d of %d measures %s", when, n, len(measures), verb)
}

// outOf returns "1 of 3 is", "2 of 3 are".
func outOf(n, all int) string {
	verb := "are"
	if n == 1 {
		verb = "is"
	}
	return fmt.Sprintf("%d of %d %s", n, all, verb)
}

// list joins words: "a, b and c".
func list(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}
