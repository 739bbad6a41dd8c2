package study

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"
)

func TestSettingsInTheFile(t *testing.T) {
	head := `{"format": "bendline-study", "version": 1, "title": "t", `
	tail := `"clubs": [], "players": [], "runs": []}`
	s := mustOpen(t, head+`"settings": {"cutoff_hz": 62.5, "before_s": 0.3, "after_s": 0, "lens": "wide"}, `+tail)
	if got, want := s.Settings.Words(), []string{"cut-off 62.5 Hz", "window −300 ms to 0 ms"}; !slices.Equal(got, want) {
		t.Errorf("words are %q, want %q", got, want)
	}
	var b bytes.Buffer
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	sameJSON(t, b.Bytes(), []byte(head+`"settings": {"cutoff_hz": 62.5, "before_s": 0.3, "after_s": 0, "lens": "wide"}, `+tail))
	s.Settings = Settings{}
	b.Reset()
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	sameJSON(t, b.Bytes(), []byte(head+`"settings": {"lens": "wide"}, `+tail))

	if s := mustOpen(t, head+tail); s.Settings.Words() != nil || s.Settings.json() != nil {
		t.Errorf("without settings something is said to be set: %q", s.Settings.Words())
	}
	for bad, says := range map[string]string{
		`{"cutoff_hz": 1}`:      "cut-off is 1 Hz",
		`{"cutoff_hz": -60}`:    "cut-off is -60 Hz",
		`{"cutoff_hz": 99999}`:  "between 5 and 5000 Hz",
		`{"before_s": 0.01}`:    "10 ms before impact",
		`{"after_s": -0.001}`:   "-1 ms after impact",
		`{"after_s": 1e9}`:      "between 0 and 60000 ms",
		`{"cutoff_hz": "high"}`: "cutoff_hz",
	} {
		if _, err := open(t, head+`"settings": `+bad+`, `+tail); err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "settings") {
			t.Errorf("%s: %v", bad, err)
		}
	}
}

// TestSettingsAreObeyed fits a run under settings: by itself, from a keep that
// holds the run without them, and merged from parts.
func TestSettingsAreObeyed(t *testing.T) {
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:2]
	k := NewKeep(t.TempDir())
	auto := streamed(t, s, k)
	before, after := 0.15, 0.0
	set := *s
	set.Settings = Settings{CutOff: 60, Before: &before, After: &after}
	if auto[0].Follows(&set, set.Runs[0]) {
		t.Error("a result follows from settings that it was not made with")
	}
	results := streamed(t, &set, k)
	for i, r := range results {
		if !r.OK() {
			t.Fatal(r.Err)
		}
		if r.Swing.CutOff != 60 || auto[i].Swing.CutOff == 60 {
			t.Errorf("the cut-offs are %g Hz and, found, %g Hz", r.Swing.CutOff, auto[i].Swing.CutOff)
		}
		first := slices.IndexFunc(r.Swing.Lead.Value, func(v float64) bool { return !math.IsNaN(v) })
		if at := r.Swing.Impact.Value - r.Swing.Time(first); !(at <= before && at > before-0.01) {
			t.Errorf("%s is fitted from %g s before impact, want %g", r.Run.ID, at, before)
		}
		if !r.Follows(&set, set.Runs[i]) || r.Follows(s, s.Runs[i]) {
			t.Errorf("%s does not follow from the settings it was made with, or from others", r.Run.ID)
		}
	}
	text := written(t, &set, results)
	if !strings.Contains(text, `"cutoff_hz": 60`) || !strings.Contains(text, `"after_s": 0`) {
		t.Errorf("the results do not say how they were made:\n%s", text)
	}
	if strings.Contains(written(t, s, auto), "settings") {
		t.Error("results without settings say that there are some")
	}
	merged, err := Merge(partsOf(t, &set, 2))
	if err != nil {
		t.Fatal(err)
	}
	if got := written(t, &set, merged); got != text {
		t.Errorf("merged from parts\n%s\nas a whole\n%s", got, text)
	}
	set.Settings = Settings{CutOff: 7}
	err = Stream(context.Background(), &set, set.Runs[:1], nil, func(_ int, r *Result) {
		if r.OK() || !strings.Contains(r.Err.Error(), "must lie between") {
			t.Errorf("at 7 Hz: %v", r.Err)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}
