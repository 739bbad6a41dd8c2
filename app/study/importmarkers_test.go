package study

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

// restOf returns the preview of a club's reference in the simulation.
func restOf(t *testing.T, club *Club) Preview {
	t.Helper()
	p := Look(filepath.Join(simulated().dir, club.Reference), nil)
	if p.Err != nil || !p.Still || p.Rest == nil {
		t.Fatalf("%s: error %v, still %v", club.Reference, p.Err, p.Still)
	}
	return p
}

func shaftNames(set capture.MarkerSet) (names []string) {
	for _, m := range set.Shaft {
		names = append(names, m.Name)
	}
	return names
}

// TestProposeMarkers sorts the markers of the simulated clubs, by their names
// and, under names that tell nothing, by where they are.
func TestProposeMarkers(t *testing.T) {
	for _, club := range simulated().study.Clubs {
		p := restOf(t, &club)
		rng := rand.New(rand.NewPCG(1, 2))
		silent := make(map[string]string)
		names := slices.Clone(p.Markers)
		for i, k := range rng.Perm(len(names)) {
			silent[names[i]] = fmt.Sprintf("M%02d", k)
		}
		for _, is := range []struct {
			name  string
			named func(string) string
		}{
			{"told", func(s string) string { return s }},
			{"subject", func(s string) string { return "club:" + s }},
			{"silent", func(s string) string { return silent[s] }},
		} {
			var list, grip, shaft, head []string
			for _, n := range names {
				list = append(list, is.named(n))
			}
			for _, n := range club.Markers.Grip {
				grip = append(grip, is.named(n))
			}
			for _, m := range club.Markers.Shaft {
				shaft = append(shaft, is.named(m.Name))
			}
			for _, n := range club.Markers.Head {
				head = append(head, is.named(n))
			}
			set, err := ProposeMarkers(list, p.Rest)
			if err != nil {
				t.Errorf("%s, %s: %v", club.ID, is.name, err)
			}
			if !slices.Equal(set.Grip, grip) || !slices.Equal(shaftNames(set), shaft) || !slices.Equal(set.Head, head) {
				t.Errorf("%s, %s: proposes grip %v, shaft %v, head %v", club.ID, is.name, set.Grip, shaftNames(set), set.Head)
			}
			if want := is.named(club.Markers.Heel); set.Heel != want {
				t.Errorf("%s, %s: proposes heel %s, want %s", club.ID, is.name, set.Heel, want)
			}
		}
	}
}

func TestProposeMarkersRefuses(t *testing.T) {
	club := simulated().study.Clubs[0]
	p := restOf(t, &club)
	few := func(keep func(i int) bool) []r3.Vec {
		at := slices.Clone(p.Rest)
		for i := range at {
			if !keep(i) {
				at[i] = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
			}
		}
		return at
	}
	silent := make([]string, len(p.Rest))
	for i := range silent {
		silent[i] = fmt.Sprint("M", i)
	}
	for name, at := range map[string][]r3.Vec{
		"nothing seen": few(func(int) bool { return false }),
		"grip alone":   few(func(i int) bool { return i < 4 }),
		"no head":      few(func(i int) bool { return i < 15 }),
		"two of head":  few(func(i int) bool { return i < 17 }),
	} {
		for _, names := range [][]string{p.Markers, silent} {
			if set, err := ProposeMarkers(names, at); err == nil && name != "no head" && name != "two of head" {
				t.Errorf("%s: proposes %+v", name, set)
			} else if err != nil && !strings.Contains(err.Error(), "by hand") {
				t.Errorf("%s: the error %q does not say what to do", name, err)
			}
		}
	}
}

// TestPlaceShaft recovers the stations and offsets that were simulated from the
// station of one marker. The references have noise of 0.2 mm a frame, and 40
// frames are averaged; a marker's offset shows through the axis, which is as
// good as that of eleven markers.
func TestPlaceShaft(t *testing.T) {
	for _, club := range simulated().study.Clubs {
		p := restOf(t, &club)
		at := make(map[string]r3.Vec)
		for i, name := range p.Markers {
			at[name] = p.Rest[i]
		}
		blank := club
		blank.Markers.Shaft = nil
		for _, m := range club.Markers.Shaft {
			blank.Markers.Shaft = append(blank.Markers.Shaft, capture.ShaftMarker{Name: m.Name})
		}
		first := club.Markers.Shaft[0]
		one := map[string]capture.ShaftMarker{first.Name: {Name: first.Name, Station: first.Station, Offset: math.NaN()}}
		for _, is := range []struct {
			name     string
			diameter bool
			measured map[string]capture.ShaftMarker
			within   float64
		}{
			{"diameters", true, one, 0.3e-3},
			{"no diameters", false, one, 0.3e-3},
			{"nothing measured", true, nil, 10e-3}, // the head's first marker is near the tip, not at it
		} {
			c := blank
			if !is.diameter {
				c.ButtDiameter, c.TipDiameter = 0, 0
			}
			got := PlaceShaft(c, at, is.measured)
			if got.Doubt != nil || got.Guessed != (is.measured == nil) {
				t.Errorf("%s, %s: doubt %v, guessed %v", club.ID, is.name, got.Doubt, got.Guessed)
			}
			for i, m := range club.Markers.Shaft {
				if d := got.Shaft[i].Station - m.Station; math.Abs(d) > is.within {
					t.Errorf("%s, %s: station of %s is off by %.2f mm", club.ID, is.name, m.Name, 1e3*d)
				}
				if d := got.Shaft[i].Offset - m.Offset; math.Abs(d) > 0.3e-3 {
					t.Errorf("%s, %s: offset of %s is off by %.2f mm", club.ID, is.name, m.Name, 1e3*d)
				}
			}
		}
	}
}

// TestPlaceShaftKeepsWhatWasMeasured gives a station and an offset by hand: they
// come back as they are, and the others move along.
func TestPlaceShaftKeepsWhatWasMeasured(t *testing.T) {
	club := simulated().study.Clubs[0]
	p := restOf(t, &club)
	at := make(map[string]r3.Vec)
	for i, name := range p.Markers {
		at[name] = p.Rest[i]
	}
	place := func(station, offset float64) []capture.ShaftMarker {
		return PlaceShaft(club, at, map[string]capture.ShaftMarker{"S03": {Name: "S03", Station: station, Offset: offset}}).Shaft
	}
	a, b := place(0.45, math.NaN()), place(0.46, 0.0123)
	for i := range a {
		if d := b[i].Station - a[i].Station; math.Abs(d-0.01) > 0.2e-3 {
			t.Errorf("%s moved along by %.2f mm, want 10", a[i].Name, 1e3*d)
		}
	}
	if a[2].Station != 0.45 || b[2].Station != 0.46 || b[2].Offset != 0.0123 {
		t.Errorf("measured values came back as %+v and %+v", a[2], b[2])
	}
}

// TestFitAxisDoubts puts all markers on one side and on two, where no
// axis shows, and round the shaft, where it does.
func TestFitAxisDoubts(t *testing.T) {
	side := func(k int, turn float64) r3.Vec {
		s := 0.3 + 0.1*float64(k)
		sin, cos := math.Sincos(turn * float64(k))
		d := 0.011 - 0.002*s
		return r3.Vec{X: d * cos, Y: d * sin, Z: s}
	}
	row := func(turn float64) (points []r3.Vec) {
		for k := range 8 {
			points = append(points, side(k, turn))
		}
		return points
	}
	for _, turn := range []float64{0, math.Pi} {
		if _, _, err := fitAxis(row(turn), taper{b: -0.002, knowB: true}); !errors.Is(err, errOneSide) {
			t.Errorf("turn %v from marker to marker: error %v", turn, err)
		}
	}
	if l, misfit, err := fitAxis(row(2*math.Pi/3), taper{}); err != nil || misfit > 1e-9 {
		t.Errorf("round the shaft: misfit %v, error %v", misfit, err)
	} else if _, off := l.station(r3.Vec{Z: 0.5}); off > 1e-8 {
		t.Errorf("round the shaft: the axis is off by %v m", off)
	}
	known := taper{a: 0.011 - 0.002*0.65, b: -0.002, knowA: true, knowB: true}
	l, _, err := fitAxis(row(math.Pi/2), known)
	if err != nil {
		t.Fatal(err)
	}
	if _, off := l.station(r3.Vec{Z: 0.5}); off > 1e-8 {
		t.Errorf("a known offset: the axis is off by %v m", off)
	}
}

// TestReadSwing tells hand, heel and toe from swings.
func TestReadSwing(t *testing.T) {
	sim := simulated()
	for _, run := range sim.study.Runs {
		p := Look(filepath.Join(sim.dir, run.File), nil)
		club := sim.study.Club(run.Club)
		if p.Err != nil || p.Still {
			t.Fatalf("%s: error %v, still %v", run.ID, p.Err, p.Still)
		}
		got, ok := readSwing(&Arrival{Preview: p}, club.Markers)
		if !ok || got.hand != club.Hand || got.heel != club.Markers.Heel || got.toe != club.Markers.Toe {
			t.Errorf("%s: %v, hand %v, heel %s, toe %s", run.ID, ok, got.hand, got.heel, got.toe)
		}
	}
}
