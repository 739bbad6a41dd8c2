package report

import (
	"fmt"
	"strings"

	"bendline/app/study"
)

// sameness says within what the clubs are shown to be the same, and within what
// not.
func (m *material) sameness(measures []study.Difference) string {
	var yes, no []string
	usual := true
	for _, d := range measures {
		margin := d.Equivalence.Margin
		_, suffix := unit(d.Measure)
		text := fmt.Sprintf("%s ±%s%s", strings.ToLower(d.Measure.Label), m.number(margin.Value, -1), suffix)
		if margin.Source != study.CommonPractice {
			usual = false
			text += " (" + margin.Source + ")"
		}
		if d.Same() {
			yes = append(yes, text)
		} else {
			no = append(no, text)
		}
	}
	text := ""
	if len(yes) > 0 {
		text += " Shown to be the same within: " + list(yes) + "."
	}
	if len(no) > 0 {
		text += " Not shown to be the same within: " + list(no) + "."
	}
	if usual {
		return text + " Margins: " + study.CommonPractice + "."
	}
	return text + " Margins not marked: " + study.CommonPractice + "."
}

// choiceSheet holds what was chosen about the comparison.
func (m *material) choiceSheet() sheet {
	s := sheet{name: "choices", columns: []sheetColumn{textual("chosen"), textual("in words")}}
	flagged := m.c.FlaggedWords()
	for i, line := range m.c.ChoiceWords() {
		what := "runs"
		switch {
		case line == m.c.SharedWords():
			what = "what runs share"
		case i >= len(flagged):
			what = "margins of sameness"
		}
		s.rows = append(s.rows, []any{what, line})
	}
	return s
}

// viewSheet holds the other looks at each difference: sameness, equal head speed,
// mixed model, permutation, what the study can show, what spread is made of.
func (m *material) viewSheet() sheet {
	as := func(head string) sheetColumn { return sheetColumn{head, "as unit", 5} }
	p := func(head string) sheetColumn { return sheetColumn{head, "1", 6} }
	n := func(head string) sheetColumn { return sheetColumn{head, "1", 0} }
	s := sheet{name: "views", columns: []sheetColumn{textual("measure"), textual("unit"),
		as("margin of sameness"), textual("margin from"), p("p of sameness"),
		as("at equal head speed, these players"), as("at equal head speed, these players: low"), as("at equal head speed, these players: high"), p("at equal head speed, these players: p"),
		as("at equal head speed, players like these"), as("at equal head speed, players like these: low"), as("at equal head speed, players like these: high"), p("at equal head speed, players like these: p"),
		as("mixed model"), as("mixed model: low"), as("mixed model: high"), p("mixed model: p"),
		p("p by permutation"), n("ways"),
		as("smallest difference shown"), n("runs needed"), n("players needed"),
		as("SD of a player's runs"), as("of it measurement"), textual("runs apart, and in")}}
	view := func(v study.View) []any { return []any{v.Value, v.Low, v.High, v.P} }
	needed := func(n int) any {
		if n == 0 {
			return nil
		}
		return n
	}
	for _, d := range append(append([]study.Difference{}, m.c.Measures...), m.c.Peaks...) {
		row := []any{d.Measure.Label, d.Measure.Unit, d.Equivalence.Margin.Value, d.Equivalence.Margin.Source, d.Equivalence.P}
		for _, v := range []study.View{d.AtSpeed.View, d.MixedAtSpeed.View, d.Mixed.View} {
			row = append(row, view(v)...)
		}
		s.rows = append(s.rows, append(row, d.Permutation.P, needed(d.Permutation.Ways), d.Power.Smallest, needed(d.Power.Runs), needed(d.Power.Players),
			d.Spread.Runs, d.Spread.Measurement, strings.Join(d.Outliers, ", ")))
	}
	return s
}

// lotSheet holds how alike the clubs of the lot are.
func (m *material) lotSheet() sheet {
	s := sheet{name: "lot", columns: []sheetColumn{textual("measure"), textual("unit")}}
	for _, head := range []string{"mean", "repeatability SD", "between clubs SD", "reproducibility SD", "repeatability limit"} {
		s.columns = append(s.columns, sheetColumn{head, "as unit", 5})
	}
	for _, head := range []string{"F", "df between", "df within", "p", "p, Holm"} {
		s.columns = append(s.columns, sheetColumn{head, "1", 6})
	}
	for _, head := range []string{"clubs", "players", "runs"} {
		s.columns = append(s.columns, sheetColumn{head, "1", 0})
	}
	s.columns = append(s.columns, textual("why there is none"))
	for _, l := range m.c.Lot.Measures {
		row := []any{l.Measure.Label, l.Measure.Unit}
		if l.Why == "" {
			row = append(row, l.Mean, l.Repeatability, l.Between, l.Reproducibility, l.Limit(), l.F, l.DF1, l.DF2, l.P, l.Holm)
		} else {
			row = append(row, make([]any, 10)...)
		}
		s.rows = append(s.rows, append(row, l.Units, l.Blocks, l.N, l.Why))
	}
	return s
}
