package capture

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestReadC3DLabels(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}, 5)
	group := l.entry("POINT", -3, nil)
	read := func(entries ...[]byte) *Recording {
		t.Helper()
		got, err := readBytes(l.file(r, append([][]byte{group}, entries...)...), Hints{})
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	got := read(l.text("LABELS", "A", "", "A", "A_2", "P02", "\x1b[1m\x00"), l.text("LABELS2", "A", "Fu\xdf", "more", "than", "points"), l.text("LABELS4", "lost"))
	want := []string{"A", "P02", "A_3", "A_2", "P02_2", "[1m", "A_4", "Fuß", "more"}
	if !slices.Equal(got.Markers(), want) {
		t.Errorf("names %q, want %q", got.Markers(), want)
	}
	if flags := got.Origin().Flags; len(flags) != 1 || flags[0].Code != LabelSwap ||
		flags[0].Detail != "labels stand twice in the file: point 3 is called A_3, point 5 is called P02_2, point 7 is called A_4" {
		t.Errorf("flags %+v", flags)
	}
	if got := read(l.text("LABELS", "A", "A", "A", "A", "A", "A")).Origin().Flags[0].Detail; !strings.HasSuffix(got, "point 5 is called A_5, and 1 more") {
		t.Errorf("flag %q", got)
	}
	if got := read(); got.Markers()[8] != "P09" || !got.Origin().UnitGuessed {
		t.Errorf("without parameters: %q, %+v", got.Markers(), got.Origin())
	}
	hints := Hints{Rate: 500, Unit: Metre, Columns: map[string]string{"1": "S01"}}
	hinted, err := readBytes(l.file(r), hints)
	if err != nil || hinted.Rate() != 500 || hinted.Start() != 0.25 || hinted.Track("S01") == nil || hinted.Track("2")[0].X < 100 {
		t.Errorf("hints: %v, %v", hinted, err)
	}
	hints.Columns["1"] = "2"
	if _, err := readBytes(l.file(r), hints); err == nil || !strings.Contains(err.Error(), `make "2" of both "1" and "2"`) {
		t.Errorf("colliding names: %v", err)
	}
}

func TestReadC3DUnits(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"A"}, 3)
	for text, want := range map[string]Unit{"MM": Millimetre, " cm": Centimetre, "meters": Metre, "in\x00\x00": Inch} {
		got, err := readBytes(l.file(r, l.entry("POINT", -3, nil), l.text("UNITS", text)), Hints{})
		if err != nil || got.Origin().Unit != want || got.Origin().UnitGuessed {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
}

func TestReadC3DUp(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"A"}, 3)
	for text, want := range map[string]string{"+Z": "+z", "-y": "-y", "X": "+x", "up": "", "": "", "+W": ""} {
		got, err := readBytes(l.file(r, l.entry("POINT", -3, nil), l.text("Y_SCREEN", text)), Hints{})
		if err != nil || got.Origin().Up != want {
			t.Errorf("%q: %v, %v", text, got.Origin().Up, err)
		}
	}
}

// A file whose end is missing is read as far as it goes.
func TestReadC3DTruncated(t *testing.T) {
	want := small(t, []string{"A", "B"}, 100)
	l := intelReal()
	whole := l.file(want)
	begin := c3dBlock * (l.dataBlock - 1)
	for _, frames := range []int{1, 7, 99} {
		got, err := readBytes(whole[:begin+frames*32+31], Hints{})
		if err != nil {
			t.Fatal(err)
		}
		flags := got.Origin().Flags
		detail := fmt.Sprintf("the file breaks off after %d of the 100 frames it announces", frames)
		if got.Frames() != frames || len(flags) != 1 || flags[0] != (Flag{Gap, "", want.Time(frames), want.Time(99), detail}) {
			t.Errorf("%d frames, %+v", got.Frames(), flags)
		}
		if got.Track("B")[frames-1] != got.points[2*frames-1] || isSeen(got.Track("B")[0]) != isSeen(want.Track("B")[0]) {
			t.Errorf("B at %v", got.Track("B"))
		}
	}
}

// Where no point at all is marked as seen, the marks mean nothing.
func TestReadC3DWithoutMarks(t *testing.T) {
	l := intelReal()
	want := small(t, []string{"A", "B"}, 3)
	file := l.file(want)
	for i := c3dBlock*(l.dataBlock-1) + 12; i+4 <= len(file); i += 16 {
		copy(file[i:], l.float(nil, -1))
	}
	got, err := readBytes(file, Hints{})
	if err != nil {
		t.Fatal(err)
	}
	if d := difference(got, want, 1e-6); d != "" {
		t.Error(d)
	}
	if flags := got.Origin().Flags; len(flags) != 1 || flags[0].Code != Gap || !strings.HasPrefix(flags[0].Detail, "the file marks every position as not seen") {
		t.Errorf("%+v", flags)
	}
}

// Frame numbers of the header that wrapped or stopped at 65535.
func TestReadC3DLongCounts(t *testing.T) {
	l := intelReal()
	l.dataBlock = 3
	want := small(t, []string{"A"}, 70000)
	point := l.entry("POINT", -3, nil)
	trial := bytes.ReplaceAll(append(l.words("ACTUAL_START_FIELD", 126, 0), l.words("ACTUAL_END_FIELD", (126+69999)&0xffff, 1)...), []byte{18, 3}, []byte{18, 5})
	trial = bytes.ReplaceAll(trial, []byte{16, 3}, []byte{16, 5})
	trial = append(l.entry("TRIAL", -5, nil), trial...)
	for name, test := range map[string]struct {
		last    int
		entries [][]byte
		frames  int
	}{
		"wrapped":            {(126 + 69999) & 0xffff, [][]byte{point, trial}, 70000},
		"stopped":            {c3dLast, [][]byte{point, trial}, 70000},
		"LONG_FRAMES":        {c3dLast, [][]byte{point, l.single("LONG_FRAMES", 70000)}, 70000},
		"FRAMES":             {100, [][]byte{point, l.words("FRAMES", 60000)}, 60000},
		"trial of old":       {125 + 50000, [][]byte{point, trial}, 50000},
		"no count but 65535": {c3dLast, [][]byte{point}, 70000},
		"no more than there": {c3dLast, [][]byte{point, l.single("LONG_FRAMES", 1e9)}, 70000},
	} {
		file := l.file(want, test.entries...)
		copy(file[8:], l.word(nil, test.last))
		got, err := readBytes(file, Hints{})
		if err != nil || got.Frames() != test.frames && got.Frames()-test.frames > 32 || got.Start() != 0.5 {
			t.Errorf("%s: %v frames from %v, %v", name, got.Frames(), got.Start(), err)
		}
	}
}

func TestReadC3DEvents(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"A"}, 3)
	file := l.file(r)
	copy(file[298:], l.word(l.word(nil, c3dWord), 2))
	copy(file[304:], l.float(l.float(nil, 0.1), 0.2))
	copy(file[396:], "TOP IMP ")
	got, err := readBytes(file, Hints{})
	if want := []Event{{"TOP", 0.1}, {"IMP", 0.2}}; err != nil || !slices.Equal(got.Origin().Events, want) {
		t.Errorf("header: %v, %v", got.Origin().Events, err)
	}
	times := l.float(l.float(l.float(l.float([]byte{4, 2, 2, 2}, 1), 2.5), 0), math.Inf(1))
	file = l.file(r, l.entry("EVENT", -3, nil), l.words("USED", 9), l.text("CONTEXTS", "Right", "GENERAL"), l.text("LABELS", "Impact"), l.entry("TIMES", 3, times))
	got, err = readBytes(file, Hints{})
	if want := []Event{{"Right Impact", 62.5}}; err != nil || !slices.Equal(got.Origin().Events, want) {
		t.Errorf("group: %v, %v", got.Origin().Events, err)
	}
}

func TestReadC3DRefuses(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"A", "B"}, 10)
	point := l.entry("POINT", -3, nil)
	whole := l.file(r)
	put := func(at int, b ...byte) []byte {
		file := slices.Clone(whole)
		copy(file[at:], b)
		return file
	}
	for name, test := range map[string]struct {
		file []byte
		want string
	}{
		"short":              {whole[:600], "found 600 bytes, which hold no header and parameters"},
		"parameters gone":    {put(0, 100), "the parameters are said to be in block 100, which the file does not have"},
		"parameters at head": {put(0, 1), "the parameters are said to be in block 1,"},
		"processor":          {put(c3dBlock+3, 87), "found processor type 87 in the parameters; 84 (Intel), 85 (DEC) or 86 (SGI) is needed"},
		"no points":          {l.file(&Recording{rate: 250, frames: 10}, point), "the file holds 0 points"},
		"no frame numbers":   {put(6, 5, 0, 4, 0), ""},
		"no scale":           {c3dLayout{processor: intel, parameterBlock: 2, dataBlock: 4}.file(r, point), "found a scale of 0"},
		"no rate":            {l.file(&Recording{rate: 0, names: r.names, frames: 10, points: r.points}, point), "found a rate of 0 frames a second; give the rate"},
		"frames gone":        {whole[:c3dBlock*(l.dataBlock-1)+31], "the frames are said to begin at byte 1536, and the file ends at byte 1567"},
		"one block for both": {put(16, 2), "parameters and frames are both said to begin at byte 512"},
		"damaged early":      {put(c3dBlock+4+2+5+2+4, 0x7f), "the parameters are damaged before they name the points, at byte 529, where \"USED"},
		"too far":            {put(c3dBlock*(l.dataBlock-1), l.float(nil, 1e20)...), `found marker "A" at a coordinate beyond 1e+07 m in frame 0`},
	} {
		got, err := readBytes(test.file, Hints{})
		if test.want == "" { // the count of POINT:FRAMES stands in
			if err != nil || got.Frames() != 10 {
				t.Errorf("%s: %v, %v", name, got, err)
			}
			continue
		}
		if err == nil || !strings.HasPrefix(err.Error(), "capture: run.c3d: "+test.want) {
			t.Errorf("%s: %v, want %s", name, err, test.want)
		}
	}
	if _, err := ReadC3D(bytes.NewReader(whole), MaxC3DBytes+1, "run", Hints{}); err == nil || !strings.Contains(err.Error(), "the file is larger than the 1024 MiB that are read") {
		t.Errorf("too large: %v", err)
	}
	if _, err := ReadC3D(strings.NewReader(strings.Repeat("P", 2000)), 2000, "run", Hints{}); err == nil || !strings.Contains(err.Error(), "found no C3D file") {
		t.Errorf("a text: %v", err)
	}
	if _, err := readBytes(whole, Hints{Unit: "mile"}); err == nil || !strings.Contains(err.Error(), "the unit hint") {
		t.Errorf("a bad hint: %v", err)
	}
	// A disk that breaks at any byte.
	for at := range len(whole) {
		if _, err := Read(brokenDisk{bytes.NewReader(whole), int64(at)}, int64(len(whole)), "run", Hints{}); !errors.Is(err, errBroken) {
			t.Fatalf("a disk broken at byte %d: %v", at, err)
		}
	}
}

// Parameters that are damaged after the labels leave the points readable.
func TestReadC3DDamagedParameters(t *testing.T) {
	l := intelReal()
	r := small(t, []string{"A", "B"}, 10)
	at := 1 + bytes.Index(l.file(r), []byte("UNITS"))
	file := l.file(r)
	copy(file[at+len("UNITS")-1:], []byte{3, 0, 99})
	got, err := readBytes(file, Hints{})
	if err != nil {
		t.Fatal(err)
	}
	if flags := got.Origin().Flags; len(flags) != 1 || flags[0].Code != Damaged || !strings.HasPrefix(flags[0].Detail, "the parameters are damaged at byte ") || !strings.HasSuffix(flags[0].Detail, `where "UNITS" runs past their end; they were read up to there`) {
		t.Errorf("%+v", flags)
	}
}

var errBroken = errors.New("the disk is broken")

// brokenDisk fails to read a byte.
type brokenDisk struct {
	io.ReaderAt
	at int64
}

func (d brokenDisk) ReadAt(b []byte, offset int64) (int, error) {
	if offset <= d.at && d.at < offset+int64(len(b)) {
		return 0, errBroken
	}
	return d.ReaderAt.ReadAt(b, offset)
}

// Reading takes memory by the size of the file, whatever the header claims.
func TestReadC3DAllocates(t *testing.T) {
	l := c3dLayout{processor: intel, scale: 0.1, parameterBlock: 2, dataBlock: 3}
	crowd := l.file(&Recording{rate: 100, frames: 1, names: make([]string, 65535), points: make([]r3.Vec, 65535)}, l.entry("POINT", -3, nil))
	giant := intelReal().file(small(t, []string{"A"}, 2))
	copy(giant[6:], []byte{1, 0, 0xff, 0xff})
	for name, file := range map[string][]byte{"65535 points": crowd, "65535 frames": giant} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := readBytes(file, Hints{Unit: Metre}); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		if grown := after.TotalAlloc - before.TotalAlloc; grown > 64*uint64(len(file)) {
			t.Errorf("%s: allocated %d bytes for a file of %d", name, grown, len(file))
		}
	}
}

// What a file is, its first bytes say and not its name.
func TestReadTellsTextFromC3D(t *testing.T) {
	want := small(t, []string{"A", "B"}, 5)
	var text, binary bytes.Buffer
	if err := errors.Join(WriteText(&text, want), WriteC3D(&binary, want)); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"C3D":           binary.Bytes(),
		"text":          text.Bytes(),
		"tab P":         []byte("\tP1\t\t\n\tX\tY\tZ\n\tmm\tmm\tmm\n1\t1\t2\t3\n"),
		"UTF-16 of a P": encode("P1_x,P1_y,P1_z\n1,2,3\n", "utf-16le"),
	} {
		r, err := readBytes(data, Hints{Rate: 250})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if isBinary := r.Origin().Layout == "c3d"; isBinary != (name == "C3D") {
			t.Errorf("%s: read as %s", name, r.Origin().Layout)
		}
	}
	if _, err := readBytes(nil, Hints{}); err == nil || !strings.Contains(err.Error(), "the file is empty") {
		t.Errorf("nothing: %v", err)
	}
	if _, err := Read(brokenDisk{bytes.NewReader(text.Bytes()), 1}, int64(text.Len()), "run", Hints{}); !errors.Is(err, errBroken) {
		t.Errorf("a broken disk: %v", err)
	}
	if _, err := Read(bytes.NewReader(text.Bytes()), int64(text.Len())+1, "run", Hints{}); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("a file that shrank: %v", err)
	}
}

func benchmarkC3D(b *testing.B, l c3dLayout) {
	names := make([]string, 40)
	for i := range names {
		names[i] = fmt.Sprintf("M%02d", i)
	}
	l.parameterBlock, l.dataBlock = 2, 12
	file := l.file(small(b, names, 5000))
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := readBytes(file, Hints{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadC3DReal(b *testing.B) { benchmarkC3D(b, c3dLayout{processor: intel, scale: -1}) }
func BenchmarkReadC3DInteger(b *testing.B) {
	benchmarkC3D(b, c3dLayout{processor: intel, scale: 0.1})
}
func BenchmarkReadC3DDECReal(b *testing.B) { benchmarkC3D(b, c3dLayout{processor: dec, scale: -1}) }
func BenchmarkReadC3DSGIReal(b *testing.B) { benchmarkC3D(b, c3dLayout{processor: sgi, scale: -1}) }
