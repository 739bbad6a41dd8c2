package study

import (
	"context"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// A shelf is a folder and a clock of which a test has command.
type shelf struct {
	*Watch
	at    time.Time
	files map[string]*fstest.MapFile
	err   error
	slow  time.Duration // of listing
}

func newShelf() *shelf {
	s := &shelf{Watch: NewWatch("bay"), at: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC), files: map[string]*fstest.MapFile{}}
	s.now = func() time.Time { return s.at }
	s.list = func(string) ([]fs.FileInfo, error) {
		s.at = s.at.Add(s.slow)
		var infos []fs.FileInfo
		for name := range s.files {
			info, err := fstest.MapFS(s.files).Stat(name)
			if err != nil {
				return nil, err
			}
			infos = append(infos, info)
		}
		return infos, s.err
	}
	return s
}

func (s *shelf) put(name, content string) {
	s.files[name] = &fstest.MapFile{Data: []byte(content), ModTime: s.at}
}

// after looks when some time has passed, and returns the names found.
func (s *shelf) after(d time.Duration) string {
	s.at = s.at.Add(d)
	var names []string
	for _, path := range s.Look().Landed {
		names = append(names, filepath.Base(path))
	}
	return strings.Join(names, " ")
}

func TestWatchWaitsForTheLastByte(t *testing.T) {
	s := newShelf()
	for i := range 20 { // the writer pauses for less than it takes to settle
		s.put("a.csv", strings.Repeat("x", i+1))
		if got := s.after(settle - time.Millisecond); got != "" {
			t.Fatalf("told of %s while it was written", got)
		}
	}
	if got := s.after(settle - time.Millisecond); got != "" {
		t.Fatal("told of it too soon")
	}
	if got := s.after(settle); got != "a.csv" {
		t.Fatalf("told of %q", got)
	}
	if got := s.after(time.Hour); got != "" {
		t.Errorf("told of %s twice", got)
	}
	s.put("a.csv", strings.Repeat("y", 20))                                    // the same size, another time
	if got := s.after(0) + s.after(settle) + s.after(settle); got != "a.csv" { // it paused, so it is given more time
		t.Errorf("written again: told of %q", got)
	}
	s.Again("bay/a.csv")
	if got := s.after(again-time.Millisecond) + "," + s.after(time.Millisecond); got != ",a.csv" {
		t.Errorf("once more: told of %q", got)
	}
	s.put("empty.csv", "")
	if got := s.after(0) + s.after(settleEmpty-time.Millisecond); got != "" {
		t.Errorf("told of %s before it was begun", got)
	}
	if got := s.after(time.Millisecond); got != "empty.csv" {
		t.Errorf("told of %q", got)
	}
}

// A writer that pauses for longer than a file takes to settle: the first pause
// is not known beforehand, the later ones are.
func TestWatchLearnsOfPauses(t *testing.T) {
	s := newShelf()
	pause := 2 * settle
	write := func(name string) (told int) {
		for i := range 6 {
			s.put(name, strings.Repeat("x", i+1))
			for range 4 { // looks between two chunks
				if s.after(pause/4) != "" {
					told++
				}
			}
		}
		return told
	}
	if told := write("a.csv"); told != 1 {
		t.Errorf("the first file: told of %d times before it was whole", told)
	}
	if got := s.after(settleMost); got != "a.csv" {
		t.Errorf("told of %q at the end", got)
	}
	if told := write("b.csv"); told != 0 {
		t.Errorf("the second file: told of %d times before it was whole", told)
	}
	if got := s.after(settleMost); got != "b.csv" {
		t.Errorf("told of %q at the end", got)
	}
}

func TestWatchWaitsForWhatWasTakenEarly(t *testing.T) {
	s := newShelf()
	s.put("a.csv", "x")
	s.after(0)
	s.after(settle)
	s.Wait("bay/a.csv")
	if got := s.after(patience - time.Millisecond); got != "" {
		t.Errorf("told of %s too soon", got)
	}
	if got := s.after(time.Millisecond); got != "a.csv" {
		t.Errorf("told of %q, which stays as it is", got)
	}
	s.Wait("bay/a.csv")
	s.put("a.csv", "xy") // written on: no longer than any other
	s.after(0)
	if got := s.after(settleMost); got != "a.csv" {
		t.Errorf("told of %q, which was written on", got)
	}
}

func TestWatchTellsOfFilesBegun(t *testing.T) {
	s := newShelf()
	s.put("old.csv", "x")
	if err := s.Skip(); err != nil {
		t.Fatal(err)
	}
	if g := s.Look(); len(g.Begun) != 0 {
		t.Errorf("begun before it watched: %v", g.Begun)
	}
	if got := s.after(time.Hour); got != "" {
		t.Errorf("told of %s, which was skipped", got)
	}
	s.put("new.csv", "x")
	s.put("old.csv", "xy")
	if g := s.Look(); len(g.Begun) != 2 || len(g.Landed) != 0 {
		t.Errorf("%+v", g)
	}
	s.put("new.csv", "xy")
	if g := s.Look(); len(g.Begun) != 0 {
		t.Errorf("told twice that it began: %v", g.Begun)
	}
	if got := s.after(settleMost); got != "new.csv old.csv" {
		t.Errorf("told of %q", got)
	}
}

func TestWatchTellsOfManyInOrder(t *testing.T) {
	s := newShelf()
	var want []string
	for i := range 100 {
		name := fmt.Sprintf("%02d.csv", 99-i)
		s.put(name, "x")
		s.at = s.at.Add(time.Millisecond)
		want = append(want, name)
	}
	s.after(0)
	if got := s.after(settle); got != strings.Join(want, " ") {
		t.Errorf("told of %s", got)
	}
}

func TestFolderDisappearsAndReturns(t *testing.T) {
	s := newShelf()
	s.put("a.csv", "x")
	s.after(0)
	s.after(settle)
	s.put("b.csv", "x")
	s.after(0)
	s.err = &fs.PathError{Op: "open", Path: "bay", Err: fs.ErrNotExist}
	if g := s.Look(); g.Notice != "bay cannot be read: file does not exist; waiting for it to return" || len(g.Landed) > 0 {
		t.Errorf("%+v", g)
	}
	if g := s.Look(); g.Notice != "" {
		t.Errorf("said again: %q", g.Notice)
	}
	s.err = nil
	s.at = s.at.Add(time.Hour)
	if g := s.Look(); g.Notice != "bay is back" || len(g.Landed) != 1 || filepath.Base(g.Landed[0]) != "b.csv" {
		t.Errorf("%+v", g)
	}
}

func TestWatchWaits(t *testing.T) {
	s := newShelf()
	if s.Look(); s.wait() != idle {
		t.Errorf("nothing there: waits %v", s.wait())
	}
	s.put("a.csv", "x")
	if s.Look(); s.wait() != settle {
		t.Errorf("a file settles: waits %v", s.wait())
	}
	s.slow = time.Second
	if s.Look(); s.wait() != slowRest*time.Second {
		t.Errorf("a slow share: waits %v", s.wait())
	}
}

// A share that never tells of changes is looked at all the same.
func TestWatchWithoutEvents(t *testing.T) {
	w := NewWatch(filepath.Join(t.TempDir(), "not there")) // of which the system cannot tell
	file, err := fstest.MapFS{"a.csv": &fstest.MapFile{Data: []byte("x")}}.Stat("a.csv")
	if err != nil {
		t.Fatal(err)
	}
	looks := 0
	w.list = func(string) ([]fs.FileInfo, error) {
		if looks++; looks < 2 {
			return nil, nil
		}
		return []fs.FileInfo{file}, nil
	}
	ctx, cancel := context.WithCancel(t.Context())
	var landed []string
	w.Run(ctx, func(g Glance) {
		landed = append(landed, g.Landed...)
		if len(landed) > 0 {
			cancel()
		}
	})
	if len(landed) != 1 || filepath.Base(landed[0]) != "a.csv" {
		t.Errorf("landed %v", landed)
	}
}

// A file that goes before it is whole, as when it is written under one name and
// given another, is waited for no more.
func TestWatchForgetsWhatWent(t *testing.T) {
	s := newShelf()
	s.put("a.part", "x")
	s.after(0)
	s.files["a.csv"] = s.files["a.part"]
	delete(s.files, "a.part")
	s.after(settle / 2)
	if got := s.after(settle); got != "a.csv" {
		t.Fatalf("told of %q", got)
	}
	if s.settling() || s.wait() != idle {
		t.Errorf("still settling %t, next look in %v", s.settling(), s.wait())
	}
}
