package report

import (
	"strings"
	"testing"

	"bendline/app/study"
)

func TestCorrectionsAreMarked(t *testing.T) {
	top := 0.5
	plain, by := study.Run{ID: "a"}, study.Run{ID: "b", Events: study.Events{Top: &top}}
	m := &material{results: []*study.Result{{Run: plain}, {Run: by}}}
	if runName(plain) != "a" || runName(by) != "b *" {
		t.Errorf("names %q, %q", runName(plain), runName(by))
	}
	if got, want := m.byHand(), "* Corrected by hand: top set by hand (b)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	m.shown = []group{{runs: m.results}}
	if m.corrected() != 1 {
		t.Errorf("%d corrected", m.corrected())
	}
	m.results = m.results[:1]
	if m.byHand() != "" {
		t.Errorf("nothing is by hand, and it says %q", m.byHand())
	}
}

func TestPlanOfAStudy(t *testing.T) {
	for text, want := range map[string]int{"": len(kinds), "null": len(kinds), `[{"slide":"cover"}]`: 1, "[]": 0} {
		if p, err := PlanOf(&study.Study{Slides: []byte(text)}); err != nil || len(p) != want {
			t.Errorf("%q: %d slides, %v; want %d", text, len(p), err, want)
		}
	}
	for _, bad := range []string{"{}", `[{"slide":"dance"}]`} {
		if _, err := PlanOf(&study.Study{Slides: []byte(bad)}); err == nil || !strings.HasPrefix(err.Error(), "report: ") {
			t.Errorf("%s: %v", bad, err)
		}
	}
}
