package study

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendline/capture"
)

// relabelled writes a capture again under other names.
func relabelled(t *testing.T, path string, name func(i int, was string) string) {
	t.Helper()
	rec, err := capture.ReadFile(path, capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	to := map[string]string{}
	for i, was := range rec.Markers() {
		to[was] = name(i, was)
	}
	if rec, err = rec.Renamed(to); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := capture.WriteText(f, rec); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// Swings whose points have numbers or strange names are matched to their clubs
// before they are brought in; what was matched goes with the study, is told by
// check, and is known in a later file.
func TestPlanMatchesMarkers(t *testing.T) {
	st, _ := bare(t)
	dir := filepath.Dir(st.Path)
	numbered, strange := filepath.Join(dir, "a-base-1.csv"), filepath.Join(dir, "a-base-3.csv")
	relabelled(t, numbered, func(i int, _ string) string { return fmt.Sprintf("U%03d", 40-i) })
	odd := func(_ int, was string) string {
		if was == "S05" {
			return "Kestrel"
		}
		return was
	}
	relabelled(t, strange, odd)
	first := simulated().study.Clubs[0].Markers.Shaft[0]
	p := NewPlan(st, nil).With(looked(t, dir)...)
	var m Matcher
	// How the club hangs is not known before its shaft has a length: names alone.
	p = p.WithMatch(numbered, m.Match(p, numbered))
	if l := p.File(numbered).Match().Labels; len(l) != 19 || l[0].Used {
		t.Errorf("before the club is known: %+v", l)
	}
	p = p.SetDraft("base", func(d *Draft) {
		d.Shaft.Length, d.ButtDiameter, d.TipDiameter, d.Chosen.Shaft = 1.130, 0.0152, 0.0086, true
		d.Measured = map[string]capture.ShaftMarker{first.Name: {Name: first.Name, Station: first.Station, Offset: math.NaN()}}
	})
	if d := p.Doubt(numbered); !strings.HasPrefix(d, "does not show G1, ") {
		t.Errorf("before it is matched: %q", d)
	}
	n := 0
	for path := p.Unmatched(numbered); path != ""; path = p.Unmatched(numbered) {
		if n == 0 && path != numbered {
			t.Errorf("%s is matched first", path)
		}
		p = p.WithMatch(path, m.Match(p, path))
		if n++; n > 20 {
			t.Fatal("matching has no end")
		}
	}
	if d := p.Doubt(numbered); !strings.HasPrefix(d, "19 by place, ") {
		t.Errorf("numbered: %q", d)
	}
	if l, ok := p.File(strange).Match().Labels.Of("Kestrel"); !ok || l.Marker != "S05" || l.How != ByPlace || l.Sure < surely {
		t.Errorf("the strange name is %+v", l)
	}
	// A name given by hand counts, whatever the place says.
	byHand := LookWith(numbered, capture.Hints{Columns: map[string]string{"U040": "G2"}})
	q := p.With(byHand)
	if q.Unmatched("") != numbered {
		t.Error("a swing that was read again is not matched again")
	}
	q = q.WithMatch(numbered, m.Match(q, numbered))
	if l, ok := q.File(numbered).Match().Labels.Of("G2"); !ok || l.Marker != "G2" || l.Sure != 1 {
		t.Errorf("named by hand: %+v", q.File(numbered).Match().Labels)
	}

	got, err := p.Bring(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := got.Save(got.Path); err != nil {
		t.Fatal(err)
	}
	again, err := Open(got.Path)
	if err != nil {
		t.Fatal(err)
	}
	if a := fmt.Sprint(again.Club("base").Aliases); a != "map[Kestrel:S05]" {
		t.Errorf("aliases %s", a)
	}
	readings, err := Read(context.Background(), again)
	if err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]string{"a-base-1.csv": "19 markers known by place, each at least 9", "a-base-3.csv": "1 marker known by the club's aliases: S05 is Kestrel"} {
		said := ""
		for _, r := range readings {
			if r.File == file {
				said = fmt.Sprint(r.Flags, r.Err)
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("check says of %s: %s", file, said)
		}
	}
	sim := simulated()
	for _, id := range []string{"a-base-1", "a-base-3"} {
		r := AnalyzeRun(context.Background(), again, *again.Run(id))
		if !r.OK() {
			t.Fatalf("%s: %v", id, r.Err)
		}
		near(t, id+": lead", r.Swing.AtImpact.Lead.Value, sim.truth[id].Lead, 3e-3)
	}
	bad := *again
	bad.Clubs = append([]Club(nil), again.Clubs...)
	bad.Clubs[0].Aliases = map[string]string{"x": "S99"}
	if err := bad.Validate(); err == nil || !strings.Contains(err.Error(), `"x" stands for "S99", which is no marker of the club`) {
		t.Errorf("an alias for no marker: %v", err)
	}
}

// A nameless swing that is given to a club of the other hand is said to be of
// that, and not only that its markers are not seen.
func TestPlanKnowsTheOtherHand(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(simulated().dir)); err != nil {
		t.Fatal(err)
	}
	st, err := Open(filepath.Join(dir, "study.json"))
	if err != nil {
		t.Fatal(err)
	}
	st.Runs = nil
	right, left := filepath.Join(dir, "a-base-1.csv"), filepath.Join(dir, "c-base-1.csv")
	for _, path := range []string{right, left} {
		relabelled(t, path, func(i int, _ string) string { return fmt.Sprintf("U%03d", 40-i) })
	}
	var m Matcher
	for _, c := range []struct{ path, club, want string }{
		{left, "base", "of a left-handed club: its markers lie as in a mirror image of club base; "},
		{right, "base-left", "of a right-handed club: its markers lie as in a mirror image of club base-left; "},
		{left, "base-left", "19 by place, "}, {right, "base", "19 by place, "},
	} {
		p := NewPlan(st, nil).With(looked(t, c.path)...)
		p = p.Set([]string{c.path}, func(a *Arrival) { a.Club, a.Chosen.Club = c.club, true })
		match := m.Match(p, c.path)
		if d := p.WithMatch(c.path, match).Doubt(c.path); !strings.HasPrefix(d, c.want) {
			t.Errorf("%s as a swing with %s: %q, want %q", filepath.Base(c.path), c.club, d, c.want)
		}
	}
}
