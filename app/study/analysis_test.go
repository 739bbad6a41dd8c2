package study

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
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

// A simulation is a study on disk of swings whose truth is known.
type simulation struct {
	dir   string
	study *Study
	truth map[string]sampledata.Truth
}

// simulated writes the simulation once for all tests: four swings by a
// right-hander, one by a left-hander.
var simulated = sync.OnceValue(func() simulation {
	dir, err := os.MkdirTemp("", "bendline-study-")
	if err != nil {
		panic(err)
	}
	scenario := sampledata.Demo()
	scenario.Runs = slices.DeleteFunc(scenario.Runs, func(r sampledata.Run) bool {
		return !slices.Contains([]string{"a-base-1", "a-base-3", "a-proto-1", "a-proto-2", "c-base-1"}, r.ID)
	})
	if err := scenario.Write(context.Background(), dir, nil); err != nil {
		panic(err)
	}
	sim := simulation{dir: dir, truth: make(map[string]sampledata.Truth)}
	for i, r := range scenario.Runs {
		sim.truth[r.ID] = scenario.Capture(i).Truth
	}
	if sim.study, err = Open(filepath.Join(dir, "study.json")); err != nil {
		panic(err)
	}
	made = dir
	return sim
})

var made string // the folder of the simulation, once there is one

func TestMain(m *testing.M) {
	code := m.Run()
	if made != "" {
		os.RemoveAll(made)
	}
	os.Exit(code)
}

func TestAnalyzeRecoversTheTruth(t *testing.T) {
	sim := simulated()
	var told []string
	a, err := Analyze(context.Background(), sim.study, func(done, total int, run string) {
		told = append(told, fmt.Sprintf("%d/%d", done, total))
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(told, " "); got != "1/5 2/5 3/5 4/5 5/5" {
		t.Errorf("progress %s", got)
	}
	for i, r := range a.Results {
		if !r.OK() {
			t.Errorf("%s: %v", r.Run.ID, r.Err)
			continue
		}
		if r.Run.ID != sim.study.Runs[i].ID {
			t.Errorf("result %d is of %s", i, r.Run.ID)
		}
		truth := sim.truth[r.Run.ID]
		// Wide enough for any noise, too narrow for a wrong sign or unit.
		near(t, r.Run.ID+": lead", r.Swing.AtImpact.Lead.Value, truth.Lead, 3e-3)
		near(t, r.Run.ID+": droop", r.Swing.AtImpact.Droop.Value, truth.Droop, 3e-3)
		near(t, r.Run.ID+": twist", r.Swing.AtImpact.Twist.Value, truth.Twist, 0.5/degree)
		near(t, r.Run.ID+": head speed", r.Swing.AtImpact.HeadSpeed.Value, truth.HeadSpeed, 1)
		if c := r.Capture; c.Frames != r.Swing.Frames() || c.Rate != r.Swing.Rate || c.Markers != 19 || len(c.SHA256) != 64 {
			t.Errorf("%s: capture %+v", r.Run.ID, c)
		}
		for _, f := range r.Flags {
			if f.Code == capture.OutsideUsual || f.Code == capture.PoorFit {
				t.Errorf("%s: %v", r.Run.ID, f)
			}
		}
	}
	if a.Result("a-base-3") != a.Results[1] || a.Result("x") != nil || a.Failed() != nil {
		t.Error("results are not found by their runs")
	}
}

// A run whose events were set by hand is fitted with them.
func TestAnalyzeRunWithEvents(t *testing.T) {
	sim := simulated()
	run := sim.study.Runs[0]
	impact := sim.truth[run.ID].Impact + sim.study.Runs[0].startOf(t, sim)
	run.Events.Impact = &impact
	r := AnalyzeRun(context.Background(), sim.study, run)
	if !r.OK() {
		t.Fatal(r.Err)
	}
	if r.Swing.Impact.Value != impact {
		t.Errorf("impact at %v, want %v as set", r.Swing.Impact.Value, impact)
	}
}

// startOf returns the time of the first frame of the run's file.
func (r Run) startOf(t *testing.T, sim simulation) float64 {
	rec, err := capture.ReadFile(filepath.Join(sim.dir, r.File), capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	return rec.Start()
}

// damaged is a copy of the simulation's folder to break things in.
func damaged(t *testing.T) (s *Study, put func(name, text string), table func(name string) [][]string) {
	sim := simulated()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(sim.dir)); err != nil {
		t.Fatal(err)
	}
	c := *sim.study
	c.Path = filepath.Join(dir, "study.json")
	c.Clubs, c.Runs = slices.Clone(c.Clubs), slices.Clone(c.Runs)
	put = func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	table = func(name string) [][]string {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	return &c, put, table
}

// text returns the table as CSV without the columns of the given markers.
func text(t *testing.T, rows [][]string, without ...string) string {
	t.Helper()
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for _, row := range rows {
		var kept []string
		for j, cell := range row {
			marker, _, _ := strings.Cut(rows[0][j], "_")
			if !slices.Contains(without, marker) {
				kept = append(kept, cell)
			}
		}
		w.Write(kept)
	}
	w.Flush()
	if w.Error() != nil {
		t.Fatal(w.Error())
	}
	return b.String()
}

// Every way a run can be bad is told in one sentence, and the good runs among
// them come out as they do by themselves.
func TestBadRunsFailByThemselves(t *testing.T) {
	s, put, table := damaged(t)
	rows := table("a-base-1.csv")
	put("empty.csv", "")
	put("header.csv", strings.Join(rows[0], ",")+"\n")
	put("prose.csv", "Dear colleague,\nthe capture follows.\n")
	put("binary.csv", "\x02\x50\x00\x01\x00\x00\xff\xfe\x00")
	put("two-grips.csv", text(t, rows, "G1", "G2"))
	put("no-head.csv", text(t, rows, "H1", "H2", "H3", "H4"))
	put("still.csv", text(t, rows[:40]))
	put("three-grips.csv", text(t, rows, "G1", "S04"))
	outside := filepath.Join(t.TempDir(), "outside.csv")
	if err := os.WriteFile(outside, []byte(text(t, rows)), 0o600); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Dir(s.Path)
	for name, to := range map[string]string{"link-out.csv": outside, "link-in.csv": "a-base-1.csv", "link-up": ".."} {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Skip("no symbolic links here:", err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.csv"), 0o700); err != nil {
		t.Fatal(err)
	}
	hanging := *s.Club("base")
	hanging.ID, hanging.Reference = "astray", "../base-reference.csv"
	unbuilt := *s.Club("base")
	unbuilt.ID, unbuilt.Reference = "unbuilt", "no-head.csv"
	s.Clubs = append(s.Clubs, hanging, unbuilt)

	good := s.Runs[0]
	bad := []struct{ file, club, want string }{
		{"", "base", "no file is named"},
		{"none.csv", "base", `there is no file "none.csv" in the study's folder`},
		{outside, "base", "is an absolute path"},
		{"../outside.csv", "base", `"../outside.csv" lies outside the study's folder`},
		{"a/../../outside.csv", "base", "lies outside the study's folder"},
		{"link-out.csv", "base", `"link-out.csv" cannot be read inside the study's folder`},
		{"link-up/outside.csv", "base", `"link-up/outside.csv" cannot be read inside the study's folder`},
		{"folder.csv", "base", `"folder.csv" is not a plain file`},
		{"empty.csv", "base", "empty.csv"},
		{"header.csv", "base", "header.csv"},
		{"prose.csv", "base", "prose.csv"},
		{"binary.csv", "base", "binary.csv"},
		{"two-grips.csv", "base", "two-grips.csv does not show G1, G2, which leaves 2 of the grip's markers where 3 are needed; it has G3, G4, S01"},
		{"no-head.csv", "base", "no-head.csv does not show H1, H2, H3, H4, which leaves 0 of the head's markers"},
		{"still.csv", "base", "still.csv"},
		{"a-base-1.csv", "astray", `the reference of club "astray": study: "../base-reference.csv" lies outside`},
		{"a-base-1.csv", "unbuilt", `the reference of club "unbuilt", no-head.csv`},
	}
	s.Runs = []Run{good}
	for i, b := range bad {
		s.Runs = append(s.Runs, Run{ID: fmt.Sprint("bad", i), File: b.file, Club: b.club, Player: good.Player})
	}
	s.Runs = append(s.Runs,
		Run{ID: "link", File: "link-in.csv", Club: "base", Player: good.Player},
		Run{ID: "three", File: "three-grips.csv", Club: "base", Player: good.Player})

	a, err := Analyze(context.Background(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range bad {
		r := a.Results[1+i]
		switch {
		case r.OK():
			t.Errorf("%s with %s was analysed", b.file, b.club)
		case !strings.Contains(r.Err.Error(), b.want) || strings.Contains(r.Err.Error(), "\n"):
			t.Errorf("%s with %s: %q, want %q in one line", b.file, b.club, r.Err, b.want)
		case r.Swing != nil || r.Flags != nil || r.Capture != (Capture{}):
			t.Errorf("%s with %s failed and has results", b.file, b.club)
		}
	}
	spared := *s
	spared.Runs = append([]Run{good}, s.Runs[1+len(bad):]...)
	b, err := Analyze(context.Background(), &spared, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := b.Result(good.ID)
	for _, id := range []string{good.ID, "link", "three"} {
		r := a.Result(id)
		if !r.OK() {
			t.Errorf("%s: %v", id, r.Err)
		} else if r.Swing.AtImpact != b.Result(id).Swing.AtImpact {
			t.Errorf("%s: %+v, without the bad runs %+v", id, r.Swing.AtImpact, b.Result(id).Swing.AtImpact)
		}
	}
	three := a.Result("three")
	if !three.OK() {
		t.Fatal(three.Err)
	}
	if e := three.Swing.AtImpact.Lead; math.Abs(e.Value-want.Swing.AtImpact.Lead.Value) > e.U95 {
		t.Errorf("without G1 and S04 the lead is %+v, with them %+v", e, want.Swing.AtImpact.Lead)
	}
	for _, name := range []string{"G1", "S04"} {
		if !slices.ContainsFunc(three.Flags, func(f capture.Flag) bool {
			return f.Code == capture.MarkerMissing && f.Marker == name
		}) {
			t.Errorf("no flag says that %s is missing: %v", name, three.Flags)
		}
	}

	readings, err := Read(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range readings {
		if i < len(s.Clubs) {
			if failed := r.Club == "astray" || r.Club == "unbuilt"; failed != (r.Err != nil) || r.Run != "" {
				t.Errorf("reference of %s: %v", r.Club, r.Err)
			}
			continue
		}
		if r.Run != s.Runs[i-len(s.Clubs)].ID {
			t.Errorf("reading %d is of %s", i, r.Run)
		}
		if r.Err == nil && (r.Capture.Frames == 0 || r.Origin.Layout != "wide") {
			t.Errorf("%s: %+v %+v", r.File, r.Capture, r.Origin)
		}
	}
}

// A file in metres that is said to be in millimetres is read as metres, and
// flagged: the shaft's markers tell.
func TestUnitFromTheStations(t *testing.T) {
	s, _, _ := damaged(t)
	s.Runs = s.Runs[:1]
	right := AnalyzeRun(context.Background(), s, s.Runs[0])
	wrong := s.Runs[0]
	wrong.Import.Unit = capture.Metre
	r := AnalyzeRun(context.Background(), s, wrong)
	if !right.OK() || !r.OK() {
		t.Fatal(right.Err, r.Err)
	}
	near(t, "lead", r.Swing.AtImpact.Lead.Value, right.Swing.AtImpact.Lead.Value, 1e-6)
	if !slices.ContainsFunc(r.Flags, func(f capture.Flag) bool {
		return f.Code == capture.UnitGuessed && strings.Contains(f.Detail, "said to be in m, but")
	}) {
		t.Errorf("flags %v", r.Flags)
	}
}

// A marker that the reference does not show is not used, and flagged on every
// run of the club.
func TestMarkerMissingFromTheReference(t *testing.T) {
	s, put, table := damaged(t)
	put("base-reference.csv", text(t, table("base-reference.csv"), "S03"))
	r := AnalyzeRun(context.Background(), s, s.Runs[0])
	if !r.OK() {
		t.Fatal(r.Err)
	}
	if !slices.ContainsFunc(r.Flags, func(f capture.Flag) bool {
		return f.Code == capture.MarkerMissing && f.Marker == "S03" && strings.Contains(f.Detail, "base-reference.csv")
	}) {
		t.Errorf("flags %v", r.Flags)
	}
}

func TestAnalyzeIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	a, err := Analyze(ctx, simulated().study, func(done, _ int, _ string) {
		if done > 1 {
			t.Errorf("told of run %d after it was cancelled", done)
		}
		cancel()
	})
	if a != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("analysis %v, error %v", a, err)
	}
	if _, err := Read(ctx, simulated().study); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// A defect met in one run is that run's error. Stiffness without its values is
// a mistake no study file can make.
func TestPanicIsTheRunsError(t *testing.T) {
	s, _, _ := damaged(t)
	broken := *s.Club("base")
	broken.ID, broken.Shaft.EI = "broken", nil
	s.Clubs = append(s.Clubs, broken)
	s.Runs = s.Runs[:2]
	s.Runs[1].Club = "broken"
	a, err := Analyze(context.Background(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !a.Results[0].OK() {
		t.Error(a.Results[0].Err)
	}
	var p *PanicError
	if !errors.As(a.Results[1].Err, &p) || len(p.Stack) == 0 || strings.Contains(p.Error(), "goroutine") {
		t.Errorf("error %v", a.Results[1].Err)
	}
}

func TestStudyWithoutAFolder(t *testing.T) {
	s := *simulated().study
	s.Path = filepath.Join(t.TempDir(), "gone", "study.json")
	a, err := Analyze(context.Background(), &s, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range a.Results {
		if !errors.Is(r.Err, os.ErrNotExist) {
			t.Errorf("%s: %v", r.Run.ID, r.Err)
		}
	}
}

func BenchmarkAnalyze(b *testing.B) {
	s := simulated().study
	for b.Loop() {
		if _, err := Analyze(context.Background(), s, nil); err != nil {
			b.Fatal(err)
		}
	}
}
