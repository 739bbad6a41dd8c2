package study

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bendline/capture"
)

// What is chosen about comparisons is kept in the study file, with keys of later
// versions, and a flag that leaves nothing out is refused.
func TestChoicesInTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "study.json")
	write := func(comparison string) {
		text := `{"format":"bendline-study","version":1,"title":"m","clubs":[],"players":[],"runs":[],"comparison":` + comparison + `}`
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(`{"leave_out":["poor_fit"],"later":1}`)
	s, err := Open(path)
	if err != nil || !slices.Equal(s.Choices.LeaveOut, []capture.Code{capture.PoorFit}) {
		t.Fatalf("%+v, %v", s, err)
	}
	s.Choices.Baseline, s.Choices.Prototype, s.Choices.Lot = "b", "p", []string{"b", "p"}
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	again, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if c := again.Choices; c.Baseline != "b" || c.Prototype != "p" || len(c.LeaveOut) != 1 || len(c.Lot) != 2 {
		t.Errorf("%+v", c)
	}
	if b, _ := os.ReadFile(path); !strings.Contains(string(b), `"later": 1`) {
		t.Error("a key of a later version is lost")
	}
	write(`{"leave_out":["gap"]}`)
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), `cannot be left out for "gap"; they can for out_of_spec, wrong_side, poor_fit`) {
		t.Errorf("error %v", err)
	}
}

// Without a choice of its own a comparison follows the study's; with one, even
// an empty one, it does not.
func TestComparisonFollowsTheStudy(t *testing.T) {
	a := analysis("p base 30", "p base 31", "p base 99", "p proto 28", "p proto 29", "p proto2 9", "p proto2 10")
	a.Results[2].Flags = []capture.Flag{{Code: capture.PoorFit}}
	a.Study.Choices = Choices{Prototype: "proto2", LeaveOut: []capture.Code{capture.PoorFit}, Lot: []string{"proto", "proto2"}}
	c := compare(t, a, "", "")
	if c.Prototype != "proto2" || len(c.BaselineRuns) != 2 || c.Lot == nil {
		t.Errorf("against %s, %d runs, lot %v", c.Prototype, len(c.BaselineRuns), c.Lot)
	}
	words := strings.Join(c.ChoiceWords(), " ")
	if !strings.HasPrefix(words, "No run that counts is flagged out of spec. No run that counts is flagged wrong side. Runs flagged poor fit are left out, by choice: r3. The same within (common practice, no source): lead ±4 mm, ") {
		t.Errorf("it says %q", words)
	}
	c, err := CompareWith(t.Context(), a, Choices{Prototype: "proto", LeaveOut: []capture.Code{}, Lot: []string{}, Margins: map[string]float64{"lead_mm": 7}}, nil)
	if err != nil || c.Prototype != "proto" || len(c.BaselineRuns) != 3 || c.Lot != nil {
		t.Fatalf("%v: against %s, %d runs, lot %v", err, c.Prototype, len(c.BaselineRuns), c.Lot)
	}
	words = strings.Join(c.ChoiceWords(), " ")
	if !strings.Contains(words, "Runs flagged poor fit are in, by choice: r3.") || !strings.Contains(words, "The same within (chosen): lead ±7 mm.") {
		t.Errorf("it says %q", words)
	}
	a.Study.Choices.Prototype = "gone"
	if _, err := Compare(a, "", ""); err == nil || !strings.Contains(err.Error(), `there is no club "gone"`) {
		t.Errorf("error %v", err)
	}
}

// Cancelled, curves end with an error and are compared anew when asked again;
// once compared they are kept.
func TestCurvesAreCancelled(t *testing.T) {
	c := compare(t, bumped(), "", "")
	ctx, cancel := context.WithCancel(t.Context())
	_, err := c.Curves(ctx, ToImpact, func(done, total int, _ string) {
		if done == 2 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled after two curves: %v", err)
	}
	last := 0
	found, err := c.Curves(t.Context(), ToImpact, func(done, total int, _ string) { last = done })
	if err != nil || len(found) != len(Measures) || last != len(Measures) {
		t.Fatalf("%d curves, %d told, %v", len(found), last, err)
	}
	if again, err := c.Curves(ctx, ToImpact, nil); err != nil || &again[0] != &found[0] {
		t.Errorf("not kept: %v", err)
	}
}
