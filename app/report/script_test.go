package report

import (
	"strings"
	"testing"
)

func TestVisual(t *testing.T) {
	for s, want := range map[string]string{
		"plain 12":            "plain 12",
		"e\u0301":             "é",            // composed
		"tab\there":           "tab here",     // no control characters
		"試作 A":                "□□ A",         // not in the font
		"abc שלום def":        "abc םולש def", // turned round
		"abc שלום 17 עולם, x": "abc םלוע 17 םולש, x",
		"שלום":                "םולש",
		"17 mm שלום":          "17 mm םולש",
		"שלום · 2 swings":     "םולש · 2 swings",
		"":                    "",
	} {
		if got := visual(s); got != want {
			t.Errorf("%q stands as %q, want %q", s, got, want)
		}
	}
}

// A deck with a name that the font cannot show says what stands for it; others
// do not.
func TestReplacementIsStated(t *testing.T) {
	for name, want := range map[string]bool{"Опытный": false, "試作": true, "□": false} {
		a, c := small.make()
		a.Study.Clubs[0].Label = name
		text := strings.Join(slideText(must(New(a, c, options)).Slides[0]), "")
		if strings.Contains(text, replacedNote) != want {
			t.Errorf("%s: said %v, want %v", name, !want, want)
		}
	}
}
