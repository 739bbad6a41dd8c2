package capture

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// club returns a set of shaft markers 80 mm apart, with no clusters.
func club(markers int) MarkerSet {
	set := MarkerSet{}
	for m := range markers {
		set.Shaft = append(set.Shaft, ShaftMarker{Name: "S" + string(rune('A'+m)), Station: 0.3 + 0.08*float64(m), Offset: 0.01})
	}
	return set
}

// bentShaft returns a recording of the markers of a club, on an arc of 3 m
// radius that turns, each 10 mm off the axis on alternate sides.
func bentShaft(t *testing.T, set MarkerSet, frames int) *Recording {
	t.Helper()
	var tracks [][]r3.Vec
	var names []string
	for m, marker := range set.Shaft {
		var track []r3.Vec
		sin, cos := math.Sincos(marker.Station / 3)
		side := 0.01 * float64(1-2*(m%2))
		p := r3.Vec{X: (3 + side) * cos, Y: 0, Z: (3 + side) * sin}
		for i := range frames {
			track = append(track, r3.Add(r3.NewRotation(float64(i)/10, r3.Vec{Y: 1}).Rotate(p), r3.Vec{Z: 1}))
		}
		tracks, names = append(tracks, track), append(names, marker.Name)
	}
	r, err := NewRecording(0, 250, names, tracks, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Whatever unit a file was written in and taken to be in, the stations tell.
func TestGuessUnit(t *testing.T) {
	set := club(8)
	truth := bentShaft(t, set, 50)
	for _, written := range units {
		for _, taken := range units {
			l := layout{"NAME_x", ",", ".", "utf-8", "\n", "time", "", written, false}
			text := strings.Replace(string(l.write(truth)), "Units,"+string(written), "", 1)
			r, err := ReadText(strings.NewReader(text), "run", Hints{Unit: taken})
			if err != nil {
				t.Fatal(err)
			}
			got, ok := set.GuessUnit(r)
			if !ok || got != written {
				t.Fatalf("written in %s, taken for %s: guessed %q, %v", written, taken, got, ok)
			}
			right := r.WithUnit(got)
			if d := difference(right, truth, 1e-6); d != "" || right.Origin().Unit != written {
				t.Errorf("written in %s, taken for %s: %s, unit %s", written, taken, d, right.Origin().Unit)
			}
			r.origin.Residual = taken.toMetres(2)
			if is := r.WithUnit(got).Origin().Residual; math.Abs(is-got.toMetres(2)) > 1e-12 {
				t.Errorf("2 %s, taken for %s, became %v m", written, taken, is)
			}
			if back := right.WithUnit(taken); difference(back, r, 1e-12) != "" {
				t.Errorf("%s to %s and back: %s", taken, written, difference(back, r, 1e-12))
			}
		}
	}
}

func TestGuessUnitRefuses(t *testing.T) {
	set := club(8)
	r := bentShaft(t, set, 50)
	other := club(8)
	for i := range other.Shaft {
		other.Shaft[i].Station *= 1.6 // midway between the centimetre and the inch
	}
	for name, s := range map[string]MarkerSet{"no markers": {}, "one marker": {Shaft: set.Shaft[:1]}, "other stations": other, "other names": {Shaft: []ShaftMarker{{Name: "A", Station: 0.1}, {Name: "B", Station: 0.5}}}} {
		if u, ok := s.GuessUnit(r); ok {
			t.Errorf("%s: guessed %s", name, u)
		}
	}
}

// The size of a club tells its unit when nothing else does.
func TestReadTextGuessesUnit(t *testing.T) {
	truth := bentShaft(t, club(10), 50)
	for _, unit := range units {
		l := layout{"NAME_x", ",", ".", "utf-8", "\n", "time", "", unit, false}
		text := strings.Replace(string(l.write(truth)), "Units,"+string(unit), "", 1)
		r, err := ReadText(strings.NewReader(text), "run", Hints{})
		if err != nil {
			t.Fatal(err)
		}
		if o := r.Origin(); o.Unit != unit || !o.UnitGuessed {
			t.Errorf("written in %s, guessed %s (%v)", unit, o.Unit, o.UnitGuessed)
		}
	}
}

func TestWithUnitPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic for a foot")
		}
	}()
	sample().WithUnit("ft")
}
