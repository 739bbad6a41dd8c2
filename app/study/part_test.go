package study

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestParsePart(t *testing.T) {
	if p, err := ParsePart("2/8"); err != nil || p != (Part{2, 8}) {
		t.Errorf("%v, %v", p, err)
	}
	for _, text := range []string{"", "2", "/", "0/3", "4/3", "-1/3", "1/0", "a/3", "1/3/3", "1.5/3"} {
		if _, err := ParsePart(text); err == nil {
			t.Errorf("%q is read", text)
		}
	}
}

// The parts of a study are all of its runs, each once.
func TestPartsAreTheWhole(t *testing.T) {
	for runs := range 12 {
		for of := 1; of < 15; of++ {
			seen, n := make([]int, runs), 0
			all := make([]Run, runs)
			for i := range all {
				all[i].Events.Top = new(float64)
				*all[i].Events.Top = float64(i)
			}
			for k := 1; k <= of; k++ {
				p := Part{k, of}
				mine := p.of(all)
				if len(mine) != p.count(runs) {
					t.Errorf("%v of %d runs: %d, counted %d", p, runs, len(mine), p.count(runs))
				}
				for _, r := range mine {
					seen[int(*r.Events.Top)]++
				}
				n += len(mine)
			}
			for i, times := range seen {
				if times != 1 {
					t.Errorf("run %d of %d is in %d of %d parts", i, runs, times, of)
				}
			}
			if n != runs {
				t.Errorf("%d runs in parts of %d", n, runs)
			}
		}
	}
}

// partsOf writes the parts of a study and returns their paths.
func partsOf(t *testing.T, s *Study, of int) []string {
	t.Helper()
	dir := t.TempDir()
	var paths []string
	for k := 1; k <= of; k++ {
		p := Part{k, of}
		results, err := AnalyzePart(context.Background(), s, p, nil)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, fmt.Sprintf("%d-%d.json", k, of))
		if err := WriteFile(path, func(w io.Writer) error { return WritePart(w, s, p, results) }); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

func resultsText(t *testing.T, results []*Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteResults(&b, &Analysis{Results: results}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What is merged is what the whole gives, a run that fails among it, to the
// byte; though the parts, pooled each by itself, are not.
func TestMergeIsTheWhole(t *testing.T) {
	s := *simulated().study
	s.Runs = append(append([]Run(nil), s.Runs...), Run{ID: "gone", File: "gone.csv", Club: "base", Player: "a"})
	a, err := Analyze(context.Background(), &s, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := resultsText(t, a.Results)
	for _, of := range []int{1, 2, 4, 9} {
		paths := partsOf(t, &s, of)
		paths[0], paths[of-1] = paths[of-1], paths[0]
		merged, err := Merge(paths)
		if err != nil {
			t.Fatal(err)
		}
		if got := resultsText(t, merged); got != want {
			t.Errorf("%d parts give\n%s\nthe whole\n%s", of, got, want)
		}
	}
	var part, whole struct {
		Runs []struct {
			Impact map[string]struct{ U95 float64 }
		}
	}
	b, err := os.ReadFile(partsOf(t, &s, len(s.Runs))[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &part); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(want), &whole); err != nil {
		t.Fatal(err)
	}
	if part.Runs[0].Impact["lead_mm"] == whole.Runs[0].Impact["lead_mm"] {
		t.Error("pooling changes nothing, so that this test tells nothing")
	}
}

func TestMergeRefuses(t *testing.T) {
	s := *simulated().study
	s.Runs = s.Runs[:3]
	good := partsOf(t, &s, 2)
	other := s
	other.Title = "another"
	another, three := partsOf(t, &other, 2), partsOf(t, &s, 3)
	dir := t.TempDir()
	spoil := func(name, path, from, to string) string {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		changed := strings.Replace(string(b), from, to, 1)
		if changed == string(b) {
			t.Fatalf("%q is not in the part", from)
		}
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	whole := filepath.Join(dir, "whole.json")
	if err := os.WriteFile(whole, []byte(`{"format":"bendline-results","version":1,"runs":[]}`), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		paths []string
		want  string
	}{
		{nil, "no part is named"},
		{[]string{good[0]}, "part 2 of 2 is missing; make it with analyze --part 2/2"},
		{[]string{good[1]}, "part 1 of 2 is missing"},
		{[]string{good[0], good[0]}, "are both part 1 of 2"},
		{[]string{good[0], good[1], good[1]}, "are both part 2 of 2"},
		{[]string{good[0], another[1]}, "another study"},
		{[]string{good[0], three[1]}, "it is one of 3 parts, that of 2"},
		{[]string{good[0], spoil("program.json", good[1], `"program_sha256": "`, `"program_sha256": "0`)}, "another version of the program"},
		{[]string{good[0], whole}, "not a part"},
		{[]string{good[0], filepath.Join(dir, "none.json")}, "none.json"},
		{[]string{good[0], spoil("cut.json", good[1], "\n}\n", "")}, "no whole results file"},
		{[]string{good[0], spoil("format.json", good[1], "bendline-results", "bendline-study")}, `format is "bendline-study"`},
		{[]string{good[0], spoil("count.json", good[1], `"study_runs": 3`, `"study_runs": 5`)}, "make the part again"},
		{[]string{good[0], spoil("huge.json", good[1], `"of": 2`, `"of": 4611686018427387904`)}, "one of 4611686018427387904 parts"},
		{[]string{spoil("alone.json", good[1], `"alone": "`, `"alone": "AAAA`), good[0]}, "the part is damaged"},
	} {
		if _, err := Merge(c.paths); err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v: %v; want %q", c.paths, err, c.want)
		}
	}
}
