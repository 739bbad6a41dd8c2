package study

import (
	"context"
	"strings"
	"testing"
)

// Titles and labels are shown without what could hide what they say; ids that
// have it are refused; no name in a study leads out of its folder.
func TestNamesThatHide(t *testing.T) {
	text := strings.NewReplacer(
		`"title":"`, `"title":"\u202eold\n`, `"label":"`, `"label":"\u2067new\u0000 `,
	).Replace(full)
	s, err := parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	for _, shown := range []string{s.Title, s.Clubs[0].Label, s.Players[0].Label} {
		if !strings.HasPrefix(shown, "old") && !strings.HasPrefix(shown, "new") || strings.ContainsAny(shown, "\u202e\u2067\n\x00") {
			t.Errorf("shown as %q", shown)
		}
	}
	for _, id := range []string{"a\nb", "\u202ea", "a\x00"} {
		bad := *s
		bad.Runs = append([]Run(nil), s.Runs...)
		bad.Runs[0].ID = id
		if err := bad.Validate(); err == nil || !strings.Contains(err.Error(), "cannot be seen") {
			t.Errorf("id %q: %v", id, err)
		}
	}
	sim := simulated()
	for _, file := range []string{"../a-base-1.csv", "..\\a-base-1.csv", "/etc/passwd", "a\x00b", "\u202evsc", "con\n.csv", ""} {
		run := sim.study.Runs[0]
		run.ID, run.File = "../../x", file
		r := AnalyzeRun(context.Background(), sim.study, run)
		if r.OK() {
			t.Errorf("%q was read", file)
		} else if strings.ContainsAny(r.Err.Error(), "\x00\n\u202e") {
			t.Errorf("%q is told as it is: %q", file, r.Err)
		}
	}
}
