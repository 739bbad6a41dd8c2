package study

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

func TestFaults(t *testing.T) {
	gone := r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
	b := newBay(t)
	fell := b.cut("a-base-1", nil, func(name string, f int, at r3.Vec) r3.Vec {
		if name == "S05" && f > 200 {
			return gone
		}
		return at
	})
	never := b.cut("a-base-3", nil, func(name string, f int, at r3.Vec) r3.Vec {
		if name == "S06" {
			return gone
		}
		return at
	})
	for _, c := range []struct {
		content []byte
		want    string
	}{
		{fell, "S05 fell off: it is not seen after "},
		{never, "never seen: S06; see that it is at "},
	} {
		got := b.take(b.write("x.csv", c.content))
		if len(got) != 1 || !strings.HasPrefix(got[0].Fault, c.want) {
			t.Errorf("%+v, want %q", got, c.want)
		}
	}
}

// A capture without names, or with others' names, of which each is known, has no
// fault.
func TestNamesAreNoFault(t *testing.T) {
	b := newBay(t)
	rec, err := capture.ReadFile(filepath.Join(simulated().dir, "a-base-1.csv"), capture.Hints{})
	if err != nil {
		t.Fatal(err)
	}
	var tracks [][]r3.Vec
	for _, name := range rec.Markers() {
		tracks = append(tracks, rec.Track(name))
	}
	for _, called := range []func(i int, name string) string{
		func(_ int, name string) string { return "Wand:" + name },
		func(i int, _ string) string { return fmt.Sprintf("*%d", 100+i) },
	} {
		names := make([]string, len(tracks))
		for i, name := range rec.Markers() {
			names[i] = called(i, name)
		}
		other, err := capture.NewRecording(0, rec.Rate(), names, tracks, capture.Origin{})
		if err != nil {
			t.Fatal(err)
		}
		var text bytes.Buffer
		if err := capture.WriteText(&text, other); err != nil {
			t.Fatal(err)
		}
		got := b.take(b.write("x.csv", text.Bytes()))
		if len(got) != 1 || got[0].Fault != "" || !got[0].Result.OK() {
			t.Errorf("%s …: %+v", names[0], got)
		}
	}
}

// A club whose heel and toe are exchanged in the study is told with the first
// swing.
func TestBackwardsIsAFault(t *testing.T) {
	b := newBay(t)
	st := *b.Analysis().Study
	st.Clubs = slices.Clone(st.Clubs)
	m := &st.Club("base").Markers
	m.Heel, m.Toe = m.Toe, m.Heel
	if err := b.Adopt(t.Context(), &st); err != nil {
		t.Fatal(err)
	}
	if got := b.take(b.put("x.csv", "a-base-1")); len(got) != 1 || !strings.Contains(got[0].Fault, "the head goes backwards") {
		t.Errorf("%+v", got)
	}
}

// A capture with a club of the other hand: all markers are seen, and none fits.
func TestWrongHand(t *testing.T) {
	b := newBay(t)
	got := b.take(b.put("x.csv", "c-base-1")) // of the left-handed player
	if len(got) != 1 || !strings.Contains(got[0].Fault, "as in a mirror: Baseline (simulated) is right-handed") {
		t.Errorf("%+v", got)
	}
}

// A swing with another shaft of the study is recognised, taken and excluded.
func TestWrongShaft(t *testing.T) {
	b := newBay(t)
	// The markers of the prototype sit elsewhere: each second one 20 mm further.
	moved := func(rec *capture.Recording) []byte {
		var tracks [][]r3.Vec
		s01, s09 := rec.Track("S01"), rec.Track("S09")
		for _, name := range rec.Markers() {
			track := append([]r3.Vec(nil), rec.Track(name)...)
			if name == "S02" || name == "S04" || name == "S06" {
				for f := range track {
					track[f] = r3.Add(track[f], r3.Scale(0.02, r3.Unit(r3.Sub(s09[f], s01[f]))))
				}
			}
			tracks = append(tracks, track)
		}
		return asText(t, rec, tracks)
	}
	recording := func(file string) *capture.Recording {
		rec, err := capture.ReadFile(filepath.Join(simulated().dir, file), capture.Hints{})
		if err != nil {
			t.Fatal(err)
		}
		return rec
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(b.path), "proto-reference.csv"), moved(recording("proto-reference.csv")), 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(b.path)
	if err != nil {
		t.Fatal(err)
	}
	c := s.Club("proto")
	for i := range c.Markers.Shaft {
		if n := c.Markers.Shaft[i].Name; n == "S02" || n == "S04" || n == "S06" {
			c.Markers.Shaft[i].Station += 0.02
		}
	}
	if err := s.Save(b.path); err != nil {
		t.Fatal(err)
	}
	b.open()
	got := b.take(b.write("x.csv", moved(recording("a-base-1.csv"))), b.put("y.csv", "a-base-3"))
	for _, g := range got {
		is := g.Run == "x"
		if strings.HasPrefix(g.Fault, "wrong shaft: the shaft's markers are spaced as on Softer tip (simulated), not as on Baseline (simulated)") != is {
			t.Errorf("%s: %q", g.Run, g.Fault)
		}
		if excluded := b.study.Run(g.Run).Excluded; (excluded == "its markers are spaced as on club proto") != is {
			t.Errorf("%s: excluded %q", g.Run, excluded)
		}
	}
	if len(got) != 2 {
		t.Errorf("%+v", got)
	}
}

// A defect in what looks for faults is said as one. Without a recording there is
// nothing to look at, which no session asks for.
func TestDefectIsAFault(t *testing.T) {
	l := newLab(simulated().study)
	defer l.close()
	got := l.fault(nil, &Result{Run: Run{Club: "base"}})
	if !strings.HasPrefix(got, "the program failed on this run, which is a defect in it") {
		t.Errorf("the fault is %q", got)
	}
}
