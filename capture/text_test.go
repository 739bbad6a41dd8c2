package capture

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"testing/iotest"
)

// lines joins lines of text, each with its end.
func lines(l ...string) string { return strings.Join(l, "\n") + "\n" }

// drifting returns rows whose steps grow from 100 to 160 ms by and by, each
// step near to that of the median.
func drifting() string {
	var b strings.Builder
	t := 0
	for i := range 61 {
		fmt.Fprintf(&b, "%d.%03d,1,2,3\n", t/1000, t%1000)
		t += 100 + i
	}
	return b.String()
}

// Everything that is not a capture is refused with one sentence that says
// where, what was found and what is needed.
func TestReadTextRefuses(t *testing.T) {
	wide := "time_s,A_x,A_y,A_z"
	long := "time_s,marker,x,y,z"
	for _, test := range []struct{ name, text, want string }{
		{"empty", "", "capture: run.csv: the file is empty; a header and rows of numbers are needed"},
		{"blank", "\n \r\n\n", "capture: run.csv: the file is empty; a header and rows of numbers are needed"},
		{"header only", lines(wide), "capture: run.csv, line 1: found a header and nothing below it; rows of numbers are needed"},
		{"long header only", lines("Rate,250", "", long), "capture: run.csv, line 3: found a header and nothing below it; rows of numbers are needed"},
		{"prose", lines("", "Dear all, the shafts, as agreed, will be measured next week."),
			`capture: run.csv, line 2: found "Dear all, the shafts, as agreed, will be…" and no header; a row that names time and marker columns is needed, set apart by commas, semicolons or tabs, such as time_s,S01_x,S01_y,S01_z or time,marker,x,y,z`},
		{"numbers without a header", lines("0,1,2,3", "1,1,2,3"),
			`capture: run.csv, line 1: found "0,1,2,3" and no header; a row that names time and marker columns is needed, set apart by commas, semicolons or tabs, such as time_s,S01_x,S01_y,S01_z or time,marker,x,y,z`},
		{"no triple", lines("time_s,A_x,A_y,B_z,load", "0,1,2,3,4"),
			`capture: run.csv, line 1: found "time_s,A_x,A_y,B_z,load" and no header; a row that names time and marker columns is needed, set apart by commas, semicolons or tabs, such as time_s,S01_x,S01_y,S01_z or time,marker,x,y,z`},
		{"binary", "time_s,A_x\x00\x01\x02\x03", "capture: run.csv: found NUL bytes, so this is a binary file; a text capture is needed"},
		{"C3D", "\x02P\x00\x13\x00\x00\x01\x00", "capture: run.csv: found a C3D file, which is binary; this reads text captures only"},
		{"workbook", "PK\x03\x04\x14\x00\x06\x00", "capture: run.csv: found a zip archive or workbook; save its sheet as CSV text"},
		{"too few cells", lines(wide, "0,1,2,3", "0.1,1,2"), "capture: run.csv, line 3: found 3 cells where the header has 4; every row needs one for each column"},
		{"too many cells", lines(wide, "0,1,2,3", "0.1,1,2,3,4"), "capture: run.csv, line 3: found 5 cells where the header has 4; every row needs one for each column"},
		{"cut short", wide + "\n0,1,2,3\n0.1,1", "capture: run.csv, line 3: the file breaks off in its last line, after 2 of 4 cells; a whole file is needed"},
		{"ragged long", lines(long, "0,A,1,2"), "capture: run.csv, line 2: found 4 cells where the header has 5; every row needs one for each column"},
		{"text in a number", lines(wide, "0,1,2,3", "# a remark", "", "0.1,1,oops,3"), `capture: run.csv, line 5: found "oops" in column 3 (A_y) where a number is needed`},
		{"text after a number", lines(wide, "0,1,2,3mm"), `capture: run.csv, line 2: found "3mm" in column 4 (A_z) where a number is needed`},
		{"infinite", lines(wide, "0,1,2,inf"), `capture: run.csv, line 2: found "inf" in column 4 (A_z) where a number is needed`},
		{"hexadecimal", lines(wide, "0,1,2,0x1p4"), `capture: run.csv, line 2: found "0x1p4" in column 4 (A_z) where a number is needed`},
		{"too large a number", lines(wide, "0,1,2,1e999"), `capture: run.csv, line 2: found "1e999" in column 4 (A_z) where a number is needed`},
		{"text in a long number", lines(long, "0,A,1,x,3"), `capture: run.csv, line 2: found "x" in column 4 (y) where a number is needed`},
		{"not on Earth", lines("time_s,A_x [m],A_y [m],A_z [m]", "0,1,2,3", "0.1,1,2,1e9"), `capture: run.csv: found marker "A" at a coordinate beyond 1e+07 m in frame 1; a capture in mm, cm, m or inches is needed`},
		{"time goes back", lines(wide, "0,1,2,3", "0.1,1,2,3", "0.05,1,2,3"), "capture: run.csv, line 4: the time goes back from 0.1 s to 0.05 s; rows must follow one another in time"},
		{"time repeats", lines(wide, "0.00,1,2,3", "0.10,1,2,3", "0.10,1,2,3", "0.20,1,2,3"), "capture: run.csv, line 4: the time 0.1 s repeats; rows must follow one another in time"},
		{"time stands still", lines(wide, "7,1,2,3", "7,1,2,3"), "capture: run.csv, line 3: the time stands still at 7 s; rows must follow one another in time"},
		{"time is irregular", lines(wide, "0.00,1,2,3", "0.10,1,2,3", "0.20,1,2,3", "0.30,1,2,3", "0.45,1,2,3", "0.55,1,2,3"),
			"capture: run.csv, line 6: the time steps from 0.3 s to 0.45 s, not a whole number of frames at 10 frames a second; a steady rate is needed"},
		{"time missing", lines(wide, "0,1,2,3", ",1,2,3"), "capture: run.csv, line 3: found a row without its time or frame number; every row needs one"},
		{"marker's time goes back", lines(long, "0,A,1,2,3", "0.1,A,1,2,3", "0.1,B,1,2,3", "0,A,1,2,3"),
			`capture: run.csv, line 5: the time of marker "A" goes from 0.1 back to 0; the rows of a marker must follow one another in time, each time once`},
		{"marker twice at a time", lines(long, "0,A,1,2,3", "0,A,1,2,3"),
			`capture: run.csv, line 3: the time of marker "A" goes from 0 back to 0; the rows of a marker must follow one another in time, each time once`},
		{"row without marker", lines(long, "0,,1,2,3"), "capture: run.csv, line 2: found no marker name; every row of a long table needs one"},
		{"long without a clock", lines("marker,x,y,z", "A,1,2,3"), `capture: run.csv, line 1: found a header of "marker x y z" with neither a time nor a frame column; a table with one marker a row needs one of them`},
		{"frames go back", lines("Rate,250", "frame,A_x,A_y,A_z", "1,1,2,3", "2,1,2,3", "2,1,2,3"), "capture: run.csv, line 5: found frame 2 after frame 2; frame numbers must rise"},
		{"half a frame", lines("Rate,250", "frame,A_x,A_y,A_z", "1,1,2,3", "1.5,1,2,3"), "capture: run.csv, line 4: found frame number 1.5 where a whole number is needed"},
		{"no rate", lines("frame,A_x,A_y,A_z", "1,1,2,3", "2,1,2,3"),
			`capture: run.csv: found no rate: neither a time column nor a line such as "rate,2500" before the header; add one, or give the rate where the file is brought in`},
		{"one row", lines(wide, "0,1,2,3"), `capture: run.csv, line 2: found one row, which tells no rate; two rows or more are needed, or a line such as "rate,2500" before the header`},
		{"far in time", lines("Rate,1e6", "frame,A_x,A_y,A_z", "9007199254740000,1,2,3"), "capture: run.csv, line 3: the time 9.00719925474e+09 s is too far from 0 to tell frames apart at 1e+06 frames a second"},
		{"a rate that drifts", wide + "\n" + drifting(), "capture: run.csv, line 32: the time 3.435 s is off a steady rate of 7.72201 frames a second by more than a frame; a steady rate is needed"},
		{"duplicate marker", lines("time_s,A_x,A_y,A_z,A_x,A_y,A_z", "0,1,2,3,1,2,3"), `capture: run.csv, line 1: the marker name "A" stands twice; every marker needs a name of its own`},
		{"duplicate stacked marker", lines("\tA\t\t\tA\t\t", "t\tX\tY\tZ\tX\tY\tZ", "0\t1\t2\t3\t1\t2\t3"), `capture: run.csv, line 2: the marker name "A" stands twice; every marker needs a name of its own`},
		{"duplicate column", lines("time,marker,x,y,z,x", "0,A,1,2,3,1"), `capture: run.csv, line 1: the column "x" stands twice`},
		{"two units", lines("time_s,A_x_mm,A_y_mm,A_z_mm,B_x_m,B_y_m,B_z_m", "0,1,2,3,1,2,3"), `capture: run.csv, line 1: column "B_x_m" is in m where others are in mm; one unit of length is needed`},
		{"a jump in time", lines(wide, "0,1,2,3", "0.1,1,2,3", "0.2,1,2,3", "1e6,1,2,3"), "capture: run.csv, line 5: the file skips 9999997 frames here; so long a gap is refused, since a recording holds every frame"},
		{"a jump out of this world", lines(wide, "0,1,2,3", "0.1,1,2,3", "0.2,1,2,3", "1e300,1,2,3"), "capture: run.csv, line 5: the time jumps from 0.2 s to 1e+300 s, which is too long a gap"},
		{"a jump in frames", lines("Rate,250", "frame,A_x,A_y,A_z", "1,1,2,3", "2,1,2,3", "90000000,1,2,3"), "capture: run.csv, line 5: the file skips 89999997 frames here; so long a gap is refused, since a recording holds every frame"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := ReadText(strings.NewReader(test.text), "run.csv", Hints{})
			if err == nil {
				t.Fatalf("read %d frames, want the error %q", got.Frames(), test.want)
			}
			if err.Error() != test.want {
				t.Errorf("\n got %s\nwant %s", err, test.want)
			}
		})
	}
}

// A long table in which every row has a marker and a time of its own would make
// a recording that grows with the square of the file.
func TestReadTextRefusesSparseTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("Rate,250\nframe,marker,x,y,z\n")
	for i := range 3000 {
		fmt.Fprintf(&b, "%d,M%d,1,2,3\n", i, i)
	}
	_, err := ReadText(strings.NewReader(b.String()), "run.csv", Hints{})
	want := "capture: run.csv: found 3000 markers in 3000 frames, nearly all of them empty; a table of a few markers is needed"
	if err == nil || err.Error() != want {
		t.Errorf("\n got %v\nwant %s", err, want)
	}
}

func TestReadTextHints(t *testing.T) {
	text := lines("time_s;A_x;A_y;A_z;B_x;B_y;B_z", "0,0;1,5;2;3;4;5;6", "0,1;1,5;2;3;4;5;6")
	r, err := ReadText(strings.NewReader(text), "run", Hints{Unit: Centimetre, Rate: 500, DecimalMark: ",", Delimiter: ";", Columns: map[string]string{"A": "S01"}})
	if err != nil {
		t.Fatal(err)
	}
	if r.Rate() != 500 || r.Track("S01") == nil || r.Track("A") != nil || math.Abs(r.Track("S01")[0].X-0.015) > 1e-15 || r.Origin().UnitGuessed {
		t.Errorf("rate %v, markers %v, S01 at %v, origin %+v", r.Rate(), r.Markers(), r.Track("S01"), r.Origin())
	}
	for _, test := range []struct {
		hints Hints
		want  string
	}{
		{Hints{Delimiter: "|"}, `capture: run: the delimiter hint "|" is not a comma, a semicolon or a tab`},
		{Hints{DecimalMark: "x"}, `capture: run: the decimal hint "x" is not a point or a comma`},
		{Hints{Unit: "ft"}, `capture: run: the unit hint "ft" is not mm, cm, m or in`},
		{Hints{Rate: math.Inf(1)}, `capture: run: the rate hint +Inf is not a number of frames a second`},
		{Hints{Rate: -1}, `capture: run: the rate hint -1 is not a number of frames a second`},
		{Hints{Columns: map[string]string{"A": "B"}}, `capture: run: the column hints make "B" of both "A" and "B"; every marker needs a name of its own`},
		{Hints{DecimalMark: "."}, `capture: run, line 2: found "0,0" in column 1 (time_s) where a number is needed`},
	} {
		if _, err := ReadText(strings.NewReader(text), "run", test.hints); err == nil || err.Error() != test.want {
			t.Errorf("%+v:\n got %v\nwant %s", test.hints, err, test.want)
		}
	}
}

// A rate in the hints makes up for a file that states none.
func TestReadTextRateHint(t *testing.T) {
	r, err := ReadText(strings.NewReader(lines("A_x,A_y,A_z", "1,2,3", ",,", "1,2,3")), "run", Hints{Rate: 250})
	if err != nil {
		t.Fatal(err)
	}
	if r.Rate() != 250 || r.Start() != 0 || r.Frames() != 3 || isSeen(r.Track("A")[1]) {
		t.Errorf("rate %v, start %v, track %v", r.Rate(), r.Start(), r.Track("A"))
	}
}

// Columns outside a marker's triple are passed over, whatever they hold.
func TestReadTextIgnoresOtherColumns(t *testing.T) {
	for _, text := range []string{
		lines("time_s,event,A_x,A_y,A_z,A_vel_x,A_vel_y,A_vel_z,B_x,B_y", `0,"top, or so",1,2,3,9,9,9,8,8`, "0.1,,1,2,3,fast,9,9,8,8"),
		lines("time_s,A X [mm],A Y [mm],A Z [mm],A X [mm/s],A Y [mm/s],A Z [mm/s],Load [N]", "0,1,2,3,9,9,9,x", "0.1,1,2,3,9,9,9,"),
		lines("\t\tA\t\t\tA\t\t\tLoad", "Frame\tTime\tX\tY\tZ\tX\tY\tZ\t", "\ts\tmm\tmm\tmm\tmm/s\tmm/s\tmm/s\tN", "1\t0\t1\t2\t3\t9\t9\t9\t", "2\t0.1\t1\t2\t3\t9\t9\t9\tx"),
		lines("event,time_s,marker,x,y,z,vx,vy,vz", "a b,0,A,1,2,3,9,9,9", ",0.1,A,1,2,3,,,"),
	} {
		r, err := ReadText(strings.NewReader(text), "run", Hints{Unit: Millimetre})
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := strings.Join(r.Markers(), " "); got != "A" || r.Rate() != 10 || r.Track("A")[1].Z != 0.003 {
			t.Errorf("%q: markers %s, rate %v, A at %v", text, got, r.Rate(), r.Track("A"))
		}
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	if err := os.WriteFile(path, []byte(lines("time_s,A_x,A_y,A_z", "0,1,2,3", "0.1,1,2,3")), 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := ReadFile(path, Hints{})
	if err != nil || r.Frames() != 2 {
		t.Fatalf("%v, %v", r, err)
	}
	// printf 'time_s,A_x,A_y,A_z\n0,1,2,3\n0.1,1,2,3\n' | sha256sum
	if got, want := r.Origin().SHA256, "1d6e0323ea300db1a74505583fc8ad7113fb2b584f390b2be2399f2cdae67551"; got != want {
		t.Errorf("SHA-256 %s, want %s", got, want)
	}
	if _, err := ReadFile(filepath.Join(dir, "none.csv"), Hints{}); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "none.csv") {
		t.Errorf("no such file: %v", err)
	}
	if _, err := ReadFile(dir, Hints{}); err == nil || !strings.Contains(err.Error(), "found a folder where a file is needed") {
		t.Errorf("a folder: %v", err)
	}
	broken := errors.New("the disk is gone")
	if _, err := ReadText(iotest.ErrReader(broken), "run", Hints{}); !errors.Is(err, broken) {
		t.Errorf("broken reader: %v", err)
	}
}

// The captures that the simulator outside this repository wrote.
func TestReadTextSimulated(t *testing.T) {
	root := filepath.Join("..", "..", "shared", "captures")
	paths, err := filepath.Glob(filepath.Join(root, "*", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(paths) == 0 {
		t.Skipf("no simulated captures in %s", root)
	}
	for _, path := range paths {
		r, err := ReadFile(path, Hints{})
		if err != nil {
			t.Error(err)
			continue
		}
		want := 2500.0
		if strings.Contains(path, "reference") {
			want = 250
		}
		if r.Rate() != want || len(r.Markers()) != 19 || r.Start() != 0 {
			t.Errorf("%s: rate %v, %d markers, start %v", path, r.Rate(), len(r.Markers()), r.Start())
		}
		if height := r.Track("G1")[0]; math.Max(height.Y, height.Z) < 0.5 || math.Max(height.Y, height.Z) > 2.5 {
			t.Errorf("%s: the grip is at %v m", path, height)
		}
	}
}

// Reading takes memory by the size of the file, and nothing for each cell.
func TestReadTextAllocates(t *testing.T) {
	r, err := NewRecording(0, 1000, []string{"A", "B"}, swing(2, 5000), Origin{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := WriteText(&b, r); err != nil {
		t.Fatal(err)
	}
	allocs := testing.AllocsPerRun(3, func() {
		if _, err := ReadText(strings.NewReader(b.String()), "run", Hints{}); err != nil {
			t.Fatal(err)
		}
	})
	if allocs > 1000 {
		t.Errorf("%v allocations for 5000 rows", allocs)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := ReadText(strings.NewReader(b.String()), "run", Hints{}); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 64*uint64(b.Len()) {
		t.Errorf("allocated %d bytes for a file of %d", grown, b.Len())
	}
}

// What files write where a marker was not seen is a gap, and no place.
func TestWordsAndNinesAreGaps(t *testing.T) {
	for _, none := range []string{"", "NaN", "-", "--", "#N/A", "none", "0.000", "9999", "9999.999999", "-9999.99", "99999.9"} {
		text := lines("time_s,A_x,A_y,A_z,B_x,B_y,B_z", "0,1,2,3,10,20,30", "0.1,1,2,3,"+none+","+none+","+none, "0.2,1,2,3,10,20,30")
		r, err := ReadText(strings.NewReader(text), "run.csv", Hints{})
		if err != nil {
			t.Errorf("%q: %v", none, err)
		} else if b := r.Track("B"); b[1].X == b[1].X || b[0].X != b[0].X || r.Track("A")[1].X != r.Track("A")[1].X {
			t.Errorf("%q is read as %v", none, b)
		}
	}
	for _, x := range []float64{999, 9998, 9999.5, 9999.98, 1234, 10000} {
		if p := (r3.Vec{X: x, Y: x, Z: x}); seen(p) != p {
			t.Errorf("%v is taken for none", x)
		}
	}
	if p := (r3.Vec{X: 9999, Y: 9999, Z: 1}); seen(p) != p {
		t.Error("a place with two nines is taken for none")
	}
}

// Points of which there are but the axes are read, as in C3D files; what another
// instrument measured is none of them.
func TestNamelessPointsAndForces(t *testing.T) {
	for _, header := range []string{"time_s,x1,y1,z1,x2,y2,z2", "Time,X,Y,Z,X,Y,Z", "t,X1 [mm],Y1 [mm],Z1 [mm],X2 [mm],Y2 [mm],Z2 [mm]"} {
		r, err := ReadText(strings.NewReader(lines(header, "0,1,2,3,4,5,6", "0.1,1,2,3,4,5,6")), "run.csv", Hints{})
		if err != nil {
			t.Errorf("%s: %v", header, err)
		} else if got := strings.Join(r.Markers(), " "); got != "P01 P02" || math.Abs(r.Track("P02")[0].Y-1.25*r.Track("P02")[0].X) > 1e-12 || !IsUnnamed(r.Markers()[0]) {
			t.Errorf("%s: %s at %v", header, got, r.Track("P02"))
		}
	}
	r, err := ReadText(strings.NewReader(lines("time_s,A_x,A_y,A_z,Force_x,Force_y,Force_z,Plate 1 Moment X,Plate 1 Moment Y,Plate 1 Moment Z",
		"0,1,2,3,4,5,6,7,8,9", "0.1,1,2,3,4,5,6,7,8,9")), "run.csv", Hints{})
	if err != nil || strings.Join(r.Markers(), " ") != "A" {
		t.Errorf("forces are read as markers: %v, %v", r, err)
	}
}

// Files that are none say what they are.
func TestReadTellsOtherFiles(t *testing.T) {
	for data, want := range map[string]string{
		"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR":             "capture: run: found a picture; a capture is needed",
		"\xff\xd8\xff\xe0\x00\x10JFIF":                    "capture: run: found a picture; a capture is needed",
		"%PDF-1.7\n%\xe2\xe3":                             "capture: run: found a PDF document; a capture is needed",
		lines("time_s,A_x,A_y,A_z", "0,1,2,3", "0.1,1,2"): "capture: run, line 3: the file breaks off in its last line, after 3 of 4 cells; a whole file is needed",
	} {
		data = strings.TrimSuffix(data, "\n")
		if _, err := Read(strings.NewReader(data), int64(len(data)), "run", Hints{}); err == nil || err.Error() != want {
			t.Errorf("%.20q: %v, want %s", data, err, want)
		}
	}
}

// What is said of the rate before the table is told from the rates of other
// things, and doubt about it is told.
func TestStatedRates(t *testing.T) {
	for _, test := range []struct {
		preamble string
		rate     float64
		guessed  bool
	}{
		{"Shutter speed [Hz],10000\nFrame rate,2500", 2500, false},
		{"Filter: 20 Hz\nFrame rate,2500", 2500, false},
		{"Sample period [ms],0.4", 2500, false},
		{"# dt = 0.0004 s", 2500, false},
		{"Frame interval: 400 us", 2500, false},
		{"Rate,2500\nRate,2500", 2500, false},
		{"Rate,2500\nOriginal rate,5000", 2500, true},
	} {
		r, err := ReadText(strings.NewReader(test.preamble+"\nframe,A_x,A_y,A_z\n1,1,2,3\n2,1,2,3\n"), "run.csv", Hints{})
		if err != nil {
			t.Errorf("%q: %v", test.preamble, err)
		} else if math.Abs(r.Rate()-test.rate) > 1e-6 || r.Origin().RateGuessed != test.guessed {
			t.Errorf("%q: %v a second, guessed %v", test.preamble, r.Rate(), r.Origin().RateGuessed)
		}
	}
	r, err := ReadText(strings.NewReader("Capture rate,250\ntime_s,A_x,A_y,A_z\n0,1,2,3\n0.0004,1,2,3\n0.0008,1,2,3\n"), "run.csv", Hints{})
	if err != nil || r.Rate() != 2500 || len(r.Origin().Flags) != 1 || !strings.Contains(r.Origin().Flags[0].Detail, "states 250 frames a second, its time column 2500") {
		t.Errorf("%v, %+v", err, r)
	}
}

func TestAxisBeforeMarker(t *testing.T) {
	for _, header := range []string{"Seconds,X_S01,Y_S01,Z_S01", "Время,x.S01,y.S01,z.S01", "ms,X S01 [mm],Y S01 [mm],Z S01 [mm]"} {
		r, err := ReadText(strings.NewReader(lines(header, "0,1,2,3", "4,1,2,3", "8,1,2,3")), "run.csv", Hints{})
		if err != nil || strings.Join(r.Markers(), " ") != "S01" || r.Rate() != map[bool]float64{true: 250, false: 0.25}[header[0] == 'm'] && !r.Origin().RateGuessed {
			t.Errorf("%s: %v, %v", header, err, r)
		}
	}
}
