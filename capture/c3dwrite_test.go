package capture

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// More frames and more markers than a header and a parameter hold.
func TestC3DReadsBack(t *testing.T) {
	var many []string
	for i := range 700 {
		many = append(many, fmt.Sprintf("M%03d%s", i, strings.Repeat("é", i%60)))
	}
	events := []Event{{"Impact", 61.25}, {"", 0.5}, {"Top of swing ⛳", 0}}
	for _, test := range []struct {
		names       []string
		frames      int
		start, rate float64
		up          string
		events      []Event
	}{
		{[]string{"A"}, 1, 0, 1, "", nil},
		{[]string{"G1", "S 01", "Kopf ü", "a,b", "*3"}, 500, 72 / 239.76, 239.76, "-y", events},
		{many, 3, 2, 2500, "+x", events[:1]},
		{[]string{"A", "B"}, 65535, 0, 1000, "+z", nil},
		{[]string{"A", "B"}, 65536, 0, 1000, "+z", nil},
		{[]string{"A"}, 200000, 70, 1000, "+z", nil},
		{[]string{"A"}, 3, 1000, 1000, "", nil},
	} {
		tracks := swing(len(test.names), test.frames)
		hide(tracks[0], test.frames/2)
		want, err := NewRecording(test.start, test.rate, test.names, tracks, Origin{Up: test.up, Events: test.events})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := WriteC3D(&b, want); err != nil {
			t.Fatal(err)
		}
		if b.Len()%c3dBlock != 0 {
			t.Errorf("%d frames: %d bytes are no whole number of blocks", test.frames, b.Len())
		}
		got, err := readBytes(b.Bytes(), Hints{})
		if err != nil {
			t.Fatal(err)
		}
		// Half of the last place of float32, for coordinates up to that of the last marker.
		largest := max(3, 0.1*float64(len(test.names)))
		if d := difference(got, want, math.Sqrt(3)*largest*0x1p-24); d != "" {
			t.Errorf("%d frames of %d markers: %.300s", test.frames, len(test.names), d)
		}
		if o := got.Origin(); o.Up != test.up || o.Unit != Millimetre || o.Encoding != "intel real" || o.Flags != nil || !reflect.DeepEqual(o.Events, test.events) {
			t.Errorf("%d frames: %+v", test.frames, o)
		}
	}
}

// What C3D cannot hold is moved as the writer says.
func TestWriteC3DMoves(t *testing.T) {
	r, err := NewRecording(-0.0014, 1000, []string{" A\tB ", "  "}, [][]r3.Vec{{{}, {X: 1}}, {unseen, {Y: 2}}}, Origin{Events: []Event{{"Impact", 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteC3D(&b, r); err != nil {
		t.Fatal(err)
	}
	got, err := readBytes(b.Bytes(), Hints{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Start() != 0 || !slices.Equal(got.Markers(), []string{"A B", "P02"}) || got.Track("A B")[0] != (r3.Vec{X: float64(float32(5e-7)) / 1000}) {
		t.Errorf("start %v, markers %q, A at %v", got.Start(), got.Markers(), got.Track("A B")[0])
	}
	if e := got.Origin().Events[0]; math.Abs(e.Time-0.1014) > 1e-8 {
		t.Errorf("event at %v s", e.Time)
	}
}

func TestWriteC3DRefuses(t *testing.T) {
	long := strings.Repeat("x", 256)
	var many []string
	for i := range 600 {
		many = append(many, fmt.Sprintf("%0250d", i))
	}
	for _, test := range []struct {
		names  []string
		track  []r3.Vec
		start  float64
		events []Event
		want   string
	}{
		{[]string{long}, []r3.Vec{{}}, 0, nil, `the name "` + long[:40] + `…" is longer than the 255 bytes`},
		{many, []r3.Vec{{}}, 0, nil, "the names of the markers do not fit"},
		{[]string{"A"}, nil, 0, nil, "1 markers in 0 frames do not fit"},
		{[]string{"A"}, []r3.Vec{{X: 1e38}}, 0, nil, `marker "A" is at {1e+38 0 0} m in frame 0, too far`},
		{[]string{"A"}, []r3.Vec{{}}, 1e9, nil, "the start of 1e+09 s is too far"},
		{[]string{"A"}, []r3.Vec{{}}, 0, []Event{{Label: long}}, "is longer than the 127 bytes"},
		{[]string{"A"}, []r3.Vec{{}}, 0, make([]Event, 256), "255 events; 256 are too many"},
	} {
		tracks := make([][]r3.Vec, len(test.names))
		for i := range tracks {
			tracks[i] = test.track
		}
		r, err := NewRecording(test.start, 1000, test.names, tracks, Origin{Events: test.events})
		if err != nil {
			t.Fatal(err)
		}
		if err := WriteC3D(io.Discard, r); err == nil || !strings.HasPrefix(err.Error(), "capture: ") || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v, want %s", err, test.want)
		}
	}
	for _, frames := range []int{1, 10000} {
		if err := WriteC3D(fullDisk{}, small(t, []string{"A"}, frames+1)); !errors.Is(err, errFull) {
			t.Errorf("full disk: %v", err)
		}
	}
}

// Whatever the bytes, ReadC3D does not panic, its error is one sentence, its
// recording is bounded by the size of the file, and what it reads survives
// being written and read again.
func FuzzReadC3D(f *testing.F) {
	r := small(f, []string{"G1", "S01", "x"}, 4)
	for _, p := range []processor{intel, dec, sgi} {
		for _, scale := range []float64{-1, 0.1} {
			f.Add(c3dLayout{p, scale, 2, 3, 3, p == sgi, p == dec}.file(r))
		}
	}
	var b bytes.Buffer
	r.origin = Origin{Up: "+z", Events: []Event{{"Impact", 0.1}}}
	if err := WriteC3D(&b, r); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadC3D(bytes.NewReader(data), int64(len(data)), "fuzz", Hints{})
		if err != nil {
			if s := err.Error(); !strings.HasPrefix(s, "capture: fuzz: ") || strings.Contains(s, "\n") {
				t.Fatalf("error %q", s)
			}
			return
		}
		if size := 24 * r.Frames() * len(r.Markers()); size > 3*len(data) {
			t.Fatalf("%d bytes for a file of %d", size, len(data))
		}
		var b bytes.Buffer
		if err := WriteC3D(&b, r); err != nil {
			return // numbers that only fit in the unit of the file, long events
		}
		got, err := readBytes(b.Bytes(), Hints{})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got.Markers(), r.Markers()) || got.Frames() != r.Frames() || float32(got.Rate()) != float32(r.Rate()) {
			t.Fatalf("%q in %d frames at %v, want %q in %d at %v", got.Markers(), got.Frames(), got.Rate(), r.Markers(), r.Frames(), r.Rate())
		}
		for i, p := range r.points {
			// Half of the last place of float32, and of its smallest number.
			if q := got.points[i]; isSeen(q) != isSeen(p) || isSeen(p) && r3.Norm(r3.Sub(q, p)) > 0x1p-23*r3.Norm(p)+1e-9 {
				t.Fatalf("point %d at %v, want %v", i, q, p)
			}
		}
	})
}

func BenchmarkWriteC3D(b *testing.B) {
	r := small(b, []string{"A", "B", "C", "D"}, 5000)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := WriteC3D(&out, r); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}
