package report

import (
	"math"
	"strings"
	"testing"

	"bendline/app/study"
)

func TestVerdictTakesTheNumberOfMeasuresIntoAccount(t *testing.T) {
	of := func(label string, low, high, holm float64) study.Difference {
		return study.Difference{Measure: study.Measure{Label: label}, Value: (low + high) / 2, Low: low, High: high, Holm: holm}
	}
	nan := math.NaN()
	lead, droop := of("Lead", 1, 3, 0.01), of("Droop", -4, -1, 0.02)
	open, doubtful := of("Twist", -1, 2, 0.6), of("Head speed", 0.1, 2, 0.08)
	for _, c := range []struct {
		d    []study.Difference
		want string
	}{
		{[]study.Difference{open, doubtful, of("Kick speed", nan, nan, nan)}, "At impact no difference is resolved"},
		{[]study.Difference{lead, droop}, "At impact every measure differs"},
		{[]study.Difference{lead, open, doubtful}, "At impact lead differs; 2 of 3 are not resolved"},
		{[]study.Difference{lead, droop, open}, "At impact lead and droop differ; 1 of 3 is not resolved"},
		{[]study.Difference{of("A measure whose label is much too long for the title of any slide", 1, 2, 0), open}, "At impact 1 of 2 measures differs"},
	} {
		if got := verdict(c.d, "At impact"); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestAnswerSaysWhatIsTheSame(t *testing.T) {
	d := study.Difference{Measure: study.Measures[0], Value: 1, Low: -1, High: 3}
	d.Baseline.Players, d.Prototype.Players = 3, 3
	d.Equivalence = study.Equivalence{Margin: study.Margin{Value: 4.5}, P: 0.03}
	m := &material{c: &study.Comparison{Baseline: "one", Prototype: "two", Measures: []study.Difference{d}}}
	name := func(id string) string { return id }
	if got, want := m.answer(name), "two and one are the same in lead at impact within ±4.5\u00a0mm: "; !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	m.c.Measures[0].Equivalence.P = 0.2
	if got, want := m.answer(name), "No difference in lead at impact is resolved"; !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
