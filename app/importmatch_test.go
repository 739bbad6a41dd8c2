package app

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bendline/app/study"
	"bendline/capture"
)

// number gives the markers of a capture numbers for names.
func number(t *testing.T, path string) {
	t.Helper()
	rec, err := capture.ReadFile(path, capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range rec.Markers() {
		content = bytes.ReplaceAll(content, []byte(name+"_"), fmt.Appendf(nil, "U%03d_", i+1))
	}
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
}

// Points with numbers are matched to the club's markers, shown with how sure
// that is, and corrected by pointing at one and choosing what it is.
func TestImportMatchesMarkers(t *testing.T) {
	dir := bareFolder(t)
	swing := filepath.Join(dir, "a-base-1.csv")
	number(t, swing)
	x := newWorld(t)
	x.drop(dir)
	page := x.page()
	x.store.Do(showFile(swing))
	if rows := page.file.names; len(rows) == 0 || !strings.Contains(x.state().Import.Plan.Doubt(swing), "does not show G1") {
		t.Errorf("before the club is known: %q", x.state().Import.Plan.Doubt(swing))
	}
	x.store.Do(editImport{func(m *Import) { m.Club, m.ShowClub = "base", true }})
	typeIn(page.club.length, "1130")
	x.store.Do(pointAt("S01"))
	typeIn(page.club.station, "290")
	x.store.Do(editImport{func(m *Import) { m.ShowClub, m.Marker = false, "" }})

	plan := x.state().Import.Plan
	if d := plan.Doubt(swing); !strings.HasPrefix(d, "19 by place, ") {
		t.Fatalf("matched: %q", d)
	}
	rows, names := matchRows(plan.File(swing), plan.Club("base"))
	if got := fmt.Sprint(rows[0].Cells) + names[0]; !strings.HasPrefix(got, "[G1 U001 place 9") || !strings.HasSuffix(got, " %]U001") {
		t.Errorf("the first row is %s", got)
	}
	if dots := dotNames(plan.File(swing)); !slices.ContainsFunc(dots, func(s string) bool { return strings.HasPrefix(s, "S05 9") }) {
		t.Errorf("beside the markers stands %q", dots)
	}
	// A row of the table points at the marker; choosing another name takes it so.
	page.file.table.OnSelect(slices.Index(page.file.names, "U009"))
	if m := x.state().Import.Marker; m != "U009" || page.file.pointed.Text != "U009" || page.file.renamed.Text != "S05" {
		t.Errorf("pointed at %q, shown as %q is %q", m, page.file.pointed.Text, page.file.renamed.Text)
	}
	page.file.renamed.SetText("S06")
	a := x.state().Import.Plan.File(swing)
	if l, _ := a.Match().Labels.Of("S06"); l.Marker != "S06" || l.How != study.ByName || a.Hints.Columns["U009"] != "S06" {
		t.Errorf("named by hand: %+v, %v", l, a.Hints.Columns)
	}
	if !strings.Contains(x.state().Notice.Text, "U009 is taken for S06") {
		t.Errorf("said %q", x.state().Notice.Text)
	}
	// The one that had the name goes by its place again.
	x.store.Do(pointAt("U010"))
	page.file.renamed.SetText("S06")
	a = x.state().Import.Plan.File(swing)
	if got := fmt.Sprint(a.Hints.Columns); got != "map[U009:*S06 U010:S06]" {
		t.Errorf("renamed: %s", got)
	}
	if l, _ := a.Match().Labels.Of("*S06"); l.Marker != "S05" || l.How != study.ByPlace {
		t.Errorf("the one that had the name is %+v", l)
	}
	// Names that would hide what they say are shown plainly.
	odd := filepath.Join(dir, "..\u202egnp\n.csv")
	b, err := os.ReadFile(swing)
	if err == nil {
		err = os.WriteFile(odd, []byte(strings.Replace(string(b), "U001_x", "\u202eU\x00001_x", 1)), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	x.drop(odd)
	x.store.Do(showFile(odd))
	for _, text := range []string{page.file.name.Text, page.list.subject.Text, strings.Join(page.file.names, " "), strings.Join(dotNames(x.state().Import.Plan.File(odd)), " ")} {
		if strings.ContainsAny(text, "\u202e\n\x00") {
			t.Errorf("shown as it is: %q", text)
		}
	}
}
