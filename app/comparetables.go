package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

var differenceHeader = []string{"", "baseline", "prototype", "difference", "95 % interval", "p", "p (Holm)", "same within margin?",
	"at equal head speed", "95 % interval", "smallest to be shown", ""}

// differenceRows returns the line of each measure, and of each peak.
func differenceRows(cmp *study.Comparison) []widgets.Row {
	var rows []widgets.Row
	for _, d := range slices.Concat(cmp.Measures, cmp.Peaks) {
		n := d.Measure.Digits
		rows = append(rows, widgets.Row{Cells: []string{
			d.Measure.Label + ", " + d.Measure.Unit,
			decimal(d.Baseline.Mean, n), decimal(d.Prototype.Mean, n),
			signed(d.Value, n), interval(d.Low, d.High, n), probability(d.P), probability(d.Holm),
			same(d) + " (±" + decimal(d.Equivalence.Margin.Value, -1) + ")",
			signed(d.AtSpeed.Value, n), interval(d.AtSpeed.Low, d.AtSpeed.High, n),
			decimal(d.Power.Smallest, n), verdict(d),
		}})
	}
	return rows
}

// same says whether the clubs are shown to be the same within the margin.
func same(d study.Difference) string {
	switch p := d.Equivalence.P; {
	case math.IsNaN(p):
		return "cannot be told"
	case p < 0.05:
		return "yes"
	}
	return "not shown"
}

func playerHeader(m study.Measure) []string {
	return []string{"player", "baseline mean, " + m.Unit, "SD", "runs", "prototype mean, " + m.Unit, "SD", "runs", "difference, " + m.Unit, "95 % low", "95 % high"}
}

// playerRows returns the numbers that the forest draws.
func playerRows(st *study.Study, cmp *study.Comparison, d study.Difference) []widgets.Row {
	n := d.Measure.Digits
	row := func(name string, b, p study.Summary, value, low, high float64) widgets.Row {
		return widgets.Row{Cells: []string{name, decimal(b.Mean, n), decimal(b.SD, n), fmt.Sprint(b.Runs), decimal(p.Mean, n), decimal(p.SD, n), fmt.Sprint(p.Runs),
			signed(value, n), signed(low, n), signed(high, n)}}
	}
	var rows []widgets.Row
	for _, p := range d.ByPlayer {
		rows = append(rows, row(playerLabel(st, p.Player), p.Baseline, p.Prototype, p.Value, p.Low, p.High))
	}
	if cmp.Design == study.ManyPlayer {
		rows = append(rows, row(allPlayers, d.Baseline, d.Prototype, d.Value, d.Low, d.High))
	}
	return rows
}

// allPlayers names the difference over all players.
const allPlayers = "all players"

// effects returns the rows of the forest: a player each, and all.
func effects(st *study.Study, cmp *study.Comparison, d study.Difference) []widgets.Effect {
	n := d.Measure.Digits
	effect := func(name string, value, low, high float64) widgets.Effect {
		return widgets.Effect{Label: name, Value: value, Low: low, High: high, Text: signed(value, n) + " (" + interval(low, high, n) + ")"}
	}
	var list []widgets.Effect
	for _, p := range d.ByPlayer {
		list = append(list, effect(playerLabel(st, p.Player), p.Value, p.Low, p.High))
	}
	if cmp.Design == study.ManyPlayer {
		all := effect(allPlayers, d.Value, d.Low, d.High)
		all.Whole = true
		list = append(list, all)
	}
	return list
}

// loadingRows returns how each player loads and releases each club.
func loadingRows(st *study.Study, cmp *study.Comparison) []widgets.Row {
	var rows []widgets.Row
	for _, l := range cmp.Loading() {
		for _, r := range l.Rows {
			n := r.Measure.Digits
			rows = append(rows, widgets.Row{Cells: []string{playerLabel(st, l.Player), r.Measure.Label + ", " + r.Measure.Unit,
				decimal(r.Baseline.Mean, n), decimal(r.Baseline.SD, n), decimal(r.Prototype.Mean, n), decimal(r.Prototype.SD, n),
				signed(r.Value, n), interval(r.Low, r.High, n)}})
		}
	}
	return rows
}

// measureWords says in sentences what is known of a difference besides the
// table.
func measureWords(cmp *study.Comparison, d study.Difference) string {
	m, n := d.Measure, d.Measure.Digits
	lines := []string{d.Sameness()}
	view := func(name string, v study.View) {
		if v.Why != "" {
			lines = append(lines, capital(name)+": cannot be told, "+strings.TrimRight(plain(v.Why), ".")+".")
			return
		}
		lines = append(lines, fmt.Sprintf("%s: %s %s (%s), p %s; about %s.", capital(name), signed(v.Value, n), m.Unit, interval(v.Low, v.High, n), probability(v.P), v.About))
	}
	if !math.IsNaN(d.DF) {
		lines = append(lines, fmt.Sprintf("t = %s with %s degrees of freedom.", decimal(d.T, 2), decimal(d.DF, 1)))
	}
	view("at equal head speed", d.AtSpeed.View)
	if d.AtSpeed.Why == "" {
		lines = append(lines, fmt.Sprintf("Head speed with the prototype, less that with the baseline: %s m/s.", signed(d.AtSpeed.Faster, 1)))
	}
	view("mixed model of players and runs", d.Mixed.View)
	if p := d.Permutation; p.Why != "" {
		lines = append(lines, "Permutation: "+strings.TrimRight(plain(p.Why), ".")+".")
	} else {
		how := "drawn"
		if p.Exact {
			how = "all there are"
		}
		lines = append(lines, fmt.Sprintf("Permutation: p %s over %d ways, %s.", probability(p.P), p.Ways, how))
	}
	if p := d.Power; !math.IsNaN(p.Smallest) {
		text := fmt.Sprintf("A study like this finds a difference of %s %s four times in five", decimal(p.Smallest, n), m.Unit)
		switch {
		case p.RunsMore > 0:
			text += fmt.Sprintf("; to find %s %s, each player needs %d more runs with each club", decimal(p.Sought, -1), m.Unit, p.RunsMore)
		case p.PlayersMore > 0:
			text += fmt.Sprintf("; to find %s %s, it needs %s more", decimal(p.Sought, -1), m.Unit, plural(p.PlayersMore, "player"))
		}
		lines = append(lines, text+".")
	}
	lines = append(lines, d.Spread.Sentence(m))
	if len(d.Outliers) > 0 {
		lines = append(lines, "Apart from the player's other runs, and in: "+strings.Join(d.Outliers, ", ")+".")
	} else {
		lines = append(lines, "No run lies apart from its player's others.")
	}
	return strings.Join(append(lines, flaggedWords(cmp)), "\n")
}

// flaggedWords says which doubtful runs there are and whether they count.
func flaggedWords(cmp *study.Comparison) string {
	var in, out []string
	for _, f := range cmp.Flagged {
		var codes []string
		for _, code := range f.Codes {
			codes = append(codes, flagWord(capture.Flag{Code: code}))
		}
		name := f.Run + " (" + strings.Join(codes, ", ") + ")"
		if f.In {
			in = append(in, name)
		} else {
			out = append(out, name)
		}
	}
	var lines []string
	if len(in) > 0 {
		lines = append(lines, "Flagged and in, by choice: "+strings.Join(in, ", ")+".")
	}
	if len(out) > 0 {
		lines = append(lines, "Flagged and left out, by choice: "+strings.Join(out, ", ")+".")
	}
	if len(lines) == 0 {
		return "No run is flagged out of spec or poor fit."
	}
	return strings.Join(lines, "\n")
}

// inComparison says whether a run is in the comparison and in what it lies apart;
// doubtful is set where that needs a look.
func inComparison(cmp *study.Comparison, run string) (how string, doubtful bool) {
	if cmp == nil {
		return "–", false
	}
	if slices.ContainsFunc(cmp.LeftOut, func(l study.LeftOut) bool { return l.Run == run }) {
		return "no", false
	}
	words := []string{"yes"}
	for _, f := range cmp.Flagged {
		if f.Run == run {
			for _, code := range f.Codes {
				words = append(words, flagWord(capture.Flag{Code: code}))
			}
		}
	}
	var apart []string
	for _, d := range slices.Concat(cmp.Measures, cmp.Peaks) {
		if slices.Contains(d.Outliers, run) {
			apart = append(apart, strings.ToLower(d.Measure.Label))
		}
	}
	if len(apart) > 0 {
		words = append(words, "apart in "+strings.Join(apart, ", "))
	}
	return strings.Join(words, "; "), len(words) > 1
}

// curveWords says where the curves differ, a line each.
func curveWords(c *CurvesFound) string {
	var lines []string
	for _, d := range slices.Concat(c.ToImpact, c.AlongShaft) {
		lines = append(lines, d.Words())
	}
	return strings.Join(lines, "\n")
}

// curveOf returns what the plot shows of a measure: the difference with the band
// that holds all of it 95 % of the time. A measure without a course, or no
// curves, give none.
func curveOf(c *CurvesFound, m study.Measure) (title, x, y string, curves []widgets.Curve) {
	if c == nil {
		return m.Label, "", "", nil
	}
	for _, d := range c.ToImpact {
		if d.Measure.Key == m.Key {
			at := make([]float64, len(d.Baseline.X))
			for i, s := range d.Baseline.X {
				at[i] = s * 1e3
			}
			return m.Label + ", prototype minus baseline", "ms to impact", m.Unit, []widgets.Curve{{Label: "difference, band for the whole curve", X: at, Y: d.Value, Low: d.Low, High: d.High}}
		}
	}
	return m.Label + " has no course in time", "", "", nil
}
