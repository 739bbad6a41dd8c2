package study

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Of a file that cannot be read the first lines are shown, if they are a text.
func TestBeginning(t *testing.T) {
	for text, want := range map[string]string{
		"\ufeffrate;2000\r\nG1_x;G1_x\r\n": "rate;2000\nG1_x;G1_x",
		"":                                 "",
		"a\x00b":                           "",
		"caf\xe9":                          "",
		strings.Repeat("µ\n", 50):          strings.Repeat("µ\n", 39) + "µ",
		strings.Repeat("1;", 1000) + "\n" + strings.Repeat("µ", 9000): strings.Repeat("1;", 1000),
	} {
		path := filepath.Join(t.TempDir(), "capture.csv")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := beginning(path); got != want {
			t.Errorf("%.20q… begins with %.60q, want %.60q", text, got, want)
		}
		if p := Look(path, nil); p.Err == nil || p.Beginning != want {
			t.Errorf("a look at %.20q… finds %v, %.60q", text, p.Err, p.Beginning)
		}
	}
	if got := beginning(filepath.Join(t.TempDir(), "none.csv")); got != "" {
		t.Errorf("a file that is not there begins with %q", got)
	}
}
