package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

func TestBench(t *testing.T) {
	dir, out := simulated(), t.TempDir()
	path := filepath.Join(out, "bench.json")
	type file struct {
		Format string
		Clubs  []struct {
			ID     string
			Checks []struct {
				Item string
				OK   *bool
			}
			Zero  float64 `json:"swing_weight_d0_ozin"`
			Flags []struct{ Code, Detail string }
		}
		Swings *struct {
			Runs []struct{ ID string }
		}
	}
	written := func() (f file) {
		if err := json.Unmarshal([]byte(read(t, path)), &f); err != nil {
			t.Fatal(err)
		}
		return f
	}
	must(t, "bench", filepath.Join(dir, "study.json"), "-o", path)
	only(t, out, "bench.json")
	got := written()
	if got.Format != "bendline-bench" || len(got.Clubs) != 4 || got.Swings != nil {
		t.Fatalf("%+v", got)
	}
	for _, c := range got.Clubs {
		failed := false
		for _, k := range c.Checks {
			failed = failed || k.OK != nil && !*k.OK
		}
		if failed != (c.ID == "proto-left") { // the one that was made too heavy
			t.Errorf("%s: checks %+v", c.ID, c.Checks)
		}
	}
	must(t, "bench", "--swings", "--d0=211", filepath.Join(dir, "study.json"), "-o", path)
	if got = written(); got.Swings == nil || len(got.Swings.Runs) != 4 || got.Clubs[0].Zero != 211 {
		t.Errorf("with swings: %+v", got)
	}
}

// A sheet that cannot be is refused in one sentence, and nothing is written.
func TestBenchRefuses(t *testing.T) {
	dir := t.TempDir()
	study := filepath.Join(dir, "study.json")
	text := read(t, filepath.Join(simulated(), "study.json"))
	write(t, study, strings.Replace(text, `"weight_g": 6`, `"weight_g": -6`, 1))
	code, stdout, stderr := call(t, "bench", study, "-o", filepath.Join(dir, "bench.json"))
	if code != exitFailed || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, `club "base": bench: weight_g is -6`) {
		t.Errorf("exit %d, %q, %q", code, stdout, stderr)
	}
	only(t, dir, "study.json")
}
