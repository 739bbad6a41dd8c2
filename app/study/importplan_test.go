package study

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// bare copies the captures of the simulation to a folder without a study, and
// returns an empty study there and the previews of the files.
func bare(t *testing.T) (*Study, []Preview) {
	t.Helper()
	dir := t.TempDir()
	for _, file := range simulated().study.Files() {
		b, err := os.ReadFile(filepath.Join(simulated().dir, file))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, file), b, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return &Study{Path: filepath.Join(dir, "study.json"), Title: "Bare"}, looked(t, dir)
}

// looked finds and looks at what is at the paths.
func looked(t *testing.T, paths ...string) []Preview {
	t.Helper()
	files, err := Find(context.Background(), paths)
	if err != nil {
		t.Fatal(err)
	}
	var list []Preview
	if err := LookAll(context.Background(), files, nil, func(p Preview) { list = append(list, p) }); err != nil {
		t.Fatal(err)
	}
	slices.SortFunc(list, func(a, b Preview) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// TestPlanOfBareFolder goes from a folder of captures to an analysed study.
func TestPlanOfBareFolder(t *testing.T) {
	st, previews := bare(t)
	was := simulated().study
	p := NewPlan(st, nil).With(previews...)
	if want := (World{"+z", "+x"}); p.World != want {
		t.Errorf("axes are proposed as %v, want %v", p.World, want)
	}
	for _, c := range was.Clubs {
		d := p.Draft(c.ID)
		if d == nil {
			t.Errorf("no club %s is proposed", c.ID)
			continue
		}
		if d.Role != c.Role {
			t.Errorf("%s is proposed as a %s, want %s", c.ID, d.Role, c.Role)
		}
		if p.used(c.ID) && d.Hand != c.Hand {
			t.Errorf("%s is proposed for the %s hand, want %s", c.ID, d.Hand, c.Hand)
		}
		if !strings.Contains(p.ClubProblem(c.ID), "length") {
			t.Errorf("%s without a length has the problem %q", c.ID, p.ClubProblem(c.ID))
		}
	}
	for _, r := range was.Runs {
		a := p.File(filepath.Join(filepath.Dir(st.Path), r.File))
		if a == nil || a.Use != AsRun || a.Club != r.Club || a.Player != r.Player {
			t.Errorf("%s is proposed as %+v", r.ID, a)
		}
	}
	if p.Blocked().Why == "" {
		t.Error("a plan with clubs without lengths is not blocked")
	}

	// One length and one station are typed; the other clubs take them over.
	first := was.Clubs[0].Markers.Shaft[0]
	p = p.SetDraft("base", func(d *Draft) {
		d.Shaft.Length, d.ButtDiameter, d.TipDiameter, d.Chosen.Shaft = 1.130, 0.0152, 0.0086, true
		d.Measured = map[string]capture.ShaftMarker{first.Name: {Name: first.Name, Station: first.Station, Offset: math.NaN()}}
	})
	if why := p.Blocked().Why; why != "" {
		t.Fatalf("blocked: %s", why)
	}
	for _, c := range was.Clubs {
		d := p.Draft(c.ID)
		if d.Shaft.Length != 1.130 || (d.Like == "") != (c.ID == "base") {
			t.Errorf("%s has a shaft of %v m, with a station as on %q", c.ID, d.Shaft.Length, d.Like)
		}
		if d.Markers.Heel != c.Markers.Heel || p.tellsOf(c.ID) && d.Markers.Toe != c.Markers.Toe {
			t.Errorf("%s: heel %s, toe %s", c.ID, d.Markers.Heel, d.Markers.Toe)
		}
		for i, m := range d.Markers.Shaft {
			if want := c.Markers.Shaft[i]; m.Name != want.Name || math.Abs(m.Station-want.Station) > 0.5e-3 || math.Abs(m.Offset-want.Offset) > 0.3e-3 {
				t.Errorf("%s: %+v, want %+v", c.ID, m, want)
			}
		}
	}
	var told int
	got, err := p.Bring(context.Background(), func(done, total int, _ string) { told = done })
	if err != nil || told != p.Count() {
		t.Fatalf("brought %d of %d: %v", told, p.Count(), err)
	}
	if len(got.Runs) != len(was.Runs) || len(got.Clubs) != len(was.Clubs) || len(st.Runs) != 0 {
		t.Errorf("%d runs and %d clubs; the study before has %d runs", len(got.Runs), len(got.Clubs), len(st.Runs))
	}
	if err := got.Save(got.Path); err != nil {
		t.Fatal(err)
	}
	again, err := Open(got.Path)
	if err != nil {
		t.Fatal(err)
	}
	a, err := Analyze(context.Background(), again, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range a.Results {
		if !r.OK() {
			t.Errorf("%s: %v", r.Run.ID, r.Err)
			continue
		}
		// Without the bench's stiffness, a few times the error with it.
		if truth := simulated().truth[r.Run.ID]; math.Abs(r.Swing.AtImpact.Lead.Value-truth.Lead) > 4e-3 {
			t.Errorf("%s: lead at impact %.2f mm, true %.2f", r.Run.ID, 1e3*r.Swing.AtImpact.Lead.Value, 1e3*truth.Lead)
		}
	}

	// Brought in again, everything is there already.
	p = NewPlan(again, nil).With(previews...)
	for _, a := range p.Files {
		if a.Use != Aside || a.Why != "is in the study already" {
			t.Errorf("%s is proposed again, as %v: %q", a.Path, a.Use, a.Why)
		}
	}
}

// tellsOf reports whether a swing tells about the club.
func (p Plan) tellsOf(club string) bool {
	return slices.ContainsFunc(p.Files, func(a Arrival) bool { return a.Club == club && a.tells })
}

// plainPlan has a plan to add three swings to a study of two clubs, whose files
// need not exist.
func plainPlan(t *testing.T, files ...string) Plan {
	t.Helper()
	st := &Study{Path: filepath.Join(t.TempDir(), "study.json"),
		Clubs:   []Club{{ID: "base", Label: "Stock 60", Role: Baseline}, {ID: "base-left", Role: Baseline, Hand: kinematics.Left}},
		Players: []Player{{ID: "p1", Label: "Anna"}},
		Runs:    []Run{{ID: "x", File: "evening-07.csv", Club: "base-left", Player: "p1"}},
	}
	p := NewPlan(st, nil)
	for i, f := range files {
		p = p.With(Preview{Path: filepath.Join(t.TempDir(), f), Capture: Capture{SHA256: string(rune('a' + i))}})
	}
	return p
}

func TestNamesPropose(t *testing.T) {
	for _, is := range []struct{ file, club, player string }{
		{"p1-base-2.csv", "base", "p1"},
		{"P1_Base-Left_02.c3d", "base-left", "p1"},
		{"Anna stock 60 swing 3.txt", "base", "p1"},
		{"2024 12 p2-base.csv", "base", "p2"},
		{"base_20240102_take4.csv", "base", "take4"},
		{"evening-08.csv", "base-left", "p1"},
		{"morning.csv", "", "morning"},
	} {
		p := plainPlan(t, is.file)
		if a := p.Files[0]; a.Club != is.club || a.Player != is.player {
			t.Errorf("%s: club %q, player %q", is.file, a.Club, a.Player)
		}
	}
	for file, want := range map[string]string{
		"base-reference.csv": "base", "Reference Proto 01.c3d": "proto", "static.csv": "club", "proto-left_hanging.txt": "proto-left",
	} {
		if got := clubOfReference(file); got != want {
			t.Errorf("%s is the reference of %q, want %q", file, got, want)
		}
	}
}

// TestChoicesAreKept chooses for one file, which counts for later files of its
// name.
func TestChoicesAreKept(t *testing.T) {
	p := plainPlan(t, "morning-1.csv", "p1-base-1.csv")
	first := p.Files[0].Path
	p = p.Set([]string{first}, func(a *Arrival) { a.Club, a.Chosen.Club = "base-left", true })
	p = p.With(Preview{Path: "other/morning-2.csv", Capture: Capture{SHA256: "z"}})
	if a := p.File(first); a.Club != "base-left" || a.Player != "morning" {
		t.Errorf("what was chosen became %q, %q", a.Club, a.Player)
	}
	if a := p.File("other/morning-2.csv"); a.Club != "base-left" {
		t.Errorf("a file of the same name gets the club %q", a.Club)
	}
	if p.Blocked().Why != "" {
		t.Errorf("blocked: %s", p.Blocked().Why)
	}
	p = p.Set([]string{first}, func(a *Arrival) { a.Club = "none" })
	if why := p.Problem(first); !strings.Contains(why, "there is no club none") || !strings.Contains(p.Blocked().Why, "morning-1.csv") {
		t.Errorf("an unknown club gives %q; blocked: %q", why, p.Blocked().Why)
	}
	if p = p.Without(first); p.File(first) != nil || len(p.Files) != 2 {
		t.Errorf("without it there are %d files", len(p.Files))
	}
}

// A second reference of a name in another folder, and the swings beside it, say
// so, until a name of its own is typed for them.
func TestSecondReferenceInAnotherFolder(t *testing.T) {
	file := func(path string, still bool) Preview {
		return Preview{Path: filepath.FromSlash(path), Still: still, Capture: Capture{SHA256: path},
			Poses: []Pose{{}}, Rest: []r3.Vec{}}
	}
	st := &Study{Path: filepath.FromSlash("/lab/study.json")}
	p := NewPlan(st, nil).With(file("/lab/may/base-1.csv", false), file("/lab/may/base-reference.csv", true),
		file("/lab/june/base-2.csv", false), file("/lab/june/base-3.csv", false), file("/lab/june/base-reference.csv", true))
	may, june := filepath.FromSlash("/lab/may/base-1.csv"), filepath.FromSlash("/lab/june/base-2.csv")
	second := filepath.FromSlash("/lab/june/base-reference.csv")
	if d := p.Doubt(second); p.File(second).Use != Aside || !strings.HasPrefix(d, "club base has a reference in folder may already; ") {
		t.Errorf("the second reference: %q", d)
	}
	if d := p.Doubt(june); !strings.HasPrefix(d, "goes to club base of folder may, and the reference beside it is left out; ") {
		t.Errorf("a swing beside it: %q", d)
	}
	if d := p.Doubt(may); strings.Contains(d, "folder") {
		t.Errorf("a swing beside the first reference: %q", d)
	}
	named := func(paths ...string) Plan {
		return p.Set(paths, func(a *Arrival) { a.Club, a.Chosen.Club = "june", true })
	}
	q := named(second)
	if d := q.Doubt(june); q.File(second).Use != AsReference || q.Draft("june") == nil ||
		!strings.HasPrefix(d, "goes to club base, while the reference beside it is of club june; ") {
		t.Errorf("with a name for the reference alone: %q", d)
	}
	q = named(second, june)
	for _, path := range []string{second, june} {
		if d := q.Doubt(path); strings.Contains(d, "reference") || q.File(path).Club != "june" {
			t.Errorf("%s, with a name for both: %q", path, d)
		}
	}
	if c := q.File(may).Club; c != "base" {
		t.Errorf("the swing beside the first reference goes to %q with them", c)
	}
	// So it is with a club that the study has.
	of := NewPlan(&Study{Path: st.Path, Clubs: []Club{{ID: "base", Reference: "may/base-reference.csv"}}}, nil).
		With(file("/lab/june/base-2.csv", false), file("/lab/june/base-reference.csv", true))
	if a, b := of.Doubt(second), of.Doubt(june); !strings.Contains(a, "in folder may already") || !strings.Contains(b, "of folder may") {
		t.Errorf("beside a study's club: %q, %q", a, b)
	}
	// A copy of the same reference is the same club.
	twin := file("/lab/june/base-reference.csv", true)
	twin.Capture.SHA256 = "/lab/may/base-reference.csv"
	if d := p.With(twin).Doubt(june); strings.Contains(d, "reference") {
		t.Errorf("beside a copy of the reference: %q", d)
	}
}

// TestBringCopies brings files from elsewhere into a study's folder: never over
// another, nothing left of a failure, and the same bytes once.
func TestBringCopies(t *testing.T) {
	base := &simulated().study.Clubs[0]
	read := func(name string) []byte {
		b, err := os.ReadFile(filepath.Join(simulated().dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	dir, from := t.TempDir(), t.TempDir()
	put := func(dir, name string, b []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	swing := read("a-base-1.csv")
	put(dir, "base-reference.csv", read("base-reference.csv"))
	put(dir, "a-base-1.csv", []byte("mine\n"))
	put(dir, "a-base-4.csv", swing)
	a := put(from, "a-base-1.csv", swing)
	b := put(from, "a-base-3.csv", read("a-base-3.csv"))
	c := put(from, "a-base-4.csv", swing) // in the folder already
	st := &Study{Path: filepath.Join(dir, "study.json"), Clubs: []Club{*base}}
	list := func() (names []string) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	before := list()

	p := NewPlan(st, nil).With(looked(t, a, b)...)
	ctx, cancel := context.WithCancel(context.Background())
	if _, err := p.Bring(ctx, func(done, _ int, _ string) { cancel() }); !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled after a file: %v", err)
	}
	if got := list(); !slices.Equal(got, before) {
		t.Errorf("a cancelled copy leaves %v", got)
	}
	put(from, "a-base-3.csv", swing[:len(swing)/2])
	if _, err := p.Bring(context.Background(), nil); err == nil || !strings.Contains(err.Error(), "changed since") {
		t.Errorf("a file that changed meanwhile: %v", err)
	}
	if got := list(); !slices.Equal(got, before) {
		t.Errorf("a failed copy leaves %v", got)
	}
	put(from, "a-base-3.csv", read("a-base-3.csv"))

	got, err := p.Bring(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, r := range got.Runs {
		files = append(files, r.ID+" "+r.File)
	}
	if want := []string{"a-base-1 a-base-1-2.csv", "a-base-3 a-base-3.csv"}; !slices.Equal(files, want) {
		t.Errorf("runs %v, want %v", files, want)
	}
	if b, err := os.ReadFile(filepath.Join(dir, "a-base-1.csv")); err != nil || string(b) != "mine\n" {
		t.Errorf("the file of the same name now holds %d bytes: %v", len(b), err)
	}
	p = NewPlan(st, nil).With(looked(t, c)...)
	if got, err = p.Bring(context.Background(), nil); err != nil || got.Runs[0].File != "a-base-4.csv" {
		t.Errorf("a file whose bytes are there became %+v: %v", got, err)
	}
	if want := append(before, "a-base-1-2.csv", "a-base-3.csv"); len(list()) != len(want) {
		t.Errorf("the folder has %v", list())
	}
}

func TestFindPassesOver(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a.csv", ".hidden", "day/b.c3d", "day/.cache/c.csv", "notes.json"} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte("{}"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := (&Study{}).Save(filepath.Join(dir, "study.json")); err != nil {
		t.Fatal(err)
	}
	found, err := Find(context.Background(), []string{dir, filepath.Join(dir, "a.csv")})
	if err != nil {
		t.Fatal(err)
	}
	for i := range found {
		found[i] = strings.TrimPrefix(filepath.ToSlash(found[i]), filepath.ToSlash(dir)+"/")
	}
	if want := []string{"a.csv", "day/b.c3d", "notes.json"}; !slices.Equal(found, want) {
		t.Errorf("found %v, want %v", found, want)
	}
	if _, err := Find(context.Background(), []string{filepath.Join(dir, "none")}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a path that leads nowhere: %v", err)
	}
}

// BenchmarkLook reads a swing of 2300 frames and 19 markers.
func BenchmarkLook(b *testing.B) {
	path := filepath.Join(simulated().dir, "a-base-1.csv")
	for b.Loop() {
		if p := Look(path, nil); p.Err != nil {
			b.Fatal(p.Err)
		}
	}
}

// BenchmarkPlan changes one of 200 files, and proposes all that is not chosen.
func BenchmarkPlan(b *testing.B) {
	sim := simulated()
	p := NewPlan(&Study{Path: "study.json"}, nil)
	for _, file := range sim.study.Files() {
		v := Look(filepath.Join(sim.dir, file), nil)
		p = p.With(v)
		for n := 0; len(p.Files) < 200 && !v.Still; n++ {
			if v.Path = filepath.Join(sim.dir, strings.TrimSuffix(file, ".csv")+strings.Repeat("x", n+1)); n == 48 {
				break
			}
			v.Capture.SHA256 = v.Path
			p.Files = append(p.Files, Arrival{Preview: v})
		}
	}
	p = p.proposed()
	on := false
	for b.Loop() {
		on = !on
		p = p.Set([]string{p.Files[10].Path}, func(a *Arrival) { a.Chosen.Player = on })
	}
	b.ReportMetric(float64(len(p.Files)), "files")
}

// Swings that come without any club say what is to be brought in first.
func TestSwingsWithoutAClub(t *testing.T) {
	st, previews := bare(t)
	swings := slices.DeleteFunc(slices.Clone(previews), func(p Preview) bool { return strings.Contains(p.Path, "reference") })
	p := NewPlan(st, nil).With(swings...)
	if got := p.Problem(swings[0].Path); !strings.Contains(got, "hanging unloaded") {
		t.Errorf("without a club: %q", got)
	}
	if got := NewPlan(st, nil).With(previews...).Problem(swings[0].Path); got == p.Problem(swings[0].Path) {
		t.Errorf("with clubs: %q", got)
	}
}
