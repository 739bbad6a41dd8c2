package capture_test

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/sampledata"
)

// told returns the flags of Inspect about markers that are not in their place,
// do not move, or are measured at another time.
func told(r *capture.Recording, set capture.MarkerSet) []capture.Flag {
	var list []capture.Flag
	for _, f := range capture.Inspect(r, set) {
		if f.Code == capture.LabelSwap || f.Code == capture.Frozen || f.Code == capture.TimeSkew {
			list = append(list, f)
		}
	}
	return list
}

// Swings of clubs that bend, with more noise than cameras make, raise no false
// alarm; and a pair of labels exchanged in any of them is told.
func TestInspectPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	for range 6 {
		cfg := sampledata.RandomConfig(rng)
		cfg.Noise.White = max(cfg.Noise.White, 0.5e-3)
		r := sampledata.Simulate(cfg, rng).Recording
		set := cfg.Club.Markers
		if flags := told(r, set); flags != nil {
			t.Errorf("%+v", flags)
		}
		names := r.Markers()
		tracks := make([][]r3.Vec, len(names))
		at := make(map[string]int)
		for i, name := range names {
			tracks[i], at[name] = append([]r3.Vec(nil), r.Track(name)...), i
		}
		// A marker of the shaft and any other: those of a cluster may be so
		// placed that an exchange hardly shows.
		all := set.Names()
		a := len(set.Grip) + rng.IntN(len(set.Shaft))
		b := (a + 1 + rng.IntN(len(all)-1)) % len(all)
		a, b = min(a, b), max(a, b)
		ta, tb := tracks[at[all[a]]], tracks[at[all[b]]]
		from, to := 1000, 1050
		for f := from; f < to; f++ {
			ta[f], tb[f] = tb[f], ta[f]
		}
		swapped, err := capture.NewRecording(r.Start(), r.Rate(), names, tracks, capture.Origin{})
		if err != nil {
			t.Fatal(err)
		}
		flags := told(swapped, set)
		want := "the labels " + all[a] + " and " + all[b] + " are exchanged "
		if len(flags) != 1 || flags[0].Code != capture.LabelSwap || len(flags[0].Detail) < len(want) || flags[0].Detail[:len(want)] != want {
			t.Errorf("%s%d to %d: %+v", want, from, to, flags)
		}
	}
}

// A marker that a reflection pulls away is told alone.
func TestInspectGhost(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 9))
	cfg := sampledata.RandomConfig(rng)
	cfg.Noise.Dropouts = 0
	r := sampledata.Simulate(cfg, rng).Recording
	for _, ghost := range cfg.Club.Markers.Names() {
		var tracks [][]r3.Vec
		for _, name := range r.Markers() {
			track := append([]r3.Vec(nil), r.Track(name)...)
			if name == ghost {
				for f := 500; f < 520; f++ {
					track[f] = r3.Add(track[f], r3.Vec{X: 0.03, Y: 0.04})
				}
			}
			tracks = append(tracks, track)
		}
		spoilt, err := capture.NewRecording(r.Start(), r.Rate(), r.Markers(), tracks, capture.Origin{})
		if err != nil {
			t.Fatal(err)
		}
		flags := told(spoilt, cfg.Club.Markers)
		if len(flags) != 1 || flags[0].Marker != ghost || flags[0].From != r.Time(500) || flags[0].To != r.Time(519) {
			t.Errorf("%s: %+v", ghost, flags)
		}
	}
}

// A head marker that is measured later than the others, by linear interpolation
// between frames, is told with its delay.
func TestInspectTimeSkew(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	cfg := sampledata.RandomConfig(rng)
	cfg.Rate, cfg.Noise, cfg.Gaps = 4000, sampledata.Noise{White: 0.2e-3}, nil
	r := sampledata.Simulate(cfg, rng).Recording
	const late = 0.08e-3 // s
	var tracks [][]r3.Vec
	for _, name := range r.Markers() {
		track := append([]r3.Vec(nil), r.Track(name)...)
		if name == "H3" {
			part := late * r.Rate()
			for f := range track[:len(track)-1] {
				track[f] = r3.Add(r3.Scale(1-part, track[f]), r3.Scale(part, track[f+1]))
			}
		}
		tracks = append(tracks, track)
	}
	skewed, err := capture.NewRecording(r.Start(), r.Rate(), r.Markers(), tracks, capture.Origin{})
	if err != nil {
		t.Fatal(err)
	}
	flags := told(skewed, cfg.Club.Markers)
	want := "markers are not measured at one time in a frame: H3 comes 0.08"
	if len(flags) != 1 || flags[0].Code != capture.TimeSkew || flags[0].Marker != "H3" || !strings.HasPrefix(flags[0].Detail, want) {
		t.Errorf("%+v", flags)
	}
}

// The captures that the simulator outside this repository wrote are clean.
func TestInspectSimulated(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("..", "..", "shared", "captures", "*", "study.json"))
	if err != nil {
		t.Fatal(err)
	}
	if len(paths) == 0 {
		t.Skip("no simulated captures")
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var study struct {
			Clubs []struct {
				ID      string
				Markers struct {
					Grip, Head []string
					Shaft      []struct {
						Name   string
						Offset float64 `json:"offset_mm"`
					}
				}
			}
			Runs []struct{ File, Club string }
		}
		if err := json.Unmarshal(data, &study); err != nil {
			t.Fatal(err)
		}
		for _, run := range study.Runs {
			r, err := capture.ReadFile(filepath.Join(filepath.Dir(path), run.File), capture.Hints{})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range study.Clubs {
				if c.ID != run.Club {
					continue
				}
				set := capture.MarkerSet{Grip: c.Markers.Grip, Head: c.Markers.Head}
				for _, m := range c.Markers.Shaft {
					set.Shaft = append(set.Shaft, capture.ShaftMarker{Name: m.Name, Offset: m.Offset / 1000})
				}
				if flags := told(r, set); flags != nil {
					t.Errorf("%s: %+v", run.File, flags)
				}
			}
		}
	}
}
