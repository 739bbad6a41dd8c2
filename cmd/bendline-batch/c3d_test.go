package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendline/capture"
)

// asC3D copies the simulated study with the file of a-base-1 in C3D.
func asC3D(t *testing.T) (study, file string) {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(simulated())); err != nil {
		t.Fatal(err)
	}
	text := filepath.Join(dir, "a-base-1.csv")
	rec, err := capture.ReadFile(text, capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := capture.WriteC3D(&b, rec); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(dir, "a-base-1.c3d")
	write(t, file, b.String())
	if err := os.Remove(text); err != nil {
		t.Fatal(err)
	}
	study = filepath.Join(dir, "study.json")
	write(t, study, strings.Replace(read(t, study), `"a-base-1.csv"`, `"a-base-1.c3d"`, 1))
	return study, file
}

// A capture in C3D gives the numbers that it gives as text, as near as float32
// holds a position.
func TestC3D(t *testing.T) {
	study, file := asC3D(t)
	out := t.TempDir()
	if checked := must(t, "check", study); !strings.Contains(checked, "a-base-1.c3d: run a-base-1, club base\n") || !strings.Contains(checked, " markers, mm, c3d\n") {
		t.Error(checked)
	}
	analysed := func(study string) map[string]float64 {
		path := filepath.Join(out, "results.json")
		must(t, "analyze", study, "-o", path)
		var got results
		if err := json.Unmarshal([]byte(read(t, path)), &got); err != nil {
			t.Fatal(err)
		}
		values := make(map[string]float64)
		for name, v := range got.Runs[0].Impact {
			values[name] = v.Value
		}
		return values
	}
	got, want := analysed(study), analysed(filepath.Join(simulated(), "study.json"))
	if len(got) != 7 {
		t.Errorf("%d measures", len(got))
	}
	for name, w := range want {
		if g := got[name]; !(math.Abs(g-w) < 1e-2) {
			t.Errorf("%s is %v, want %v", name, g, w)
		}
	}

	path := filepath.Join(out, "out.csv")
	must(t, "convert", file, "-o", path)
	rec, err := capture.ReadFile(path, capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Count(read(t, path), "\n")
	if !strings.HasPrefix(read(t, path), "time_s,G1_x,G1_y,G1_z,") || lines != 1+rec.Frames() {
		t.Errorf("%d lines for %d frames", lines, rec.Frames())
	}
}

// A C3D file that breaks off is converted as far as it goes, and that is said.
func TestConvertTruncatedC3D(t *testing.T) {
	_, file := asC3D(t)
	whole := read(t, file)
	write(t, file, whole[:len(whole)/2])
	out := filepath.Join(t.TempDir(), "out.csv")
	code, _, stderr := call(t, "convert", file, "-o", out)
	if code != exitOK || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "a-base-1.c3d: the file breaks off after ") {
		t.Errorf("exit %d, %q", code, stderr)
	}
	if !strings.HasPrefix(read(t, out), "time_s,G1_x") {
		t.Error("nothing was converted")
	}
}
