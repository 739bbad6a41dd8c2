package report

import (
	"bytes"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg/recorder"

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

// What was set by hand is marked on everything that leaves the laboratory: a
// corrected run with a star that is explained, what holds for all runs in words.
func TestEveryFigureTellsWhatWasSetByHand(t *testing.T) {
	a, _ := small.make()
	top := 0.5
	for _, r := range a.Results[:2] { // both are also in the comparison
		r.Run.Events.Top = &top
	}
	a.Results[3].Run.Excluded = "topped"
	a.Study.Settings.CutOff = 45
	c := made(study.Compare(a, "", ""))
	run := a.Results[0].Run.ID

	has := func(what string, texts []string, want ...string) {
		t.Helper()
		for _, w := range want {
			if !strings.Contains(strings.Join(texts, "\n"), w) {
				t.Errorf("%s lacks %q", what, w)
			}
		}
	}
	foot := []string{"45\u00a0Hz (by hand)", "* 2 corrected by hand", "1 excluded"}
	for _, s := range must(New(a, c, options)).Slides {
		has(s.Title, slideText(s), foot...)
		if s.Kind == Curves || s.Kind == Impact || s.Kind == Bend {
			has(s.Title, slideText(s), "Baseline *")
		}
	}
	var moving recorder.Canvas
	m := made(gather(a, c, options))
	made(m.film()).draw(&moving, 10)
	has("the moving picture", drawnText(&moving), append(foot, "Baseline *")...)

	var sheet recorder.Canvas
	made(NewSheet(a, "p1", options)).Draw(&sheet)
	has("the sheet", strings.Fields(strings.Join(drawnText(&sheet), " ")), "*", "cut-off\n45\nHz", "Corrected\nby\nhand:", "1\nswing\nleft\nout\nby\nhand")

	for _, s := range made(m.sheets(t.Context())) {
		var b bytes.Buffer
		if err := s.csv(&b, m.format); err != nil {
			t.Fatal(err)
		}
		switch s.name {
		case "impact", "players", "curve_lead_mm", "profile", "shape":
			has(s.name, []string{b.String()}, "Baseline *")
		case "runs", "quality":
			has(s.name, []string{b.String()}, run+" *")
		case "by_hand":
			has(s.name, []string{b.String()}, "cut-off 45 Hz", run+" *", "top set by hand", "left out: topped")
		}
	}
}

func made[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
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
