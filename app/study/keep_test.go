package study

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// streamed returns the pooled results of all runs.
func streamed(t *testing.T, s *Study, k *Keep) []*Result {
	t.Helper()
	results := make([]*Result, len(s.Runs))
	if err := Stream(context.Background(), s, s.Runs, k, func(i int, r *Result) { results[i] = r }); err != nil {
		t.Fatal(err)
	}
	if k != nil && k.Err() != nil {
		t.Fatal(k.Err())
	}
	return Pool(results)
}

// written returns what all results amount to.
func written(t *testing.T, s *Study, results []*Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteResults(&b, &Analysis{Study: s, Results: results}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestKeptResultsAreTheSame analyses without a keep, with an empty one, and with
// a full one from which all comes.
func TestKeptResultsAreTheSame(t *testing.T) {
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:3]
	a, err := Analyze(context.Background(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	k := NewKeep(t.TempDir())
	first, second := streamed(t, s, k), streamed(t, s, k)
	want := written(t, s, a.Results)
	for name, got := range map[string][]*Result{"first": first, "from the keep": second} {
		if written(t, s, got) != want {
			t.Errorf("%s: the results differ from those of Analyze", name)
		}
	}
	for i, r := range second {
		was, err := first[i].Swing.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if is, err := r.Swing.MarshalBinary(); err != nil || !bytes.Equal(is, was) || !r.Follows(s, s.Runs[i]) {
			t.Errorf("%s comes back otherwise", r.Run.ID)
		}
	}
	if files := swings(t, k); len(files) != 3 {
		t.Errorf("the keep has %v, want 3 swings", files)
	}
}

// swings returns the files of a keep.
func swings(t *testing.T, k *Keep) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(k.dir, "*.swing"))
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestKeepKnowsWhatAResultFollowsFrom(t *testing.T) {
	s, put, _ := damaged(t)
	s.Runs = s.Runs[:1]
	k := NewKeep(t.TempDir())
	streamed(t, s, k)
	impact := streamed(t, s, k)[0].Swing.Impact.Value + 1e-3
	moved := *s
	moved.Runs = slices.Clone(s.Runs)
	moved.Runs[0].Events.Impact = &impact
	if got := streamed(t, &moved, k)[0].Swing.Impact.Value; got != impact {
		t.Errorf("impact by hand is at %v, want %v", got, impact)
	}
	club := moved
	club.Clubs = slices.Clone(s.Clubs)
	i := slices.IndexFunc(club.Clubs, func(c Club) bool { return c.ID == s.Runs[0].Club })
	club.Clubs[i].Shaft.EI = slices.Clone(club.Clubs[i].Shaft.EI)
	club.Clubs[i].Shaft.EI[0] *= 1.1
	streamed(t, &club, k)
	if n := len(swings(t, k)); n != 3 {
		t.Errorf("%d results are kept, want 3: found, by hand, another shaft", n)
	}
	club.Clubs[i].Label = "renamed"
	streamed(t, &club, k)
	if n := len(swings(t, k)); n != 3 {
		t.Errorf("another label of the club makes %d results", n)
	}
	// Damage is worked out anew, and mended.
	for _, f := range swings(t, k) {
		if err := os.WriteFile(f, []byte("no swing"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if r := streamed(t, s, k)[0]; !r.OK() || r.Changed {
		t.Errorf("with a damaged keep: %v, changed %v", r.Err, r.Changed)
	}

	// Another capture under the same name.
	path := filepath.Join(filepath.Dir(s.Path), s.Runs[0].File)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	results := streamed(t, s, k)
	if ids := Changed(context.Background(), s, results); len(ids) != 0 {
		t.Errorf("%v are taken for changed", ids)
	}
	lines := strings.SplitAfter(string(b), "\n")
	put(s.Runs[0].File, strings.Join(lines[:len(lines)-5], ""))
	if ids := Changed(context.Background(), s, results); !slices.Equal(ids, []string{s.Runs[0].ID}) {
		t.Errorf("after one changed, %v are told", ids)
	}
	if r := streamed(t, s, k)[0]; !r.Changed || r.Capture.Frames == results[0].Capture.Frames {
		t.Errorf("a changed capture gives changed %v and %d frames", r.Changed, r.Capture.Frames)
	}
	if r := streamed(t, s, k)[0]; r.Changed {
		t.Error("it is still told as changed after it was analysed")
	}
}

func TestKeepForgetsTheOldest(t *testing.T) {
	k := NewKeep(t.TempDir())
	for i, name := range []string{"a", "b", "c"} {
		path := k.path(name)
		if err := os.WriteFile(path, make([]byte, 100), 0o644); err != nil {
			t.Fatal(err)
		}
		at := time.Unix(int64(1000-i), 0)
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	if err := k.trim(250); err != nil {
		t.Fatal(err)
	}
	if got := swings(t, k); len(got) != 2 || filepath.Base(got[0]) != "a.swing" || filepath.Base(got[1]) != "b.swing" {
		t.Errorf("left are %v, want a and b", got)
	}
}

// A damaged note of what was seen is as good as none.
func TestKeepWithADamagedNote(t *testing.T) {
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:1]
	k := NewKeep(t.TempDir())
	for _, content := range []string{"null", "[]", "{"} {
		if err := k.write(k.seenPath(s), func(w io.Writer) error { _, err := io.WriteString(w, content); return err }); err != nil {
			t.Fatal(err)
		}
		if r := streamed(t, s, k)[0]; !r.OK() || r.Changed {
			t.Errorf("with %s: error %v, changed %v", content, r.Err, r.Changed)
		}
	}
}

func TestKeepThatCannotWriteSaysSo(t *testing.T) {
	s, put, _ := damaged(t)
	s.Runs = s.Runs[:1]
	put("file", "in the way")
	k := NewKeep(filepath.Join(filepath.Dir(s.Path), "file", "keep"))
	var got *Result
	if err := Stream(context.Background(), s, s.Runs, k, func(_ int, r *Result) { got = r }); err != nil {
		t.Fatal(err)
	}
	if got == nil || !got.OK() {
		t.Error("a keep that cannot be written to loses the result")
	}
	if k.Err() == nil || !strings.Contains(k.Err().Error(), "cannot be kept") {
		t.Errorf("it says %v", k.Err())
	}
}

// TestPoolOfAChangedRun moves the impact of one run and analyses it alone: with
// the others' results it is what analysing all gives.
func TestPoolOfAChangedRun(t *testing.T) {
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:3]
	all := streamed(t, s, nil)
	top := all[1].Swing.Top - 5e-3
	changed := *s
	changed.Runs = slices.Clone(s.Runs)
	changed.Runs[1].Events.Top = &top
	one := slices.Clone(all)
	if all[1].Follows(&changed, changed.Runs[1]) || !all[0].Follows(&changed, changed.Runs[0]) {
		t.Error("it is not told which result no longer follows")
	}
	err := Stream(context.Background(), &changed, changed.Runs[1:2], nil, func(_ int, r *Result) { one[1] = r })
	if err != nil {
		t.Fatal(err)
	}
	want := written(t, &changed, streamed(t, &changed, nil))
	if got := written(t, &changed, Pool(one)); got != want {
		t.Errorf("one by one\n%s\nall at once\n%s", got, want)
	}
	if again := Pool(all); again[0] != all[0] {
		t.Error("pooling what is pooled makes new results")
	}
}

func TestAutosave(t *testing.T) {
	s, _, _ := damaged(t)
	if left, _, err := Recover(s.Path); left != nil || err != nil {
		t.Fatalf("before anything there is %v, %v", left, err)
	}
	changed := *s
	changed.Title = "Changed"
	if err := changed.Autosave(); err != nil {
		t.Fatal(err)
	}
	if on, err := Open(s.Path); err != nil || on.Title == "Changed" {
		t.Errorf("autosave touches the study itself: %v", err)
	}
	left, at, err := Recover(s.Path)
	if err != nil || left.Title != "Changed" || left.Path != s.Path || time.Since(at) > time.Hour {
		t.Errorf("recovered %+v of %v, %v", left, at, err)
	}
	for range 2 { // the second finds nothing, which is no error
		if err := DropAutosave(s.Path); err != nil {
			t.Error(err)
		}
	}
	if left, _, err := Recover(s.Path); left != nil || err != nil {
		t.Errorf("after it was dropped there is %v, %v", left, err)
	}
}

func TestCopyTo(t *testing.T) {
	s, put, _ := damaged(t)
	s.Runs = append(slices.Clone(s.Runs), Run{ID: "gone", File: "gone.csv", Club: s.Clubs[0].ID})
	dir := filepath.Join(t.TempDir(), "a", "new")
	path := filepath.Join(dir, "other.json")
	var last [2]int
	c, err := s.CopyTo(context.Background(), path, func(done, total int, _ string) { last = [2]int{done, total} })
	if err != nil || c.Path != path || last[0] != last[1] || last[1] != len(s.Files()) {
		t.Fatalf("copied to %+v, %v, %v", c, last, err)
	}
	back, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if r := AnalyzeRun(context.Background(), back, back.Runs[0]); !r.OK() {
		t.Error(r.Err)
	}
	if _, err := s.CopyTo(context.Background(), path, nil); err != nil {
		t.Errorf("a second time: %v", err)
	}
	put(s.Runs[0].File, "other content")
	if _, err := s.CopyTo(context.Background(), path, nil); err == nil || !strings.Contains(err.Error(), "other content") {
		t.Errorf("over other content: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := s.CopyTo(ctx, filepath.Join(t.TempDir(), "x", "y.json"), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	beside := filepath.Join(filepath.Dir(s.Path), "beside.json")
	if _, err := s.CopyTo(context.Background(), beside, nil); err != nil {
		t.Errorf("beside: %v", err)
	}
}

// TestRates compares the rate of lead with what the series does on each side of
// impact.
func TestRates(t *testing.T) {
	sim := simulated()
	r := AnalyzeRun(context.Background(), sim.study, sim.study.Runs[0])
	sw := r.Swing
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) || a != a && b != b }
	for k, m := range Rates {
		got, v := m.Series(sw).Value, Measures[k].Series(sw).Value
		last := lastBefore(sw)
		if want := v[last] - v[last-1]; !near(got[last]/sw.Rate, want) {
			t.Errorf("%s before impact: %v a frame, want %v", m.Key, got[last]/sw.Rate, want)
		}
		if want := v[last+2] - v[last+1]; !near(got[last+1]/sw.Rate, want) {
			t.Errorf("%s after impact: %v a frame, want %v", m.Key, got[last+1]/sw.Rate, want)
		}
		if want := (v[41] - v[39]) / 2; !near(got[40]/sw.Rate, want) {
			t.Errorf("%s: %v a frame, want %v", m.Key, got[40]/sw.Rate, want)
		}
		if m.AtImpact(sw).Value != got[last] {
			t.Errorf("%s at impact is %v", m.Key, m.AtImpact(sw))
		}
	}
	curve := MeanCurve([]*Result{r}, Rates[0])
	if v := curve.Mean[len(curve.Mean)-1]; v != v {
		t.Error("the mean rate has no value at impact")
	}
}

func BenchmarkReopen(b *testing.B) {
	s := simulated().study
	k := NewKeep(b.TempDir())
	run := func() {
		if err := Stream(context.Background(), s, s.Runs, k, func(int, *Result) {}); err != nil {
			b.Fatal(err)
		}
	}
	run()
	for b.Loop() {
		run()
	}
}
