package capture

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
)

// role is what a column holds.
type role uint8

const (
	ignored role = iota
	timeStamp
	frameNumber
	markerName
	position
)

// A column is one column of the table.
type column struct {
	label  string
	role   role
	marker int // of a position: the marker's place in header.markers, 0 in a long table
	axis   int // of a position: 0, 1, 2 for x, y, z
}

func (c column) isNumber() bool { return c.role != ignored && c.role != markerName }

// A header is the table's shape as its header rows tell it.
type header struct {
	layout      string // "wide", "stacked" or "long"
	columns     []column
	markers     []string // as the file names them; nil in a long table
	unit        Unit     // of the coordinates, "" if not stated
	timeDivisor float64  // stamps divided by it are seconds; 0 if not stated
	first       int      // index of the first header line; those before are the preamble
	last        int      // index of the last header line
	data        int      // offset in the text of the line after the header
	line        int      // number of that line, from 0
}

// headLine is one of the first lines of a file.
type headLine struct {
	text string
	next int // offset of the line after it
}

// maxHeadLines is how many lines are searched for a header.
const maxHeadLines = 200

func headLines(text []byte) []headLine {
	var lines []headLine
	for p := 0; p < len(text) && len(lines) < maxHeadLines; {
		line, next := cutLine(text, p)
		lines = append(lines, headLine{string(line), next})
		p = next
	}
	return lines
}

// cells returns the cells of a line, without its comment mark. A mark that is a
// cell of its own is the label of the frame column.
func (l headLine) cells(delimiter byte) []string {
	text, comment := uncomment(l.text)
	cells := trimEmpty(split(text, delimiter))
	if comment && len(cells) > 0 && cells[0] == "" {
		cells[0] = "#"
	}
	return cells
}

// findHeader returns the first header among lines under any of the delimiters,
// and its delimiter; of several on one line that with the most coordinates. It
// returns nil if there is none. Its error, if not nil, is a *headerError about
// a header that is there but contradicts itself.
func findHeader(lines []headLine, delimiters []byte) (best *header, delimiter byte, err error) {
	rows := make([][][]string, len(delimiters))
	for i := range lines {
		for n, d := range delimiters {
			for len(rows[n]) < min(i+2, len(lines)) {
				rows[n] = append(rows[n], lines[len(rows[n])].cells(d))
			}
			h, e := headerAt(rows[n], i)
			if e != nil {
				err = cmp.Or(err, error(&headerError{line: i + 1, err: e}))
			}
			if h != nil && (best == nil || h.positions() > best.positions()) {
				best, delimiter = h, d
			}
		}
		if best != nil {
			best.data, best.line = lines[best.last].next, best.last+1
			return best, delimiter, nil
		}
		if err != nil {
			return nil, 0, err
		}
	}
	return nil, 0, nil
}

// positions returns the number of coordinate columns.
func (h *header) positions() int {
	n := 0
	for _, c := range h.columns {
		if c.role == position {
			n++
		}
	}
	return n
}

// width returns the number of cells every row must have.
func (h *header) width() int { return len(h.columns) }

// column returns the first column in a role, -1 if there is none.
func (h *header) column(r role) int {
	for i, c := range h.columns {
		if c.role == r {
			return i
		}
	}
	return -1
}

// headerAt returns the header whose last row of labels is row i, nil if row i
// is not one.
func headerAt(rows [][]string, i int) (*header, error) {
	var units []string
	if i+1 < len(rows) && isUnitRow(rows[i+1]) {
		units = rows[i+1]
	}
	h, err := longHeader(rows[i], units)
	if h == nil && err == nil {
		h, err = stackedHeader(rows, i, units)
	}
	if h == nil && err == nil {
		h, err = wideHeader(rows[i], units)
	}
	if h == nil {
		return nil, err
	}
	if h.layout != "stacked" {
		h.first = i
	}
	h.last = i
	if units != nil {
		h.last++
	}
	return h, nil
}

// A headerError is what is wrong with a header, and where.
type headerError struct {
	line int
	err  error
}

func (e *headerError) Error() string { return e.err.Error() }
func (e *headerError) Unwrap() error { return e.err }

// trimEmpty drops the empty cells that trailing delimiters leave.
func trimEmpty(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// wideHeader reads a row such as time_s,S01_x,S01_y,S01_z; nil if no marker
// has all three axes.
func wideHeader(cells, units []string) (*header, error) {
	b := newHeaderBuilder("wide", cells, units)
	for i, cell := range cells {
		if marker, axis, unit := coordinate(cell); axis >= 0 {
			b.add(marker, axis, i, unit)
		}
	}
	if len(b.order) == 0 {
		for i, cell := range cells {
			if marker, axis, unit := axisFirst(cell); axis >= 0 {
				b.add(marker, axis, i, unit)
			}
		}
	}
	if len(b.order) == 0 {
		b.addNameless(cells)
	}
	return b.header(cells)
}

// addNameless adds points of which there are but the axes: x1, y1, z1, x2 … or
// X, Y, Z, X, Y, Z … They are called as nameless points of a C3D file are.
func (b *headerBuilder) addNameless(cells []string) {
	if len(cells) < 6 { // one point says nothing of a club, and "x, y, z" may be prose
		return
	}
	next := [3]int{}
	for i, cell := range cells {
		axis, unit := bareAxis(cell)
		if axis < 0 {
			continue
		}
		next[axis]++
		label, _ := cutUnit(cell)
		n, err := strconv.Atoi(strings.TrimLeft(label, "xyzXYZ"))
		if err != nil {
			n = next[axis]
		}
		b.add(fmt.Sprintf("P%02d", n), axis, i, unit)
	}
}

// longHeader reads a row such as time,marker,x,y,z; nil if it is not one.
func longHeader(cells, units []string) (*header, error) {
	b := newHeaderBuilder("long", cells, units)
	names := -1
	for i, cell := range cells {
		if names < 0 && markerLabel(cell) {
			names = i
		} else if axis, unit := bareAxis(cell); axis >= 0 {
			b.add("", axis, i, unit)
		}
	}
	if names < 0 {
		return nil, nil
	}
	h, err := b.header(cells)
	if h == nil || err != nil {
		return nil, err
	}
	h.columns[names].role = markerName
	h.markers = nil
	if h.column(timeStamp) < 0 && h.column(frameNumber) < 0 {
		return nil, fmt.Errorf("found a header of %q with neither a time nor a frame column; a table with one marker a row needs one of them", strings.Join(cells, " "))
	}
	return h, nil
}

// isUnitRow reports whether a row is one of units: some cells, and every one
// that is not empty a unit.
func isUnitRow(cells []string) bool {
	for _, cell := range cells {
		if cell != "" && !isUnit(plainUnit(cell)) {
			return false
		}
	}
	return len(cells) > 0
}

// plainUnit folds the spelling of a unit: lower case, out of its brackets.
func plainUnit(cell string) string { return strings.ToLower(strings.Trim(cell, "[](){} ")) }

// isUnit reports whether a word in a row of units is a unit of anything.
func isUnit(s string) bool {
	if lengthUnits[s] != "" || timeUnits[s] != 0 {
		return true
	}
	base, _, derived := strings.Cut(s, "/")
	if derived {
		return isUnit(base) || base == "deg" || base == "rad" || base == "°"
	}
	switch s {
	case "deg", "rad", "°", "n", "nm", "hz", "g", "v", "-", "frame", "frames", "#":
		return true
	}
	return false
}
