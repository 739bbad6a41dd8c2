package report

import (
	"math"
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
