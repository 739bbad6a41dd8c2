package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image/gif"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"bendline/capture"
	"bendline/sampledata"
)

// call runs a command line as a shell would.
func call(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(t.Context(), args, &out, &err)
	return code, out.String(), err.String()
}

// must runs a command line that is to succeed without a word on standard error.
func must(t *testing.T, args ...string) (stdout string) {
	t.Helper()
	code, stdout, stderr := call(t, args...)
	if code != exitOK || stderr != "" {
		t.Fatalf("bendline-batch %s: exit %d, %q", strings.Join(args, " "), code, stderr)
	}
	return stdout
}

var made string // the folder of the simulated study, once there is one

// simulated writes a study of two runs with each of two clubs, once for all
// tests.
var simulated = sync.OnceValue(func() string {
	dir, err := os.MkdirTemp("", "bendline-batch-")
	if err != nil {
		panic(err)
	}
	made = dir
	s := sampledata.Demo()
	s.Runs = slices.DeleteFunc(s.Runs, func(r sampledata.Run) bool {
		return !slices.Contains([]string{"a-base-1", "a-base-3", "a-proto-1", "a-proto-2"}, r.ID)
	})
	if err := s.Write(context.Background(), dir, nil); err != nil {
		panic(err)
	}
	return dir
})

func TestMain(m *testing.M) {
	code := m.Run()
	if made != "" {
		os.RemoveAll(made)
	}
	os.Exit(code)
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// only fails the test unless the folder holds these files and no others.
func only(t *testing.T, dir string, files ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if !slices.Equal(got, files) {
		t.Errorf("the folder holds %v, want %v", got, files)
	}
}

type results struct {
	Format string
	Runs   []struct {
		ID     string
		OK     bool
		Error  string
		Impact map[string]struct{ Value, U95 float64 }
	}
}

func TestAnalyze(t *testing.T) {
	dir, out := simulated(), t.TempDir()
	must(t, "analyze", filepath.Join(dir, "study.json"), "-o", filepath.Join(out, "results.json"))
	only(t, out, "results.json")
	var got results
	if err := json.Unmarshal([]byte(read(t, filepath.Join(out, "results.json"))), &got); err != nil {
		t.Fatal(err)
	}
	var truth map[string]map[string]any
	if err := json.Unmarshal([]byte(read(t, filepath.Join(dir, "truth.json"))), &truth); err != nil {
		t.Fatal(err)
	}
	if got.Format != "bendline-results" || len(got.Runs) != 4 {
		t.Fatalf("results %+v", got)
	}
	for _, r := range got.Runs {
		// Wide enough for any noise, too narrow for a wrong sign or unit.
		for measure, tolerance := range map[string]float64{"lead_mm": 3, "droop_mm": 3, "twist_deg": 0.5, "head_speed_m_s": 1} {
			if want := truth[r.ID][measure].(float64); !r.OK || !(math.Abs(r.Impact[measure].Value-want) < tolerance) {
				t.Errorf("%s: %s is %v, want %v", r.ID, measure, r.Impact[measure].Value, want)
			}
		}
	}
}

func TestCompare(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	path := filepath.Join(out, "compare.json")
	difference := func() float64 {
		var got struct {
			Format, Design string
			Measures       []struct {
				Measure    string
				Difference struct{ Value float64 }
			}
		}
		if err := json.Unmarshal([]byte(read(t, path)), &got); err != nil {
			t.Fatal(err)
		}
		if got.Format != "bendline-comparison" || got.Design != "one_player" || got.Measures[0].Measure != "lead_mm" {
			t.Errorf("comparison %+v", got)
		}
		return got.Measures[0].Difference.Value
	}
	must(t, "compare", study, "-o", path)
	there := difference()
	must(t, "compare", "--baseline=proto", "-o", path, study, "-prototype", "base")
	if back := difference(); there == 0 || math.Abs(there+back) > 1e-9 {
		t.Errorf("difference %v, and %v the other way round", there, back)
	}
	only(t, out, "compare.json")

	code, _, stderr := call(t, "compare", study, "-o", filepath.Join(out, "none.json"), "--prototype", "new")
	if code != exitFailed || !strings.Contains(stderr, `there is no club "new" in the study; it has base, proto`) {
		t.Errorf("exit %d, %q", code, stderr)
	}
	only(t, out, "compare.json")
}

func TestSeries(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	path := filepath.Join(out, "run.csv")
	must(t, "series", study, "a-base-1", "-o", path)
	rec, err := capture.ReadFile(filepath.Join(simulated(), "a-base-1.csv"), capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(read(t, path)), "\n")
	if !strings.HasPrefix(lines[0], "time_s,lead_mm,droop_mm,twist_deg,") || len(lines) != 1+rec.Frames() {
		t.Errorf("%d lines below %q for %d frames", len(lines)-1, lines[0], rec.Frames())
	}
	code, _, stderr := call(t, "series", study, "gone", "-o", filepath.Join(out, "none.csv"))
	if code != exitFailed || !strings.Contains(stderr, `there is no run "gone"`) {
		t.Errorf("exit %d, %q", code, stderr)
	}
	only(t, out, "run.csv")
}

func TestSlides(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	must(t, "slides", study, "-o", filepath.Join(out, "deck.pdf"))
	if !strings.HasPrefix(read(t, filepath.Join(out, "deck.pdf")), "%PDF-") {
		t.Error("deck.pdf is no PDF")
	}
	code, _, stderr := call(t, "slides", study, "-o", filepath.Join(out, "deck.doc"))
	if code != exitFailed || !strings.Contains(stderr, "deck.doc") {
		t.Errorf("exit %d, %q", code, stderr)
	}
	only(t, out, "deck.pdf")
}

// The other files of a study: same date, same bytes; what cannot be, is told.
func TestHandouts(t *testing.T) {
	study, out := filepath.Join(simulated(), "study.json"), t.TempDir()
	write(t, filepath.Join(out, "style.json"), `{"name": "House of bends", "paper": "letter", "accents": ["#145a3c"]}`)
	write(t, filepath.Join(out, "plan.json"), `[{"slide": "instants", "note": "slowly"}, {"slide": "shape"}, {"slide": "strain"}]`)
	style := []string{"--style", filepath.Join(out, "style.json"), "--date", "2025-03-14T09:30:00Z"}
	for name, args := range map[string][]string{
		"deck.pptx":   {"slides", study, "--plan", filepath.Join(out, "plan.json")},
		"tables.xlsx": {"tables", study},
		"swing.gif":   {"animate", study},
		"sheet.pdf":   {"sheet", study, "a"},
	} {
		path := filepath.Join(out, name)
		must(t, append(append(args, style...), "-o", path)...)
		first := read(t, path)
		must(t, append(append(args, style...), "-o", path)...)
		if first == "" || first != read(t, path) {
			t.Errorf("%s: %d bytes, and others when made again", name, len(first))
		}
	}
	moving, err := gif.DecodeAll(strings.NewReader(read(t, filepath.Join(out, "swing.gif"))))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(moving.Image); n != 51 || bytes.Equal(moving.Image[0].Pix, moving.Image[n-1].Pix) {
		t.Errorf("%d pictures, or the last is the first", n)
	}
	must(t, "tables", study, "-o", filepath.Join(out, "csv"))
	if csv := read(t, filepath.Join(out, "csv", "impact.csv")); !strings.HasPrefix(csv, "measure,unit,") {
		t.Errorf("impact.csv begins %.60q", csv)
	}
	only(t, out, "csv", "deck.pptx", "plan.json", "sheet.pdf", "style.json", "swing.gif", "tables.xlsx")

	write(t, filepath.Join(out, "plan.json"), `[{"slide": "cover", "colour": "red"}]`)
	for _, bad := range [][]string{
		{"slides", study, "-o", filepath.Join(out, "x.pdf"), "--plan", filepath.Join(out, "plan.json")},
		{"slides", study, "-o", filepath.Join(out, "x.pdf"), "--date", "yesterday"},
	} {
		if code, _, stderr := call(t, bad...); code != exitUsage || !strings.Contains(stderr, bad[4]) {
			t.Errorf("%v: exit %d, %q", bad, code, stderr)
		}
	}
	if code, _, stderr := call(t, "sheet", study, "nobody", "-o", filepath.Join(out, "x.pdf")); code != exitFailed || !strings.Contains(stderr, `no player "nobody"`) {
		t.Errorf("exit %d, %q", code, stderr)
	}
}

// damage copies the simulated study, and spoils the file of a-base-3 and the
// path of a-proto-2 in it.
func damage(t *testing.T) (study string) {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(simulated())); err != nil {
		t.Fatal(err)
	}
	study = filepath.Join(dir, "study.json")
	write(t, filepath.Join(dir, "a-base-3.csv"), "")
	write(t, study, strings.Replace(read(t, study), `"a-proto-2.csv"`, `"../../a-proto-2.csv"`, 1))
	return study
}

func TestFailedRunsDoNotStopTheOthers(t *testing.T) {
	study, out := damage(t), t.TempDir()
	path := filepath.Join(out, "results.json")
	code, stdout, stderr := call(t, "analyze", study, "-o", path)
	if code != exitFailed || stdout != "" {
		t.Errorf("exit %d, %q", code, stdout)
	}
	for _, want := range []string{"2 of 4 runs failed\n", `run "a-base-3": capture: a-base-3.csv: the file is empty`, `run "a-proto-2": study: "../../a-proto-2.csv" lies outside the study's folder`} {
		if !strings.Contains(stderr, want) {
			t.Errorf("standard error lacks %q:\n%s", want, stderr)
		}
	}
	var got results
	if err := json.Unmarshal([]byte(read(t, path)), &got); err != nil {
		t.Fatal(err)
	}
	for _, r := range got.Runs {
		if bad := r.ID == "a-base-3" || r.ID == "a-proto-2"; r.OK == bad || (r.Error != "") != bad || (len(r.Impact) == 7) == bad {
			t.Errorf("%+v", r)
		}
	}
	if code, _, stderr := call(t, "compare", study, "-o", filepath.Join(out, "compare.json")); code != exitFailed || !strings.Contains(stderr, "2 of 4 runs failed") {
		t.Errorf("compare: exit %d, %q", code, stderr)
	}
	if !strings.Contains(read(t, filepath.Join(out, "compare.json")), `"why": "failed: a-base-3.csv`) {
		t.Error("compare.json does not list the run that failed")
	}
	if code, _, stderr := call(t, "series", study, "a-base-3", "-o", filepath.Join(out, "run.csv")); code != exitFailed || !strings.Contains(stderr, "the file is empty") {
		t.Errorf("series: exit %d, %q", code, stderr)
	}
	only(t, out, "compare.json", "results.json")
}

func TestCheck(t *testing.T) {
	code, stdout, stderr := call(t, "check", damage(t))
	if code != exitFailed || !strings.Contains(stderr, "2 of 8 files cannot be used") {
		t.Errorf("exit %d, %q", code, stderr)
	}
	for _, want := range []string{
		"base-reference.csv: reference of club base\n  125 frames at 250 a second, 19 markers, mm, wide\n",
		"a-proto-1.csv: run a-proto-1, club proto\n",
		"  gap S09 ", // as the demo has it
		"a-base-3.csv: run a-base-3, club base\n  cannot be used: capture: a-base-3.csv: the file is empty",
	} {
		if !strings.Contains(stdout, want) {
			t.Errorf("%q is not in\n%s", want, stdout)
		}
	}
	if code, _, stderr := call(t, "check", filepath.Join(simulated(), "study.json")); code != exitOK {
		t.Errorf("a good study: exit %d, %q", code, stderr)
	}
}

func TestStudiesAreRefused(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"empty.json":  "",
		"broken.json": `{"format":`,
		"other.json":  `{"format":"bendline-results","version":1}`,
		"runs.json":   `{"format":"bendline-study","version":1,"runs":[]}`,
	} {
		write(t, filepath.Join(dir, name), text)
		code, _, stderr := call(t, "analyze", filepath.Join(dir, name), "-o", filepath.Join(dir, "out.json"))
		if code != exitFailed || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, name) {
			t.Errorf("%s: exit %d, %q", name, code, stderr)
		}
	}
	only(t, dir, "broken.json", "empty.json", "other.json", "runs.json")
}

func TestUsage(t *testing.T) {
	for _, c := range []struct {
		args string
		want string
	}{
		{"", "a command is needed"},
		{"anlyze x", `there is no command "anlyze"`},
		{"analyze", "analyze takes 1 arguments, not 0; usage: bendline-batch analyze STUDY -o results.json"},
		{"analyze a b -o c", "not 2"},
		{"analyze study.json", "analyze needs -o"},
		{"analyze study.json -x", "-x; usage:"},
		{"analyze study.json -o", "-o; usage:"},
		{"check study.json -o x", "-o; usage:"},
		{"bench study.json", "bench needs -o"},
		{"compare study.json -o x --swings", "-swings; usage:"},
	} {
		code, stdout, stderr := call(t, strings.Fields(c.args)...)
		if code != exitUsage || stdout != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("%q: exit %d, %q, %q; want %q", c.args, code, stdout, stderr, c.want)
		}
	}
	for _, args := range []string{"help", "--help", "analyze -h"} {
		if out := must(t, strings.Fields(args)...); !strings.Contains(out, "analyze STUDY -o results.json") {
			t.Errorf("%s: %q", args, out)
		}
	}
	for _, args := range []string{"version", "--version"} {
		if out := must(t, args); !strings.HasPrefix(out, "bendline-batch ") {
			t.Errorf("%s: %q", args, out)
		}
	}
}

func TestInterrupted(t *testing.T) {
	out := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var stdout, stderr bytes.Buffer
	code := run(ctx, []string{"analyze", filepath.Join(simulated(), "study.json"), "-o", filepath.Join(out, "results.json")}, &stdout, &stderr)
	if code != exitFailed || !strings.Contains(stderr.String(), "interrupted") {
		t.Errorf("exit %d, %q", code, stderr.String())
	}
	only(t, out)
}

func TestDemoDoesNotReplaceAStudy(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "study.json"), "mine")
	code, _, stderr := call(t, "demo", dir)
	if code != exitFailed || !strings.Contains(stderr, "is there already") || read(t, filepath.Join(dir, "study.json")) != "mine" {
		t.Errorf("exit %d, %q", code, stderr)
	}
	only(t, dir, "study.json")
}

func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("it writes 30 MB")
	}
	dir := filepath.Join(t.TempDir(), "new")
	if out := must(t, "demo", dir); strings.TrimSpace(out) != filepath.Join(dir, "study.json") {
		t.Errorf("it says %q", out)
	}
	must(t, "check", filepath.Join(dir, "study.json"))
}
