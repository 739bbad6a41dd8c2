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
	"at equal head speed", "95 % interval", "prototype is"}

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
			signed(atSpeed(cmp, d).Value, n), interval(atSpeed(cmp, d).Low, atSpeed(cmp, d).High, n),
			verdictOfMany(d),
		}})
	}
	return rows
}

// verdictOfMany is verdict in a table of many measures, where one in twenty
// differs by chance alone.
func verdictOfMany(d study.Difference) string {
	if (d.Low > 0 || d.High < 0) && !(d.Holm < 0.05) {
		return verdict(d) + ", taken alone"
	}
	return verdict(d)
}

// atSpeed is the difference at equal head speed that tells about the same as the
// difference itself: players like these, or this player.
func atSpeed(cmp *study.Comparison, d study.Difference) study.AtSpeed {
	if cmp.Design == study.ManyPlayer {
		return d.MixedAtSpeed
	}
	return d.AtSpeed
}

// same says whether the clubs are shown to be the same within the margin.
func same(d study.Difference) string {
	switch {
	case math.IsNaN(d.Equivalence.P):
		return "cannot be told"
	case d.Same():
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
	if cmp.Design == study.ManyPlayer { // first, where it is seen however many players follow
		all := effect(allPlayers, d.Value, d.Low, d.High)
		all.Whole = true
		list = append(list, all)
	}
	for _, p := range d.ByPlayer {
		list = append(list, effect(playerLabel(st, p.Player), p.Value, p.Low, p.High))
	}
	return list
}

var loadingHeader = []string{"", "baseline mean", "SD", "prototype mean", "SD", "difference", "95 % interval", "baseline runs", "prototype runs"}

// loadingRows returns how a player, or all together, loads and releases each club.
func loadingRows(l study.Loading) []widgets.Row {
	var rows []widgets.Row
	for _, r := range l.Rows {
		n := r.Measure.Digits
		rows = append(rows, widgets.Row{Cells: []string{r.Label + ", " + r.Measure.Unit,
			decimal(r.Baseline.Mean, n), decimal(r.Baseline.SD, n), decimal(r.Prototype.Mean, n), decimal(r.Prototype.SD, n),
			signed(r.Value, n), interval(r.Low, r.High, n), fmt.Sprint(r.Baseline.Runs), fmt.Sprint(r.Prototype.Runs)}})
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
			lines = append(lines, capital(name)+": cannot be told, "+strings.TrimRight(study.Plain(v.Why), ".")+".")
			return
		}
		lines = append(lines, fmt.Sprintf("%s: %s %s (%s), p %s; about %s.", capital(name), signed(v.Value, n), m.Unit, interval(v.Low, v.High, n), probability(v.P), v.About))
	}
	if !math.IsNaN(d.DF) {
		text := fmt.Sprintf("t = %s with %s degrees of freedom", decimal(d.T, 2), decimal(d.DF, 1))
		if d.Shared > 0 {
			text += fmt.Sprintf("; by the runs alone %s, p %s", interval(d.Alone.Low, d.Alone.High, n), probability(d.Alone.P))
		}
		lines = append(lines, text+".")
	}
	view("at equal head speed", d.AtSpeed.View)
	if cmp.Design == study.ManyPlayer {
		view("at equal head speed, by the mixed model", d.MixedAtSpeed.View)
	}
	if d.AtSpeed.Why == "" {
		lines = append(lines, fmt.Sprintf("Head speed with the prototype, less that with the baseline: %s m/s.", signed(d.AtSpeed.Faster, 1)))
	}
	if cmp.Design == study.ManyPlayer {
		view("mixed model of players and runs", d.Mixed.View)
	}
	if p := d.Permutation; p.Why != "" {
		lines = append(lines, "Permutation: "+strings.TrimRight(study.Plain(p.Why), ".")+".")
	} else {
		how := "drawn"
		if p.Exact {
			how = "all there are"
		}
		lines = append(lines, fmt.Sprintf("Permutation: p %s over %d ways, %s.", probability(p.P), p.Ways, how))
	}
	lines = append(lines, powerWords(cmp, d))
	lines = append(lines, d.Spread.Sentence(m))
	lines = append(lines, numbersWords(cmp, d))
	if len(d.Outliers) > 0 {
		lines = append(lines, "Apart from the player's other runs, and in: "+strings.Join(d.Outliers, ", ")+".")
	} else {
		lines = append(lines, "No run lies apart from its player's others.")
	}
	return strings.Join(append(lines, cmp.ChoiceWords()...), "\n")
}

// numbersWords says how many runs there are of each player, and what unequal
// numbers do.
func numbersWords(cmp *study.Comparison, d study.Difference) string {
	runs := func(of func(study.PlayerDifference) study.Summary) (text string, equal int) {
		least, most := math.MaxInt, 0
		for _, p := range d.ByPlayer {
			n := of(p).Runs
			least, most = min(least, n), max(most, n)
		}
		if least == most {
			return plural(most, "run"), most
		}
		return fmt.Sprintf("%d to %s", least, plural(most, "run")), -1
	}
	b, nb := runs(func(p study.PlayerDifference) study.Summary { return p.Baseline })
	p, np := runs(func(p study.PlayerDifference) study.Summary { return p.Prototype })
	text := fmt.Sprintf("%s of a player with the baseline, %s with the prototype", b, p)
	switch {
	case nb == np && nb >= 0:
		return capital(text) + "."
	case cmp.Design == study.OnePlayer:
		return "Unequal numbers: " + text + "; Welch's t allows for it."
	}
	return "Unequal numbers: " + text + "; every player counts alike in the difference, the mixed model weighs them by what they are worth."
}

// inComparison says whether a run is in the comparison and in what it lies apart;
// doubtful is set where that needs a look.
func inComparison(cmp *study.Comparison, run string) (how string, doubtful bool) {
	if cmp == nil {
		return "–", false
	}
	if i := slices.IndexFunc(cmp.LeftOut, func(l study.LeftOut) bool { return l.Run == run }); i >= 0 {
		if l := cmp.LeftOut[i]; !l.Elsewhere() {
			return "no: " + strings.TrimRight(study.Plain(l.Why), "."), false
		}
		return "no: another club", false
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
