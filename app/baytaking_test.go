package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What could not be saved in a session is saved at its end, and where that fails
// it is said.
func TestEndOfASessionSaves(t *testing.T) {
	for _, full := range []bool{false, true} {
		b := newBayWorld(t)
		b.start()
		inTheWay := filepath.Join(filepath.Dir(b.file), "results.json")
		if err := os.MkdirAll(filepath.Join(inTheWay, "full"), 0o755); err != nil {
			t.Fatal(err)
		}
		b.put("1.csv", "a-base-1")
		if !b.state().Bay.Said.Bad || !b.state().Unsaved() {
			t.Fatalf("saved over a folder; the page says %q", b.state().Bay.Said.Text)
		}
		if !full {
			if err := os.RemoveAll(inTheWay); err != nil {
				t.Fatal(err)
			}
		}
		b.endBay()
		b.work()
		if b.state().Unsaved() != full || (b.saved().Run("1") == nil) != full {
			t.Errorf("full %v: unsaved %v, on disk %+v", full, b.state().Unsaved(), b.saved().Runs)
		}
		if n := b.state().Notice; full && (!n.Bad || !strings.Contains(n.Text, "is not saved")) {
			t.Errorf("the window says %q", n.Text)
		}
	}
}
