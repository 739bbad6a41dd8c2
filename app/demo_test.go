package app

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"bendline/app/study"
)

// TestDemoIsRefreshed begins to make the demo and stops at once:
// what another version left must be gone, and the right version stays untouched.
func TestDemoIsRefreshed(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, studyFile)
	put := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	nothing := func(Command) {}

	put(studyFile, "{}")
	put(versionFile, study.Version)
	if got, err := demo(stopped, dir, nothing); err != nil || got != file {
		t.Errorf("the demo of this version gives %q, %v", got, err)
	}
	put(versionFile, "0.0.1")
	if _, err := demo(stopped, dir, nothing); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped, it gives %v", err)
	}
	if exists(file) {
		t.Error("the study of another version is still there")
	}
}

// TestTurn asks for work while other work is under way.
func TestTurn(t *testing.T) {
	var queue []func()
	store := NewStore(func(State) {})
	turn := turn{store: store, around: Surroundings{Later: func(f func()) { f() }, Go: func(f func()) { queue = append(queue, f) }}}
	var did []int
	work := func(n int) func() error {
		return func() error {
			did = append(did, n)
			if n == 3 {
				return errors.New("app: the disk is full")
			}
			return nil
		}
	}
	for n := range 4 {
		turn.do(work(n))
	}
	for len(queue) > 0 {
		next := queue[0]
		queue = queue[1:]
		next()
	}
	if len(did) != 2 || did[0] != 0 || did[1] != 3 {
		t.Errorf("did %v, want the first and the latest", did)
	}
	if n := store.State().Notice; !n.Bad || n.Text != "The disk is full." {
		t.Errorf("a failure gives %q", n.Text)
	}
}
