package capture

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestWriteText(t *testing.T) {
	tracks := [][]r3.Vec{
		{{X: 0.0430565, Y: -0.1374757, Z: 1.0128007}, unseen, {X: 0, Y: 1e-10, Z: -1e-10}},
		{{X: 1, Y: 0, Z: -0.5}, {X: 1e-9, Y: -1e-10, Z: 12345.6789}, {X: math.NaN(), Y: 1, Z: 1}},
	}
	r, err := NewRecording(-0.0004, 2500, []string{"S01", `a "b", c`}, tracks, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := WriteText(&b, r); err != nil {
		t.Fatal(err)
	}
	want := lines(
		`time_s,S01_x,S01_y,S01_z,"a ""b"", c_x","a ""b"", c_y","a ""b"", c_z"`,
		"-0.000400,43.0565,-137.4757,1012.8007,1000,0,-500",
		"0.000000,,,,0.000001,0,12345678.9",
		"0.000400,0.0000005,0,0,,,",
	)
	if b.String() != want {
		t.Errorf("\n got %s\nwant %s", b.String(), want)
	}
}

// A recording that was written reads back to within 1e-6 mm.
func TestWriteTextReadsBack(t *testing.T) {
	for _, rate := range []float64{2500, 239.76, 7199.123456, 1e5} {
		names := []string{"G1", "S_01", "Kopf ü", "x", "a;b", "club:S02"}
		want, err := NewRecording(1.23456789, rate, names, swing(len(names), 400), Origin{})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := WriteText(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := ReadText(&b, "run", Hints{})
		if err != nil {
			t.Fatal(err)
		}
		if d := difference(got, want, 1e-9); d != "" {
			t.Errorf("at %v Hz: %s", rate, d)
		}
	}
}

type fullDisk struct{}

var errFull = errors.New("the disk is full")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestWriteTextFails(t *testing.T) {
	if err := WriteText(fullDisk{}, sample()); !errors.Is(err, errFull) {
		t.Errorf("a small recording: %v", err)
	}
	r, err := NewRecording(0, 250, []string{"A"}, swing(1, 10000), Origin{})
	if err != nil {
		t.Fatal(err)
	}
	if err := WriteText(fullDisk{}, r); !errors.Is(err, errFull) {
		t.Errorf("a large recording: %v", err)
	}
}

// Whatever the bytes, ReadText does not panic, its error is one sentence, its
// recording is bounded by the size of the file, and what it reads survives
// being written and read again.
func FuzzReadText(f *testing.F) {
	for _, table := range []string{"NAME_x", "NAME X [UNIT]", "stacked", "long", "long by marker"} {
		for _, clock := range []string{"time", "frame", "none"} {
			f.Add(layout{table, ",", ".", "utf-8", "\n", clock, "", Millimetre, false}.write(sample()))
			f.Add(layout{table, ";", ",", "utf-16le", "\r\n", clock, "NaN", Metre, true}.write(sample()))
		}
	}
	f.Add([]byte("time,A_x,A_y,A_z,A_vel_x,A_vel_y,A_vel_z\n0,1,2,3,\"4\",5,6\n1e-1,0,0,0,,,\n"))
	f.Add([]byte("Rate\t5\n\tA\n#\tX\tY\tZ\n2\t\t\t\n9\t\t\t")) // a rate that is not round, of round times
	f.Add([]byte("Rate\t250\n\tA\t\t\n#\tX1\tY1\tZ1\n\n1\t1\t2\t3\n9\t1\t2\t3\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadText(bytes.NewReader(data), "fuzz", Hints{})
		if err != nil {
			if s := err.Error(); !strings.HasPrefix(s, "capture: fuzz") || strings.Contains(s, "\n") {
				t.Fatalf("error %q", s)
			}
			return
		}
		if size := 24 * r.Frames() * len(r.Markers()); size > 64*len(data) {
			t.Fatalf("%d bytes for a file of %d", size, len(data))
		}
		for _, name := range r.Markers() {
			if head, last := cutLast(name); derivativeWords[strings.ToLower(last)] && slices.Contains(r.Markers(), head) {
				return // written side by side, they look like a marker and its velocity
			}
		}
		var b bytes.Buffer
		if err := WriteText(&b, r); err != nil {
			t.Fatal(err)
		}
		hints := Hints{Delimiter: ",", DecimalMark: ".", Unit: Millimetre}
		if r.Frames() == 1 {
			hints.Rate = r.Rate()
		}
		got, err := ReadText(bytes.NewReader(b.Bytes()), "again", hints)
		if err != nil {
			t.Fatalf("%v in\n%s", err, b.Bytes())
		}
		if !slices.Equal(got.Markers(), r.Markers()) || got.Frames() != r.Frames() {
			t.Fatalf("%q in %d frames, want %q in %d", got.Markers(), got.Frames(), r.Markers(), r.Frames())
		}
		for _, i := range []int{0, r.Frames() - 1} {
			if off := math.Abs(got.Time(i) - r.Time(i)); off > 0.01/r.Rate() {
				t.Fatalf("frame %d at %v s, want %v s, rate %v", i, got.Time(i), r.Time(i), r.Rate())
			}
		}
		for i, p := range r.points {
			// 1e-6 mm, and the rounding of a number far from 0.
			q := got.points[i]
			if isSeen(q) != isSeen(p) || isSeen(p) && r3.Norm(r3.Sub(q, p)) > 2e-9+4*0x1p-52*r3.Norm(p) {
				t.Fatalf("point %d at %v, want %v", i, q, p)
			}
		}
	})
}

func benchmarkText(b *testing.B, table, dialect, newline string) {
	names := []string{"G1", "G2", "G3", "S01", "S02", "S03", "S04", "S05", "S06", "S07", "S08", "S09", "H1", "H2", "H3"}
	tracks := swing(len(names), 5000)
	for _, track := range tracks {
		for i, p := range track { // to four decimals in mm, as is common
			track[i] = r3.Vec{X: math.Round(p.X*1e7) / 1e7, Y: math.Round(p.Y*1e7) / 1e7, Z: math.Round(p.Z*1e7) / 1e7}
		}
	}
	r, err := NewRecording(0, 2500, names, tracks, Origin{})
	if err != nil {
		b.Fatal(err)
	}
	l := layout{table, dialect[:1], dialect[1:], "utf-8", newline, "time", "", Millimetre, false}
	text := bytes.ReplaceAll(l.write(r), []byte("00"+l.delimiter), []byte(l.delimiter))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadText(bytes.NewReader(text), "run", Hints{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadTextWide(b *testing.B)      { benchmarkText(b, "NAME_x", ",.", "\n") }
func BenchmarkReadTextSemicolon(b *testing.B) { benchmarkText(b, "NAME X [UNIT]", ";,", "\r\n") }
func BenchmarkReadTextLong(b *testing.B)      { benchmarkText(b, "long", ",.", "\n") }

func BenchmarkWriteText(b *testing.B) {
	r, err := NewRecording(0, 2500, []string{"A", "B", "C", "D"}, swing(4, 5000), Origin{})
	if err != nil {
		b.Fatal(err)
	}
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := WriteText(&out, r); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}

func BenchmarkInspect(b *testing.B) {
	set := club(16)
	var names []string
	for _, m := range set.Shaft {
		names = append(names, m.Name)
	}
	r, err := NewRecording(0, 2500, names, swing(len(names), 5000), Origin{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Inspect(r, set)
	}
}
