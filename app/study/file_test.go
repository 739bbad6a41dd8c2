package study

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"bendline/kinematics"
)

// full is a study file that uses every key, and has keys of a later day at
// every level.
const full = `{
 "format":"bendline-study","version":1,"title":"A < B & µ","later":{"b":[1,2.50],"a":null},
 "world":{"up":"+z","target":"-x","origin":"tee"},
 "clubs":[
  {"id":"base","label":"Baseline","role":"baseline","hand":"right","colour":"#00f",
   "shaft":{"length_mm":1130.1,"butt_diameter_mm":15.2,"tip_diameter_mm":8.6,"weave":3,
     "stiffness":[{"station_mm":0,"ei_n_m2":74,"gj_n_m2":36,"by":"bench 1"},{"station_mm":169.7,"ei_n_m2":66.25,"gj_n_m2":32}]},
   "markers":{"grip":["G1","G2","G3"],"glue":"epoxy",
     "shaft":[{"name":"S01","station_mm":300.1,"offset_mm":11.3,"size_mm":6.4},{"name":"S02","station_mm":378.5,"offset_mm":10.39}],
     "head":["H1","H2","H3"],"heel":"H1","toe":"H2"},
   "reference":"base-reference.csv","bench":{"weight_g":61.20},"spec":{"x":[]}},
  {"id":"proto","role":"prototype","hand":"left",
   "shaft":{"length_mm":1130},
   "markers":{"grip":["G1","G2","G3"],"shaft":[],"head":["H1","H2","H3"],"heel":"H1","toe":"H2"},
   "reference":"proto-reference.csv"}],
 "players":[{"id":"p1","label":"P1","age":30}],
 "runs":[
  {"id":"r1","file":"a/r1.csv","club":"base","player":"p1","note":"windy",
   "import":{"delimiter":";","decimal":",","unit":"cm","rate":2000,"columns":{"g1":"G1"},"sheet":2},
   "events":{"top_s":1.05,"impact_s":1.31,"finish_s":2}},
  {"id":"r2","file":"r2.csv","club":"proto","player":"p1","excluded":"mis-hit"}]}`

// open writes text as a study file and opens it.
func open(t *testing.T, text string) (*Study, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "study.json")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return Open(path)
}

func mustOpen(t *testing.T, text string) *Study {
	t.Helper()
	s, err := open(t, text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// sameJSON fails the test unless both texts are the same JSON value.
func sameJSON(t *testing.T, got, want []byte) {
	t.Helper()
	var g, w any
	if err := json.Unmarshal(got, &g); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(want, &w); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(g, w) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestOpenReadsSIUnits(t *testing.T) {
	s := mustOpen(t, full)
	c := s.Club("base")
	near := func(got, want float64) bool { return scalar.EqualWithinRel(got, want, 1e-15) }
	if !near(c.Shaft.Length, 1.1301) || !near(c.ButtDiameter, 0.0152) || !near(c.Shaft.Station[1], 0.1697) || c.Shaft.EI[1] != 66.25 {
		t.Errorf("shaft %+v", c.Shaft)
	}
	if m := c.Markers.Shaft[0]; m.Name != "S01" || !near(m.Station, 0.3001) || !near(m.Offset, 0.0113) {
		t.Errorf("marker %+v", m)
	}
	if s.Club("proto").Hand != kinematics.Left || s.Club("proto").Shaft.Known() {
		t.Errorf("prototype %+v", s.Club("proto"))
	}
	r := s.Run("r1")
	if *r.Events.Impact != 1.31 || r.Import.Unit != "cm" || r.Import.Columns["g1"] != "G1" {
		t.Errorf("run %+v", r)
	}
	if s.Run("r2").Excluded != "mis-hit" || s.Run("r2").Events.Top != nil {
		t.Errorf("run %+v", s.Run("r2"))
	}
	if s.Club("x") != nil || s.Player("x") != nil || s.Run("x") != nil {
		t.Error("found what is not there")
	}
}

func TestSaveGivesBackWhatWasRead(t *testing.T) {
	s := mustOpen(t, full)
	path := filepath.Join(t.TempDir(), "copy.json")
	for range 2 { // the second time over the first
		if err := s.Save(path); err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sameJSON(t, got, []byte(full))
		if !bytes.Contains(got, []byte(`"title": "A < B & µ"`)) || !bytes.Contains(got, []byte("2.50")) {
			t.Errorf("text was rewritten:\n%s", got)
		}
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(entries) != 1 {
		t.Errorf("left behind: %v %v", entries, err)
	}
}

// A changed copy is saved with the changes, and the unknown keys stay with what
// they belong to.
func TestSaveAfterEdit(t *testing.T) {
	s := mustOpen(t, full)
	edited := *s
	edited.Title = "B"
	edited.Clubs = slices.Clone(s.Clubs)
	markers := slices.Clone(s.Clubs[0].Markers.Shaft)
	slices.Reverse(markers)
	markers[1].Offset = 0.02
	edited.Clubs[0].Markers.Shaft = markers
	edited.Runs = slices.Clone(s.Runs[:1])
	edited.Runs[0].Events = Events{}
	path := filepath.Join(t.TempDir(), "study.json")
	if err := edited.Save(path); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer(
		"A < B & µ", "B",
		`{"name":"S01","station_mm":300.1,"offset_mm":11.3,"size_mm":6.4},{"name":"S02","station_mm":378.5,"offset_mm":10.39}`,
		`{"name":"S02","station_mm":378.5,"offset_mm":10.39},{"name":"S01","station_mm":300.1,"offset_mm":20,"size_mm":6.4}`,
		`"top_s":1.05,"impact_s":1.31,`, "",
		`,
  {"id":"r2","file":"r2.csv","club":"proto","player":"p1","excluded":"mis-hit"}`, "",
	).Replace(full)
	sameJSON(t, got, []byte(want))
	if s.Title == "B" || s.Clubs[0].Markers.Shaft[0].Name != "S01" || s.Runs[0].Events.Top == nil {
		t.Error("the study that was copied has changed")
	}
}

func TestMillimetresKeepDecimals(t *testing.T) {
	for i := range 200000 {
		mm := float64(i) / 100
		if got := millimetres(mm / 1e3); got != mm {
			t.Fatalf("%v mm came back as %v", mm, got)
		}
	}
	for _, mm := range []float64{123.456789012345, 1e-9, 0.1, 1e6 + 0.1} {
		if got := millimetres(mm / 1e3); got != mm {
			t.Errorf("%v mm came back as %v", mm, got)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	edit := func(old, new string) string {
		if !strings.Contains(full, old) {
			t.Fatalf("the study has no %s", old)
		}
		return strings.Replace(full, old, new, 1)
	}
	for _, c := range []struct{ name, text, want string }{
		{"empty", " \n", "the file is empty"},
		{"no JSON", "time,x\n", "line 1, column 2: not valid JSON: invalid character 'i'"},
		{"comma", "{\n \"a\":1,\n}", "line 3, column 1: not valid JSON"},
		{"cut", full[:300], "not valid JSON: unexpected end"},
		{"list", "[1]", "needs an object, has array"},
		{"null", "null", "format is \"\""},
		{"format", edit("bendline-study", "bendline-results"), `format is "bendline-results"; a study file has`},
		{"version", edit(`"version":1`, `"version":2`), "version is 2; this program reads version 1"},
		{"title", edit(`"title":"A < B & µ"`, `"title":7`), "title: needs text, has number"},
		{"text for number", edit(`"ei_n_m2":66.25`, `"ei_n_m2":"66"`), "clubs[0].shaft.stiffness[1].ei_n_m2: needs a number, has string"},
		{"object for list", `{"format":"bendline-study","version":1,"runs":{}}`, "runs: needs a list, has object"},
		{"world", edit(`"up":"+z"`, `"up":"z"`), `world: up is "z"; it must be one of`},
		{"one axis", edit(`"target":"-x"`, `"target":"-z"`), "world: up +z and target -z are one axis"},
		{"hand", edit(`"hand":"left"`, `"hand":"both"`), `club "proto": hand is "both"; it must be right or left`},
		{"role", edit(`"role":"prototype"`, `"role":"test"`), `club "proto": role is "test"`},
		{"no club id", edit(`"id":"proto"`, `"id":""`), "club number 2 has no id"},
		{"two clubs", edit(`"id":"proto"`, `"id":"base"`), `the club id "base" stands twice`},
		{"two runs", edit(`"id":"r2"`, `"id":"r1"`), `the run id "r1" stands twice`},
		{"two players", edit(`{"id":"p1"`, `{"id":"p1"},{"id":"p1"`), `the player id "p1" stands twice`},
		{"unknown club", edit(`"club":"proto"`, `"club":"prot"`), `run "r2": there is no club "prot"`},
		{"unknown player", edit(`"player":"p1"`, `"player":"p9"`), `run "r1": there is no player "p9"`},
		{"length", edit(`"length_mm":1130}`, `"length_mm":0}`), `club "proto": shaft: length_mm is 0`},
		{"diameter", edit(`15.2`, `-1`), "a shaft diameter is negative"},
		{"station", edit(`"station_mm":169.7`, `"station_mm":1131`), "stiffness at 1131 mm lies outside the shaft of 1130.1 mm"},
		{"stations", edit(`"station_mm":169.7`, `"station_mm":0`), "stations must increase"},
		{"EI", edit(`"ei_n_m2":74`, `"ei_n_m2":0`), "ei_n_m2 at 0 mm is 0; it must be positive"},
		{"GJ", edit(`"gj_n_m2":32`, `"gj_n_m2":-3`), "gj_n_m2 at 169.7 mm is -3; it must be positive"},
		{"grip", edit(`["G1","G2","G3"]`, `["G1","G2"]`), `club "base": markers: the grip has 2; its pose needs at least 3`},
		{"head", edit(`["H1","H2","H3"]`, `["H1","H2"]`), "markers: the head has 2"},
		{"heel", edit(`"heel":"H1"`, `"heel":"S01"`), `markers: heel is "S01", which is not a head marker`},
		{"toe", edit(`"toe":"H2"`, `"toe":""`), `markers: toe is "", which is not a head marker`},
		{"heel and toe", edit(`"toe":"H2"`, `"toe":"H1"`), `heel and toe are both "H1"`},
		{"marker twice", edit(`"name":"S02"`, `"name":"S01"`), `"S01" stands twice`},
		{"nameless marker", edit(`"name":"S02"`, `"name":""`), "a marker has no name"},
		{"marker station", edit(`"station_mm":300.1`, `"station_mm":-1`), "S01 at -1 mm lies outside the shaft"},
		{"marker offset", edit(`"offset_mm":11.3`, `"offset_mm":-11.3`), "offset_mm of S01 is -11.3"},
		{"unit", edit(`"unit":"cm"`, `"unit":"ft"`), `import: unit is "ft"`},
		{"rate", edit(`"rate":2000`, `"rate":-1`), "import: rate is -1"},
		{"events", edit(`"top_s":1.05`, `"top_s":1.4`), "top at 1.4 s is not before impact at 1.31 s"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := open(t, c.text)
			if err == nil {
				t.Fatal("it was opened")
			}
			if !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "study.json") || strings.Contains(err.Error(), "\n") {
				t.Errorf("error %q, want the file and %q in one line", err, c.want)
			}
		})
	}
	if _, err := Open(t.TempDir()); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder: %v", err)
	}
	file := simulated().study.Path
	if s, err := Open(filepath.Dir(file)); err != nil || s.Path != file {
		t.Errorf("the folder of a study: %v", err)
	}
	if _, err := Open(filepath.Join(t.TempDir(), "none.json")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}

// Keys are matched exactly, and null is no value.
func TestOpenMatchesKeysExactly(t *testing.T) {
	s := mustOpen(t, `{"format":"bendline-study","version":1.0,"Title":"not this","title":null,"world":null}`)
	if s.Title != "" {
		t.Errorf("title %q", s.Title)
	}
	path := filepath.Join(t.TempDir(), "study.json")
	if err := s.Save(path); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	sameJSON(t, got, []byte(`{"format":"bendline-study","version":1,"title":"","clubs":[],"players":[],"runs":[],"Title":"not this"}`))
}

func TestSaveRefusesWhatOpenWould(t *testing.T) {
	s := *mustOpen(t, full)
	s.Runs = slices.Clone(s.Runs)
	s.Runs[0].Club = "gone"
	path := filepath.Join(t.TempDir(), "study.json")
	if err := s.Save(path); err == nil || !strings.Contains(err.Error(), "not saved") {
		t.Errorf("error %v", err)
	}
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file was made: %v", err)
	}
}

func TestWriteFileIsWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out.txt")
	put := func(text string, err error) error {
		return WriteFile(path, func(w io.Writer) error { fmt.Fprint(w, text); return err })
	}
	if err := put("one", nil); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("broken")
	if err := put("two", broken); err != broken {
		t.Errorf("error %v, want %v", err, broken)
	}
	if got, _ := os.ReadFile(path); string(got) != "one" {
		t.Errorf("the file now holds %q", got)
	}
	link := filepath.Join(dir, "link.txt")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	if err := WriteFile(link, func(w io.Writer) error { fmt.Fprint(w, "three"); return nil }); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "three" {
		t.Errorf("through the link the file holds %q", got)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, want that of the file replaced", info.Mode())
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 2 {
		t.Errorf("left behind: %v", entries)
	}
	err := WriteFile(filepath.Join(dir, "none", "out.txt"), func(io.Writer) error { return nil })
	if !errors.Is(err, os.ErrNotExist) || strings.Contains(err.Error(), ".tmp") {
		t.Errorf("error %v, want one that names the file asked for", err)
	}
}

// What opens can be saved, and opens again as the same file.
func FuzzOpen(f *testing.F) {
	f.Add([]byte(full))
	f.Add([]byte(`{"format":"bendline-study","version":1}`))
	f.Add([]byte(`{"format":"bendline-study","version":1,"x":{"<":"\u2028"},"runs":[{"id":"a","club":null}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := parse(b)
		if err != nil {
			return
		}
		first, err := encode(s.encode())
		if err != nil {
			t.Fatal(err)
		}
		again, err := parse(first)
		if err != nil {
			t.Fatalf("%v in\n%s", err, first)
		}
		second, err := encode(again.encode())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, second) {
			t.Errorf("first\n%s\nsecond\n%s", first, second)
		}
	})
}
