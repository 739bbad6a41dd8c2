package capture

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// sampled reads a file of the sample set of the C3D standard (c3d.org), which
// is not part of this repository.
func sampled(t *testing.T, name string) *Recording {
	t.Helper()
	path := filepath.Join("..", "..", "shared", "c3d", filepath.FromSlash(name))
	if _, err := os.Stat(path); err != nil {
		t.Skipf("no sample set: %v", err)
	}
	r, err := ReadFile(path, Hints{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// speed returns the speed of a marker in a frame, m/s, between the frames
// beside it.
func speed(r *Recording, name string, f int) float64 {
	track := r.Track(name)
	return r3.Norm(r3.Sub(track[f+1], track[f-1])) * r.Rate() / 2
}

// peak returns the frame in which a marker is fastest, and its speed.
func peak(r *Recording, name string) (frame int, fastest float64) {
	for f := 1; f < r.Frames()-1; f++ {
		if v := speed(r, name, f); v > fastest {
			frame, fastest = f, v
		}
	}
	return frame, fastest
}

// One recording in three byte orders and two kinds of numbers.
func TestC3DSampleProcessors(t *testing.T) {
	const step = 0.28118187e-3 // what an integer is worth in them, m
	want := sampled(t, "processors/pc_real.c3d")
	if len(want.Markers()) != 36 || want.Frames() != 89 || want.Rate() != 50 || want.Origin().Up != "+z" {
		t.Errorf("%d markers, %d frames, %v Hz", len(want.Markers()), want.Frames(), want.Rate())
	}
	for _, p := range []string{"pc", "dec", "sgi"} {
		for _, kind := range []string{"int", "real"} {
			got := sampled(t, "processors/"+p+"_"+kind+".c3d")
			if d := difference(got, want, math.Sqrt(3)*step); d != "" {
				t.Errorf("%s %s: %s", p, kind, d)
			}
			// The header of dec_int has one event less.
			if n := len(got.Origin().Events); !slices.Equal(got.Origin().Events, want.Origin().Events[:n]) || n < 8 {
				t.Errorf("%s %s: events %v, want %v", p, kind, got.Origin().Events, want.Origin().Events)
			}
		}
	}
}

// The second file has its parameters and frames moved.
func TestC3DSampleMovedBlocks(t *testing.T) {
	want, got := sampled(t, "EB015PI.c3d"), sampled(t, "TESTDPI.c3d")
	if d := difference(got, want, 0); d != "" || len(want.Markers()) != 26 || want.Frames() != 450 {
		t.Errorf("%d markers, %d frames: %s", len(want.Markers()), want.Frames(), d)
	}
	if events := []Event{{"RIC", 2.72}, {"RHS", 5.4}, {"RTO", 7.32}}; !slices.Equal(got.Origin().Events, events) {
		t.Errorf("events %v", got.Origin().Events)
	}
}

// A club whose markers the system lost around impact.
func TestC3DSampleGolfSwing(t *testing.T) {
	r := sampled(t, "golfswing1.c3d")
	if len(r.Markers()) != 29 || r.Frames() != 513 || math.Abs(r.Rate()-107.527) > 1e-3 || r.Origin().Unit != Millimetre {
		t.Errorf("%d markers, %d frames, %v Hz, %s", len(r.Markers()), r.Frames(), r.Rate(), r.Origin().Unit)
	}
	if f, v := peak(r, "Channel801"); f < 316 || f > 320 || math.Abs(v-23.6) > 0.5 {
		t.Errorf("the head reaches %v m/s in frame %d", v, f)
	}
	set := MarkerSet{
		Grip:  []string{"Channel804", "Channel805"},
		Shaft: []ShaftMarker{{Name: "Channel808", Station: 0.5}, {Name: "Channel807", Station: 0.8}},
		Head:  []string{"Channel802", "Channel801"},
	}
	// No frame of it repeats the one before, so that no flag tells of any: one
	// in which every point that is seen stands where it did would be one.
	for f := 1; f < r.Frames(); f++ {
		moved, seen := false, 0
		for _, name := range r.Markers() {
			p, q := r.Track(name)[f-1], r.Track(name)[f]
			if isSeen(p) && isSeen(q) {
				seen++
				moved = moved || p != q
			}
		}
		if seen > 0 && !moved {
			t.Errorf("frame %d repeats the one before", f)
		}
	}
	found := false
	for _, f := range Inspect(r, set) {
		if f.Code != LabelSwap {
			t.Errorf("%+v", f)
		}
		if f.Marker == "Channel808" && f.From < r.Time(305) && f.To > r.Time(340) {
			found = true
			if !strings.HasPrefix(f.Detail, "the distance of Channel808 and Channel807 is off by up to 150 mm for ") {
				t.Error(f.Detail)
			}
		}
	}
	if !found {
		t.Error("the distance that breaks around impact is not told")
	}
	if other := sampled(t, "golfswing.c3d"); other.Frames() != 514 || len(other.Markers()) != 29 {
		t.Errorf("the twin has %d frames of %d markers", other.Frames(), len(other.Markers()))
	}
}

// A club and a ball, with no unit and no point marked as seen.
func TestC3DSampleGolf(t *testing.T) {
	r := sampled(t, "golf.c3d")
	if len(r.Markers()) != 21 || r.Frames() != 137 || r.Rate() != 200 {
		t.Errorf("%d markers, %d frames, %v Hz", len(r.Markers()), r.Frames(), r.Rate())
	}
	if o := r.Origin(); o.Unit != Metre || !o.UnitGuessed || len(o.Flags) != 1 {
		t.Errorf("%+v", o)
	}
	// The head is the fastest of what does not jump.
	var speeds []float64
	for _, name := range r.Markers() {
		_, v := peak(r, name)
		speeds = append(speeds, v)
	}
	if !slices.ContainsFunc(speeds, func(v float64) bool { return v > 40 && v < 46 }) {
		t.Errorf("fastest speeds %v", speeds)
	}
}

func TestC3DSamplePlanar(t *testing.T) {
	r := sampled(t, "planar-1000hz.c3d")
	if !slices.Equal(r.Markers(), []string{"Right_Hand", "Left_Hand"}) || r.Frames() != 5065 || r.Rate() != 1000 || r.Origin().Unit != Metre {
		t.Errorf("%q, %d frames, %v Hz, %s", r.Markers(), r.Frames(), r.Rate(), r.Origin().Unit)
	}
}

// The axes of the tools are rigid: 20.0 mm long to within 0.016 mm, as the
// sample set says, in three integer steps of 0.048 mm / √3 each way at most.
func TestC3DSampleTools(t *testing.T) {
	r := sampled(t, "tools-60hz.c3d")
	if len(r.Markers()) != 37 || r.Frames() != 1162 || r.Rate() != 60 {
		t.Errorf("%d markers, %d frames, %v Hz", len(r.Markers()), r.Frames(), r.Rate())
	}
	for _, tool := range []string{"Tools:TOOL1", "Tools:TOOL2"} {
		var square, n float64
		for i, p := range r.Track(tool) {
			if d := r3.Norm(r3.Sub(r.Track(tool + "Y")[i], p)); !math.IsNaN(d) {
				square += (d - 0.020) * (d - 0.020)
				n++
			}
		}
		if rms := math.Sqrt(square / n); !(rms < 0.03e-3) {
			t.Errorf("%s: axis off 20 mm by %v m rms in %v frames", tool, rms, n)
		}
	}
}

func TestC3DSampleBadParameters(t *testing.T) {
	flags := sampled(t, "bad_parameter_section.c3d").Origin().Flags
	want := `the parameters are damaged at byte 5564, where "LABELS" runs past their end; they were read up to there`
	if len(flags) != 1 || flags[0].Code != Damaged || flags[0].Detail != want {
		t.Errorf("%+v", flags)
	}
}

// What is read from every sample survives being written and read again.
func TestC3DSamplesReadBack(t *testing.T) {
	for _, name := range []string{"EB015PI", "bad_parameter_section", "golf", "golfswing1", "planar-1000hz", "tools-60hz", "processors/dec_int"} {
		want := sampled(t, name+".c3d")
		var b strings.Builder
		if err := WriteC3D(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := readBytes([]byte(b.String()), Hints{})
		if err != nil {
			t.Fatal(err)
		}
		if d := difference(got, want, 10*0x1p-23); d != "" {
			t.Errorf("%s: %s", name, d)
		}
		if g, w := fmt.Sprint(got.Origin().Events), fmt.Sprint(want.Origin().Events); g != w || got.Origin().Up != want.Origin().Up {
			t.Errorf("%s: events %s, want %s", name, g, w)
		}
	}
}
