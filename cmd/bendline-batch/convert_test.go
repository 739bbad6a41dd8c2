package main

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

// What convert writes is the capture, as near as a nanometre.
func TestConvert(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out.csv")
	for _, file := range []string{"a-base-1.csv", "a-proto-1.csv"} { // commas; semicolons and decimal commas
		path := filepath.Join(simulated(), file)
		call(t, "convert", path, "-o", out)
		want, err := capture.ReadFile(path, capture.Hints{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := capture.ReadFile(out, capture.Hints{Unit: capture.Millimetre})
		if err != nil {
			t.Fatal(err)
		}
		if got.Frames() != want.Frames() || !slices.Equal(got.Markers(), want.Markers()) || math.Abs(got.Rate()/want.Rate()-1) > 1e-6 {
			t.Fatalf("%s: %d frames of %v at %v, want %d of %v at %v", file, got.Frames(), got.Markers(), got.Rate(), want.Frames(), want.Markers(), want.Rate())
		}
		gaps := 0
		for _, name := range want.Markers() {
			for i, w := range want.Track(name) {
				g := got.Track(name)[i]
				if math.IsNaN(w.X) {
					gaps++
				}
				if math.IsNaN(g.X) != math.IsNaN(w.X) || r3.Norm(r3.Sub(g, w)) > 1e-9 {
					t.Fatalf("%s: %s in frame %d is at %v, want %v", file, name, i, g, w)
				}
			}
		}
		if gaps == 0 {
			t.Errorf("%s has no gaps to keep", file)
		}
	}
}

// Files that are no captures are refused in one sentence, and nothing is
// written.
func TestConvertRefuses(t *testing.T) {
	const header = "time_s,A_x,A_y,A_z,B_x,B_y,B_z\n"
	for name, text := range map[string]string{
		"empty":          "",
		"header only":    header,
		"text in number": header + "0,1,2,3,4,5,6\n0.01,1,2,x3,4,5,6\n0.02,1,2,3,4,5,6\n",
		"ragged":         header + "0,1,2,3,4,5,6\n0.01,1,2\n0.02,1,2,3,4,5,6\n",
		"time goes back": header + "0,1,2,3,4,5,6\n0.02,1,2,3,4,5,6\n0.01,1,2,3,4,5,6\n",
		"no rate":        strings.TrimPrefix(header, "time_s,") + "1,2,3,4,5,6\n1,2,3,4,5,6\n",
		"prose":          "Dear colleague,\nthe capture follows.\n",
		"binary":         "\x00\x01\x02\xff\xfe\xfd" + strings.Repeat("\x00\x93", 100),
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			in := filepath.Join(dir, "in.csv")
			write(t, in, text)
			code, stdout, stderr := call(t, "convert", in, "-o", filepath.Join(dir, "out.csv"))
			if code != exitFailed || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "in.csv") {
				t.Errorf("exit %d, %q, %q; want a sentence about in.csv", code, stdout, stderr)
			}
			only(t, dir, "in.csv")
		})
	}
	dir := t.TempDir()
	if code, _, stderr := call(t, "convert", filepath.Join(dir, "none.csv"), "-o", filepath.Join(dir, "out.csv")); code != exitFailed || !strings.Contains(stderr, "none.csv") {
		t.Errorf("exit %d, %q", code, stderr)
	}
	only(t, dir)
}
