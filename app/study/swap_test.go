package study

import (
	"context"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestSwap exchanges two labels in a capture for a time, as a camera system
// does, and puts them right.
func TestSwap(t *testing.T) {
	s, put, table := damaged(t)
	run := s.Runs[0]
	clean := streamed(t, s, nil)[0]
	from, to := clean.Swing.Top, clean.Swing.Top+0.05
	rows := table(run.File)
	var a, b int
	for i, h := range rows[0] {
		switch h {
		case "S03_x":
			a = i
		case "S04_x":
			b = i
		}
	}
	sight, err := See(context.Background(), s, run)
	if err != nil {
		t.Fatal(err)
	}
	third := slices.Index(sight.Names, "S03")
	if a == 0 || b == 0 || third < 0 {
		t.Fatal("the capture has no S03 and S04")
	}
	for i, row := range rows[1:] {
		if at := clean.Swing.Time(i); at >= from && at <= to {
			for k := range 3 {
				row[a+k], row[b+k] = row[b+k], row[a+k]
			}
		}
	}
	put(run.File, text(t, rows))
	margin := 1e-5
	from, to = from-margin, to+margin
	run.Swaps = []Swap{{A: "S03", B: "S04", From: &from, To: &to}}
	back, err := See(context.Background(), s, run)
	if err != nil {
		t.Fatal(err)
	}
	if !same(back.Seen[third], sight.Seen[third]) {
		t.Error("put right, S03 is not where it was")
	}
	r := AnalyzeRun(context.Background(), s, run)
	if !r.OK() || r.Swing.AtImpact.Lead.Value != AnalyzeRun(context.Background(), s, run).Swing.AtImpact.Lead.Value {
		t.Errorf("put right it gives %v", r.Err)
	}
	if got := r.Run.Corrections(); !slices.Equal(got, []string{"S03 and S04 exchanged"}) {
		t.Errorf("corrections are %q", got)
	}
	run.Swaps = []Swap{{A: "S03", B: "nobody"}}
	if r := AnalyzeRun(context.Background(), s, run); r.OK() || !strings.Contains(r.Err.Error(), `no marker "nobody"`) {
		t.Errorf("a swap with nobody gives %v", r.Err)
	}
}

// same reports whether two paths are the same, gaps included.
func same(a, b []r3.Vec) bool {
	return slices.EqualFunc(a, b, func(p, q r3.Vec) bool { return p == q || p.X != p.X && q.X != q.X })
}

func TestSwapsAreSaved(t *testing.T) {
	s, _, _ := damaged(t)
	from := 0.25
	s.Runs[0].Swaps = []Swap{{A: "S03", B: "S04", From: &from}, {A: "G1", B: "G2"}}
	path := filepath.Join(t.TempDir(), "study.json")
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	back, err := Open(path)
	if err != nil || !reflect.DeepEqual(back.Runs[0].Swaps, s.Runs[0].Swaps) {
		t.Errorf("back come %+v, %v", back.Runs[0].Swaps, err)
	}
	s.Runs[0].Swaps = []Swap{{A: "S03", B: "S03"}}
	if err := s.Save(path); err == nil || !strings.Contains(err.Error(), "cannot change places with itself") {
		t.Errorf("a swap with itself is saved: %v", err)
	}
}
