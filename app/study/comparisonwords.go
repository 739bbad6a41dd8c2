package study

import (
	"fmt"
	"slices"
	"strings"

	"bendline/capture"
)

// ChoiceWords says in sentences what was chosen about the comparison, and what it
// rests on: which flagged runs are in, within what clubs count as the same, and
// how far what a club's runs share leaves it in doubt. Everything that shows the
// comparison prints them.
func (c *Comparison) ChoiceWords() []string {
	words := append(c.FlaggedWords(), c.marginWords()...)
	if s := c.SharedWords(); s != "" {
		words = append(words, s)
	}
	return words
}

// FlaggedWords says which flagged runs are in, a sentence a flag.
func (c *Comparison) FlaggedWords() []string {
	var lines []string
	for _, code := range Doubtful {
		lines = append(lines, c.flaggedWords(code))
	}
	return lines
}

// flaggedWords says what became of the runs with a flag.
func (c *Comparison) flaggedWords(code capture.Code) string {
	what := "flagged " + strings.ReplaceAll(string(code), "_", " ")
	out := slices.Contains(c.Choices.LeaveOut, code)
	var runs []string
	for _, f := range c.Flagged {
		if slices.Contains(f.Codes, code) && f.In != out {
			runs = append(runs, f.Run)
		}
	}
	const most = 6
	if n := len(runs); n > most {
		runs = append(runs[:most:most], fmt.Sprintf("… (%d runs)", n))
	}
	named := strings.Join(runs, ", ")
	switch {
	case len(runs) > 0 && out:
		return fmt.Sprintf("Runs %s are left out, by choice: %s.", what, named)
	case len(runs) > 0:
		return fmt.Sprintf("Runs %s are in, by choice: %s.", what, named)
	case out:
		return fmt.Sprintf("No run is %s; it would be left out, by choice.", what)
	}
	return fmt.Sprintf("No run that counts is %s.", what)
}

// marginWords says within what clubs count as the same, and who says so.
func (c *Comparison) marginWords() []string {
	var sources []string
	by := map[string][]string{}
	for _, d := range slices.Concat(c.Measures, c.Peaks) {
		m := d.Equivalence.Margin
		if by[m.Source] == nil {
			sources = append(sources, m.Source)
		}
		by[m.Source] = append(by[m.Source], fmt.Sprintf("%s ±%v %s", strings.ToLower(d.Measure.Label), m.Value, d.Measure.Unit))
	}
	lines := make([]string, len(sources))
	for i, s := range sources {
		lines[i] = fmt.Sprintf("The same within (%s): %s.", s, strings.Join(by[s], ", "))
	}
	return lines
}
