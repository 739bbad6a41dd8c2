package study

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

func TestSaveSweepsWhatAKillLeft(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "study.json")
	old := time.Now().Add(-leftBehind - time.Minute)
	put := func(path string, at time.Time) string {
		t.Helper()
		if err := os.WriteFile(path, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
		return filepath.Base(path)
	}
	put(temporaryFor(path), old)
	put(temporaryFor(filepath.Join(dir, "a-base-1.csv")), old)
	want := []string{
		put(temporaryFor(path), time.Now()), // another program is at it
		put(filepath.Join(dir, ".study.json.ABCDEFGH.tmp"), old),
		put(filepath.Join(dir, "mine.ABCDEFGH.bendline.tmp"), old),
		put(filepath.Join(dir, ".a.abcdefgh.bendline.tmp"), old),
		"study.json",
	}
	s := *simulated().study
	s.Runs = nil
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("in the folder %q, want %q", got, want)
	}
}
