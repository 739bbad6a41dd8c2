package report

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"bendline/app/study"
)

// formats are all that leaves the laboratory, by the name it is written to.
var formats = map[string]func(context.Context, *study.Analysis, *study.Comparison, string, Options, Progress) error{
	"deck.pdf":    Write,
	"deck.pptx":   Write,
	"deck":        Write,
	"tables.xlsx": WriteTables,
	"tables":      WriteTables,
	"swing.gif":   WriteAnimation,
	"sheet.pdf": func(ctx context.Context, a *study.Analysis, _ *study.Comparison, path string, o Options, _ Progress) error {
		return WriteSheet(ctx, a, "p1", path, o)
	},
}

// contents returns the bytes of a file, or of all files of a folder by name.
func contents(t *testing.T, path string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	err := filepath.WalkDir(path, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(path, name)
		if err != nil {
			return err
		}
		all[rel], err = os.ReadFile(name)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The same study, options and date give the same bytes in every format, on any
// number of processors.
func TestSameBytes(t *testing.T) {
	for name, write := range formats {
		var made []map[string][]byte
		for _, procs := range []int{1, runtime.NumCPU() + 1} {
			was := runtime.GOMAXPROCS(procs)
			a, c := medium.make()
			path := filepath.Join(t.TempDir(), name)
			err := write(t.Context(), a, c, path, options, nil)
			runtime.GOMAXPROCS(was)
			if err != nil {
				t.Fatal(err)
			}
			made = append(made, contents(t, path))
		}
		if len(made[0]) == 0 || len(made[0]) != len(made[1]) {
			t.Errorf("%s: %d and %d files", name, len(made[0]), len(made[1]))
		}
		for file, data := range made[0] {
			if len(data) == 0 || !bytes.Equal(data, made[1][file]) {
				t.Errorf("%s, %s: the second time other bytes", name, file)
			}
		}
	}
}

// An export that is cancelled at any point leaves what was there, and nothing
// beside it.
func TestCancelledLeavesNothing(t *testing.T) {
	a, c := small.make()
	for name, write := range formats {
		for _, at := range []int{0, 2} { // before it begins, and on the way
			if at > 0 && name == "sheet.pdf" {
				continue // one page, with nothing to tell on the way
			}
			dir := t.TempDir()
			path := filepath.Join(dir, name)
			before := filepath.Ext(name) != ""
			if before {
				if err := os.WriteFile(path, []byte("before"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			ctx, cancel := context.WithCancel(t.Context())
			if at == 0 {
				cancel()
			}
			err := write(ctx, a, c, path, options, func(done, total int) {
				if done == at {
					cancel()
				}
			})
			cancel()
			if !errors.Is(err, context.Canceled) {
				t.Errorf("%s: error %v, want cancelled", name, err)
			}
			kept(t, dir, name, before)
		}
	}
}

// kept checks that a folder has the file of the name with what was in it
// before, or nothing.
func kept(t *testing.T, dir, name string, before bool) {
	t.Helper()
	got := contents(t, dir)
	switch {
	case !before && len(got) != 0:
		t.Errorf("%s: left %v", name, slices.Sorted(maps.Keys(got)))
	case before && (len(got) != 1 || string(got[name]) != "before"):
		t.Errorf("%s: left %v, content %.20q", name, slices.Sorted(maps.Keys(got)), got[name])
	}
}

// An export that cannot be put where it belongs leaves what was there, and
// nothing beside it.
func TestFailedLeavesNothing(t *testing.T) {
	a, c := small.make()
	for name, write := range formats {
		dir := t.TempDir()
		path := filepath.Join(dir, name)
		in := path // a file in the way of a folder
		if filepath.Ext(name) != "" {
			in = filepath.Join(path, "in the way") // a folder in the way of a file
			if err := os.Mkdir(path, 0o755); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.WriteFile(in, []byte("before"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := write(t.Context(), a, c, path, options, nil); err == nil {
			t.Errorf("%s was written over what was in the way", name)
		}
		rel, err := filepath.Rel(dir, in)
		if err != nil {
			t.Fatal(err)
		}
		kept(t, dir, rel, true)
	}
}
