package capture

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"gonum.org/v1/gonum/spatial/r3"
)

// A layout is one way of writing a recording to a text file.
type layout struct {
	table     string // a label pattern such as "%s_%s", or "stacked", "repeated", "long", "long by marker"
	delimiter string
	mark      string
	encoding  string
	newline   string
	clock     string // "time", "ms", "frame", "both" or "none"
	missing   string // "", "NaN" or "0"
	unit      Unit
	trailing  bool // a delimiter at the end of every row
}

func (l layout) String() string {
	return fmt.Sprintf("%s %q %s %s %q %s missing=%q %s", l.table, l.delimiter, l.mark, l.encoding, l.newline, l.clock, l.missing, l.unit)
}

func (l layout) number(x float64, decimals int) string {
	return strings.Replace(strconv.FormatFloat(x, 'f', decimals, 64), ".", l.mark, 1)
}

// clockLabels returns the labels of the columns before the coordinates.
func (l layout) clockLabels() []string {
	return map[string][]string{"time": {"time_s"}, "ms": {"Time (ms)"}, "frame": {"Bild"}, "both": {"Frame#", "Zeit [s]"}, "none": nil}[l.clock]
}

func (l layout) clockCells(r *Recording, i int) []string {
	stamp := l.number(r.Time(i), 6)
	frame := strconv.Itoa(int(math.Round(r.Time(i) * r.Rate())))
	switch l.clock {
	case "time":
		return []string{stamp}
	case "ms":
		return []string{l.number(1000*r.Time(i), 3)}
	case "frame":
		return []string{frame}
	case "both":
		return []string{frame, stamp}
	}
	return nil
}

func (l layout) point(p r3.Vec) []string {
	cells := make([]string, 3)
	for i, x := range []float64{p.X, p.Y, p.Z} {
		cells[i] = l.missing
		if x == x {
			cells[i] = l.number(x/l.unit.Metres(), 6)
		}
	}
	return cells
}

// write returns the bytes of a file that holds r, without the frames that show
// no marker if the file has a clock.
func (l layout) write(r *Recording) []byte {
	var rows [][]string
	if l.clock == "none" || l.clock == "frame" {
		rows = append(rows, []string{"Capture rate", l.number(r.Rate(), 1)})
	}
	rows = append(rows, []string{"Up axis", "Z"}, []string{"Units", string(l.unit)}, nil)
	head := l.clockLabels()
	switch l.table {
	case "stacked", "repeated":
		names, axes, units := head, make([]string, len(head)), make([]string, len(head))
		for _, name := range r.Markers() {
			if l.table == "repeated" {
				names = append(names, name, name, name)
			} else {
				names = append(names, name, "", "")
			}
			axes = append(axes, "X", "Y", "Z")
			units = append(units, string(l.unit), string(l.unit), string(l.unit))
		}
		rows = append(rows, names, axes, units)
	case "long", "long by marker":
		rows = append(rows, append(head, "marker", "x", "y", "z"))
	default:
		for _, name := range r.Markers() {
			for _, axis := range "xyz" {
				head = append(head, strings.NewReplacer("NAME", name, "x", string(axis), "X", strings.ToUpper(string(axis)), "UNIT", string(l.unit)).Replace(l.table))
			}
		}
		rows = append(rows, head)
	}
	shows := func(i int) bool {
		for _, name := range r.Markers() {
			if isSeen(r.Track(name)[i]) {
				return true
			}
		}
		return l.clock == "none"
	}
	switch l.table {
	case "long":
		for i := range r.Frames() {
			for _, name := range r.Markers() {
				if shows(i) {
					rows = append(rows, append(append(l.clockCells(r, i), name), l.point(r.Track(name)[i])...))
				}
			}
		}
	case "long by marker":
		for _, name := range r.Markers() {
			for i := range r.Frames() {
				if shows(i) {
					rows = append(rows, append(append(l.clockCells(r, i), name), l.point(r.Track(name)[i])...))
				}
			}
		}
	default:
		for i := range r.Frames() {
			if !shows(i) {
				continue
			}
			row := l.clockCells(r, i)
			for _, name := range r.Markers() {
				row = append(row, l.point(r.Track(name)[i])...)
			}
			rows = append(rows, row)
		}
	}
	var text strings.Builder
	for _, row := range rows {
		text.WriteString(strings.Join(row, l.delimiter))
		if l.trailing {
			text.WriteString(l.delimiter)
		}
		text.WriteString(l.newline)
	}
	return encode(text.String(), l.encoding)
}

func encode(text, encoding string) []byte {
	var out string
	var err error
	switch encoding {
	case "utf-8":
		out = text
	case "utf-8 bom":
		out = "\ufeff" + text
	case "latin-1":
		out, err = charmap.ISO8859_1.NewEncoder().String(text)
	case "utf-16le":
		out, err = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder().String(text)
	case "utf-16be":
		out, err = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewEncoder().String(text)
	case "utf-16le bom":
		out, err = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(text)
	case "utf-16be bom":
		out, err = unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(text)
	}
	if err != nil {
		panic(err)
	}
	return []byte(out)
}

// sample returns a recording of 3 markers in 12 frames at 250 Hz from 0.5 s on,
// with a gap in one marker and a frame that shows none.
func sample() *Recording {
	names := []string{"G1", "S_01", "Kopf ü"}
	tracks := make([][]r3.Vec, len(names))
	for m := range tracks {
		for i := range 12 {
			p := r3.Vec{X: 0.3 - 0.011*float64(i), Y: 0.35 * float64(m), Z: 1 + 0.017*float64(i*m)}
			if i == 7 || m == 1 && i >= 3 && i < 5 {
				p = unseen
			}
			tracks[m] = append(tracks[m], p)
		}
	}
	r, err := NewRecording(0.5, 250, names, tracks, Origin{})
	if err != nil {
		panic(err)
	}
	return r
}

// difference reports the first difference of two recordings beyond a
// distance in metres, "" if there is none.
func difference(got, want *Recording, tolerance float64) string {
	switch {
	case math.Abs(got.Start()-want.Start()) > 1e-9:
		return fmt.Sprintf("start %v, want %v", got.Start(), want.Start())
	case math.Abs(got.Rate()-want.Rate()) > 1e-9*want.Rate():
		return fmt.Sprintf("rate %v, want %v", got.Rate(), want.Rate())
	case got.Frames() != want.Frames():
		return fmt.Sprintf("%d frames, want %d", got.Frames(), want.Frames())
	case strings.Join(got.Markers(), "|") != strings.Join(want.Markers(), "|"):
		return fmt.Sprintf("markers %q, want %q", got.Markers(), want.Markers())
	}
	for _, name := range want.Markers() {
		for i, w := range want.Track(name) {
			g := got.Track(name)[i]
			if isSeen(g) != isSeen(w) || isSeen(w) && r3.Norm(r3.Sub(g, w)) > tolerance {
				return fmt.Sprintf("marker %s in frame %d is at %v, want %v", name, i, g, w)
			}
		}
	}
	return ""
}

// Every combination of table, delimiter, mark, encoding, line end, clock, word
// for missing and unit reads back to the recording it was written from.
func TestReadTextLayouts(t *testing.T) {
	want := sample()
	fromZero, err := NewRecording(0, 250, want.names, [][]r3.Vec{want.Track("G1"), want.Track("S_01"), want.Track("Kopf ü")}, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, table := range []string{"NAME_x", "NAME X [UNIT]", "NAME:X", "NAME.X", "NAME X (UNIT)", "NAME_X_UNIT", `"NAME X"`, "stacked", "repeated", "long", "long by marker"} {
		for _, dialect := range []string{",.", ";,", ";.", "\t.", "\t,"} {
			for _, clock := range []string{"time", "ms", "frame", "both", "none"} {
				for _, encoding := range []string{"utf-8", "utf-8 bom", "latin-1", "utf-16le", "utf-16be", "utf-16le bom", "utf-16be bom"} {
					for _, newline := range []string{"\n", "\r\n"} {
						for _, missing := range []string{"", "NaN", "0"} {
							for _, unit := range units {
								if clock == "none" && strings.HasPrefix(table, "long") {
									continue
								}
								n++
								l := layout{table, dialect[:1], dialect[1:], encoding, newline, clock, missing, unit, n%3 == 0}
								got, err := ReadText(bytes.NewReader(l.write(want)), "run", Hints{})
								if err != nil {
									t.Fatalf("%v: %v", l, err)
								}
								target := want
								if clock == "none" {
									target = fromZero
								}
								if d := difference(got, target, 1e-6); d != "" {
									t.Fatalf("%v: %s", l, d)
								}
								checkOrigin(t, l, got.Origin())
							}
						}
					}
				}
			}
		}
	}
	if n != 44520 {
		t.Errorf("read %d layouts, want 44520", n)
	}
}

func checkOrigin(t *testing.T, l layout, got Origin) {
	t.Helper()
	want := Origin{Layout: "wide", Encoding: strings.TrimSuffix(l.encoding, " bom"), Delimiter: rune(l.delimiter[0]), DecimalMark: rune(l.mark[0]), Unit: l.unit, Up: "+z"}
	switch l.table {
	case "stacked", "repeated":
		want.Layout = "stacked"
	case "long", "long by marker":
		want.Layout = "long"
	}
	if l.clock != "none" {
		want.Skipped = 1
	}
	if len(got.SHA256) != 64 {
		t.Fatalf("%v: SHA-256 %q", l, got.SHA256)
	}
	got.SHA256 = ""
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("%v: origin %+v, want %+v", l, got, want)
	}
}
