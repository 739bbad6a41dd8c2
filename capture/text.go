package capture

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// MaxTextBytes is the size of the largest text capture that is read.
const MaxTextBytes = 1 << 30

// maxExpansion bounds the memory of a recording by the size of its file: 16
// bytes a byte. A number takes a cell of two bytes or more in the file and
// eight in memory; the rest is room for frames that the file skips.
const maxExpansion = 16

// rateTolerance is how far a stated rate may be from that of the time column
// without a word.
const rateTolerance = 0.01

// maxDistance is the largest coordinate taken for one, m: that of nothing on
// Earth.
const maxDistance = 1e7

// ReadText reads a text capture and finds its layout, encoding, delimiter,
// decimal mark, unit and rate by itself; see the package documentation for
// what it knows. hints override what it finds. name stands for the file in
// errors.
//
// Numbers become the float64 nearest to what is written, within 1 ulp after
// scaling to metres. Where a marker is missing the recording holds NaN: empty
// cells, "NaN" or another word or dash for none, or a position of exactly 0,0,0
// or of nines alone. Frames that the time or frame
// column skips hold NaN for every marker and are counted in Origin.Skipped.
//
// The error of a file that cannot be read is one sentence that names the
// file, the line, what was found there and what is needed.
func ReadText(r io.Reader, name string, hints Hints) (*Recording, error) {
	var buf bytes.Buffer
	if sized, ok := r.(interface{ Len() int }); ok {
		buf.Grow(min(sized.Len(), MaxTextBytes) + bytes.MinRead + 1)
	}
	n, err := buf.ReadFrom(io.LimitReader(r, MaxTextBytes+1))
	if err != nil {
		return nil, fmt.Errorf("capture: %s: %w", name, err)
	}
	if n > MaxTextBytes {
		return nil, fmt.Errorf("capture: %s: the file is larger than the %d MiB that are read", name, MaxTextBytes>>20)
	}
	data := buf.Bytes()
	sum := digestOf(bytes.NewReader(data))
	rec, err := parseText(data, name, hints)
	if err != nil {
		return nil, err
	}
	rec.origin.SHA256 = (<-sum).hex
	return rec, nil
}

// A textFile is a text capture while it is read.
type textFile struct {
	scanner
	name   string
	header *header
	hints  Hints
}

// errorf returns an error about a line, counted from 1, or about the whole
// file if line is 0.
func (f *textFile) errorf(line int, format string, args ...any) error {
	where := f.name
	if line > 0 {
		where = fmt.Sprintf("%s, line %d", f.name, line)
	}
	return fmt.Errorf("capture: %s: %w", where, fmt.Errorf(format, args...))
}

func parseText(data []byte, name string, hints Hints) (*Recording, error) {
	f := &textFile{name: name, hints: hints}
	if err := hints.check(); err != nil {
		return nil, f.errorf(0, "%w", err)
	}
	text, encoding, err := decode(data)
	if err != nil {
		return nil, f.errorf(0, "%w", err)
	}
	f.text = append(text, '\n') // so that every line has an end
	said, err := f.readHeader()
	if err != nil {
		return nil, err
	}
	read := f.readWide
	if f.header.layout == "long" {
		read = f.readLong
	}
	rows, clk, lines, err := read()
	if err != nil {
		return nil, err
	}
	if len(lines) == 0 {
		return nil, f.errorf(f.header.line, "found a header and nothing below it; rows of numbers are needed")
	}
	names, err := shownNames(f.header.markers)
	if err == nil {
		names, err = hints.rename(names)
	}
	if err != nil {
		return nil, f.errorf(0, "%w", err)
	}
	clk.finish(f.header.timeDivisor, said.rates, hints.Rate)
	tl, err := clk.timeline(len(lines))
	var bad *rowError
	if errors.As(err, &bad) {
		line := 0
		if bad.row >= 0 {
			line = int(lines[bad.row])
		}
		return nil, f.errorf(line, "%w", err)
	}
	if err := f.checkSize(tl, lines, len(names)); err != nil {
		return nil, err
	}
	rec := &Recording{start: tl.start, rate: tl.rate, names: names, index: make(map[string]int, len(names)), frames: tl.frames}
	for i, name := range names {
		rec.index[name] = i
	}
	rec.points = rows.points(tl.frames, tl.at)
	rec.origin = Origin{
		Layout:      f.header.layout,
		Encoding:    encoding,
		Delimiter:   rune(f.delimiter),
		DecimalMark: rune(f.mark),
		RateGuessed: tl.guessed,
		Up:          said.up,
		Skipped:     tl.frames - len(lines),
	}
	if rates := said.rates; clk.times != nil && hints.Rate == 0 && len(rates) > 0 && !slices.ContainsFunc(rates, func(r float64) bool { return math.Abs(r/tl.rate-1) < rateTolerance }) {
		rec.origin.Flags = append(rec.origin.Flags, Flag{Code: RateGuessed, Detail: fmt.Sprintf("the file states %.6g frames a second, its time column %.6g, which was taken", rates[0], tl.rate)})
	}
	if err := rec.scale(cmp.Or(hints.Unit, f.header.unit, said.unit)); err != nil {
		return nil, f.errorf(0, "%w", err)
	}
	return rec, nil
}

// readHeader finds the dialect and the header.
func (f *textFile) readHeader() (preamble, error) {
	lines := headLines(f.text)
	try := delimiters
	if f.hints.Delimiter != "" {
		try = []byte(f.hints.Delimiter)
	}
	h, delimiter, err := findHeader(lines, try)
	var bad *headerError
	if errors.As(err, &bad) {
		return preamble{}, f.errorf(bad.line, "%w", bad.err)
	}
	if h == nil {
		for i, line := range lines {
			if found := bytes.TrimSpace([]byte(line.text)); len(found) > 0 {
				return preamble{}, f.errorf(i+1, "found %s and no header; a row that names time and marker columns is needed, set apart by commas, semicolons or tabs, such as time_s,S01_x,S01_y,S01_z or time,marker,x,y,z", quoted(found))
			}
		}
		return preamble{}, f.errorf(0, "the file is empty; a header and rows of numbers are needed")
	}
	f.header, f.delimiter = h, delimiter
	if f.hints.DecimalMark != "" {
		f.mark = f.hints.DecimalMark[0]
	} else {
		f.mark = findMark(f.text, h, delimiter)
	}
	return readPreamble(lines[:h.first], delimiter), nil
}

// quoted returns found in quotes, cut to a length that fits in a sentence.
func quoted(found []byte) string {
	if runes := []rune(string(found[:min(len(found), 200)])); len(runes) > 40 {
		return fmt.Sprintf("%q", string(runes[:40])+"…")
	}
	return fmt.Sprintf("%q", found)
}

// shownNames returns names as they may be shown. It returns an error where two
// are then alike, or one is empty.
func shownNames(names []string) ([]string, error) {
	shown := make([]string, len(names))
	was := make(map[string]string, len(names))
	for i, name := range names {
		shown[i] = Shown(name)
		if other, ok := was[shown[i]]; ok || shown[i] == "" {
			return nil, fmt.Errorf("the marker name %q is not to be told from %q; every marker needs a name that can be seen", name, other)
		}
		was[shown[i]] = name
	}
	return shown, nil
}

// rename returns the names of the markers after the hints have had their say.
func (h Hints) rename(names []string) ([]string, error) {
	if len(h.Columns) == 0 {
		return names, nil
	}
	names = slices.Clone(names)
	from := make(map[string]string, len(names))
	for i, name := range names {
		if to := h.Columns[name]; to != "" {
			names[i] = to
		}
		if other, ok := from[names[i]]; ok {
			return nil, fmt.Errorf("the column hints make %q of both %q and %q; every marker needs a name of its own", names[i], other, name)
		}
		from[names[i]] = name
	}
	return names, nil
}

// checkSize refuses a recording that would take far more memory than the file
// can account for.
func (f *textFile) checkSize(tl timeline, lines []int32, markers int) error {
	if tl.frames <= maxExpansion*len(f.text)/(24*markers) {
		return nil
	}
	worst, jump := 0, 0
	for i := 1; i < len(tl.at); i++ {
		if d := tl.at[i] - tl.at[i-1]; d > jump {
			worst, jump = i, d
		}
	}
	if worst > 0 {
		return f.errorf(int(lines[worst]), "the file skips %d frames here; so long a gap is refused, since a recording holds every frame", jump-1)
	}
	return f.errorf(0, "found %d markers in %d frames, nearly all of them empty; a table of a few markers is needed", markers, tl.frames)
}

// scale turns points in a unit of length, or in a guess at it if it is "",
// into metres.
func (r *Recording) scale(unit Unit) error {
	if unit == "" {
		unit = unitOfSize(r)
		r.origin.UnitGuessed = true
	}
	r.origin.Unit = unit
	for i, p := range r.points {
		p = r3.Vec{X: unit.toMetres(p.X), Y: unit.toMetres(p.Y), Z: unit.toMetres(p.Z)}
		if max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) > maxDistance {
			return fmt.Errorf("found marker %q at a coordinate beyond %g m in frame %d; a capture in mm, cm, m or inches is needed", r.names[i/r.frames], maxDistance, i%r.frames)
		}
		r.points[i] = p
	}
	return nil
}

// raggedRow says that a row has too few or too many cells.
func (f *textFile) raggedRow(line, start int) error {
	row, next := cutLine(f.text, start)
	if cells := len(split(string(row), f.delimiter)); next >= len(f.text) && cells < f.header.width() {
		return f.errorf(line, "the file breaks off in its last line, after %d of %d cells; a whole file is needed", cells, f.header.width())
	}
	return f.errorf(line, "found %d cells where the header has %d; every row needs one for each column", len(split(string(row), f.delimiter)), f.header.width())
}

// notNumber says that a cell is not a number.
func (f *textFile) notNumber(line, col, p int) error {
	cell, _ := f.cell(p)
	return f.errorf(line, "found %s in column %d (%s) where a number is needed", quoted(cell), col+1, Shown(f.header.columns[col].label))
}

// noClock says that a row does not tell when it was taken.
func (f *textFile) noClock(line int) error {
	return f.errorf(line, "found a row without its time or frame number; every row needs one")
}
