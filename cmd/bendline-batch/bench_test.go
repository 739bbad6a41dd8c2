package main

import (
	"encoding/json"
	"os"
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

// A sheet from a file counts in what is worked out, and is kept if asked.
func TestBenchSheet(t *testing.T) {
	dir := t.TempDir()
	path, sheet, out := filepath.Join(dir, "study.json"), filepath.Join(dir, "sheet.csv"), filepath.Join(dir, "bench.json")
	before := read(t, filepath.Join(simulated(), "study.json"))
	write(t, path, before)
	write(t, sheet, "item,unit,base,proto\nweight,oz,2.5,2.26\nfrequency,Hz,,4.2\noperator,,A,B\n")
	code, _, stderr := call(t, "bench", path, "--sheet", sheet, "-o", out)
	if code != exitOK || !strings.Contains(stderr, "Left alone: row 4 “operator”.") {
		t.Fatalf("exit %d, %q", code, stderr)
	}
	if got := read(t, out); !strings.Contains(got, `"value": 70.8738078125`) && !strings.Contains(got, "70.873807812") {
		t.Errorf("2.5 oz is not in %s", got)
	}
	if read(t, path) != before {
		t.Error("the study was written though nobody asked")
	}
	if code, _, stderr := call(t, "bench", path, "--sheet="+sheet, "--save", "-o", out); code != exitOK {
		t.Fatalf("exit %d, %q", code, stderr)
	}
	if got := read(t, path); !strings.Contains(got, "70.87380781") || !strings.Contains(got, `"cpm": 252`) {
		t.Errorf("the study has not taken the sheet: %s", got)
	}
	write(t, sheet, "weight,64\n")
	other := filepath.Join(dir, "other.csv")
	if err := os.WriteFile(other, []byte("a,b\n1,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, is := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--sheet", sheet}, exitFailed, "sheet.csv, row 1, column B: it does not say of which club the values are"},
		{[]string{"--sheet", sheet, "--club", "nobody"}, exitFailed, `there is no club "nobody"`},
		{[]string{"--sheet", filepath.Join(dir, "none.csv")}, exitFailed, "no such file"},
		{[]string{"--sheet", other}, exitFailed, "other.csv names nothing of a bench sheet"},
		{[]string{"--save"}, exitUsage, "--club and --save go with --sheet"},
		{[]string{"--sheet", sheet, "--club", "base"}, exitOK, "Taken for "},
	} {
		code, _, stderr := call(t, append([]string{"bench", path, "-o", out}, is.args...)...)
		if code != is.code || !strings.Contains(stderr, is.says) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: exit %d, %q", is.args, code, stderr)
		}
	}
}

func TestBenchRefusesAnOddD0(t *testing.T) {
	out := filepath.Join(t.TempDir(), "bench.json")
	for _, zero := range []string{"-5", "x", "2000"} {
		code, _, stderr := call(t, "bench", "--d0="+zero, filepath.Join(simulated(), "study.json"), "-o", out)
		if code != exitFailed || !strings.Contains(stderr, "D0 of the letter scale") {
			t.Errorf("%s: exit %d, %q", zero, code, stderr)
		}
	}
}
