package study

import (
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bendline/capture"
)

func write(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.csv")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestLayoutOf tells files apart by what the program that wrote them would
// change, and by nothing else.
func TestLayoutOf(t *testing.T) {
	plain := "time_s,A_x,A_y,A_z\n0.0,1,2,3\n0.1,1,2,3\n"
	same := map[string]string{
		"other numbers": "time_s,A_x,A_y,A_z\n5.0,9,9,9\n",
		"gaps":          "time_s,A_x,A_y,A_z\n0.0,NaN,NaN,NaN\n",
		"a preamble":    "Rate,250\nSubject,Anna\n\ntime_s,A_x,A_y,A_z\n0.0,1,2,3\n",
		"CRLF":          strings.ReplaceAll(plain, "\n", "\r\n"),
		"UTF-16":        strings.Join(strings.Split(plain, ""), "\x00") + "\x00",
	}
	other := map[string]string{
		"a marker":    "time_s,B_x,B_y,B_z\n0.0,1,2,3\n",
		"a delimiter": strings.ReplaceAll(plain, ",", ";"),
		"a unit":      "time_s,A_x_mm,A_y_mm,A_z_mm\n0.0,1,2,3\n",
		"units":       "time_s,A_x,A_y,A_z\ns,mm,mm,mm\n0.0,1,2,3\n",
	}
	want := layoutOf(write(t, plain))
	if want == "" {
		t.Fatal("a plain table has no layout")
	}
	for name, text := range same {
		if got := layoutOf(write(t, text)); got != want {
			t.Errorf("%s make another layout", name)
		}
	}
	for name, text := range other {
		if got := layoutOf(write(t, text)); got == want || got == "" {
			t.Errorf("%s makes the layout %q", name, got)
		}
	}
	for name, text := range map[string]string{"prose": "Dear all,\nnothing here.\n", "numbers": "1,2,3,4\n5,6,7,8\n", "nothing": ""} {
		if got := layoutOf(write(t, text)); got != "" {
			t.Errorf("%s has the layout %q", name, got)
		}
	}
}

// TestCorrectionsAreRemembered corrects a file, and reads another of its layout.
func TestCorrectionsAreRemembered(t *testing.T) {
	text := "frame,G_x,G_y,G_z\n0,1,2,3\n1,1,2,3\n2,1,2,4\n"
	p := Look(write(t, text), nil)
	if p.Err == nil || p.Layout == "" {
		t.Fatalf("a file without a rate: error %v, layout %q", p.Err, p.Layout)
	}
	hints := capture.Hints{Rate: 500, Unit: capture.Centimetre, Columns: map[string]string{"G": "G1"}}
	file := filepath.Join(t.TempDir(), "config", "layouts.json")
	if err := (Layouts{}).With(p.Layout, hints).Write(file); err != nil {
		t.Fatal(err)
	}
	layouts, err := ReadLayouts(file)
	if err != nil {
		t.Fatal(err)
	}
	p = Look(write(t, text+"3,1,2,5\n"), layouts)
	if p.Err != nil || !p.Remembered || !reflect.DeepEqual(p.Hints, hints) {
		t.Fatalf("another file of the layout: %+v", p)
	}
	if p.Capture.Rate != 500 || p.Capture.Frames != 4 || p.Markers[0] != "G1" || p.Named[0] != "G" || p.Poses[0].At[0].X != 0.01 {
		t.Errorf("read as %+v", p)
	}
	if p = Look(write(t, strings.ReplaceAll(text, "G", "H")), layouts); p.Remembered {
		t.Error("a correction is used for another layout")
	}
	if l := layouts.With(p.Layout, hints).With(p.Layout, capture.Hints{}); len(l) != 1 {
		t.Errorf("a correction that is empty is kept: %v", l)
	}
	if none, err := ReadLayouts(filepath.Join(t.TempDir(), "none")); err != nil || len(none) != 0 {
		t.Errorf("a file that is not there: %v, %v", none, err)
	}
	for _, text := range []string{"{", `{"format":"other","version":1}`, `{"format":"bendline-layouts","version":2}`} {
		if _, err := ReadLayouts(write(t, text)); err == nil {
			t.Errorf("%s is taken for a file of layouts", text)
		}
	}
}

func TestSavedSets(t *testing.T) {
	c := simulated().study.Clubs[0]
	set := SavedSet{Name: "driver", Markers: c.Markers, Length: c.Shaft.Length, ButtDiameter: c.ButtDiameter, TipDiameter: c.TipDiameter}
	file := filepath.Join(t.TempDir(), "sets.json")
	sets := SetsWith(SetsWith(SetsWith(nil, SavedSet{Name: "driver"}), SavedSet{Name: "z", Markers: c.Markers, Length: 1.2}), set)
	if err := WriteSets(file, sets); err != nil {
		t.Fatal(err)
	}
	got, err := ReadSets(file)
	if err != nil || len(got) != 2 || !reflect.DeepEqual(got[0], set) {
		t.Fatalf("read %+v: %v", got, err)
	}
	if !set.fits(append(c.Markers.Names(), "more")) || set.fits(c.Markers.Names()[1:]) {
		t.Error("a set fits a recording that lacks a marker, or not one that has more")
	}
	// A draft is proposed after a saved set that fits, and needs nothing typed.
	st, previews := bare(t)
	p := NewPlan(st, got[:1]).With(previews...)
	d := p.Draft("base")
	if d.Like != "driver" || !slices.Equal(d.Markers.Names(), set.Markers.Names()) || d.Shaft.Length != set.Length || p.Blocked().Why != "" {
		t.Errorf("draft %+v; blocked: %q", d, p.Blocked().Why)
	}
	for i, m := range d.Markers.Shaft {
		if math.Abs(m.Station-set.Markers.Shaft[i].Station) > 0.3e-3 {
			t.Errorf("%s is at %v m, want %v", m.Name, m.Station, set.Markers.Shaft[i].Station)
		}
	}
	// Chosen by hand, it is taken as it is.
	p = p.SetDraft("base", func(d *Draft) { d.UseSet(set) })
	if d := p.Draft("base"); d.Set != "driver" || !reflect.DeepEqual(d.Markers, set.Markers) || p.Blocked().Why != "" {
		t.Errorf("draft %+v; blocked: %q", d, p.Blocked().Why)
	}
}

// TestLookKnowsC3D takes a C3D file for one whatever it is called, and has a
// layout for it.
func TestLookKnowsC3D(t *testing.T) {
	from := filepath.Join(simulated().dir, simulated().study.Clubs[0].Reference)
	rec, err := capture.ReadFile(from, capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "hanging.dat")
	if err := WriteFile(path, func(w io.Writer) error { return capture.WriteC3D(w, rec) }); err != nil {
		t.Fatal(err)
	}
	p, text := Look(path, nil), Look(from, nil)
	if p.Err != nil || p.Origin.Layout != "c3d" || !p.Still || !slices.Equal(p.Markers, text.Markers) {
		t.Fatalf("a C3D file is seen as %q, still %v, %v: %v", p.Origin.Layout, p.Still, p.Markers, p.Err)
	}
	if p.Layout == "" || p.Layout == text.Layout {
		t.Errorf("its layout is %q", p.Layout)
	}
}
