package capture

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A longTable has a row for each marker in each frame.
type longTable struct {
	rows    []longRow
	markers int
	order   []int32 // instant of each row: its place among the table's instants
}

type longRow struct {
	key    float64 // frame number, or time in s without a frame column
	time   float64 // s, NaN without a time column
	p      r3.Vec
	marker int32
	line   int32
}

func (t *longTable) points(frames int, at []int) []r3.Vec {
	points := make([]r3.Vec, t.markers*frames)
	for i := range points {
		points[i] = unseen
	}
	for i, row := range t.rows {
		frame := int(t.order[i])
		if at != nil {
			frame = at[frame]
		}
		points[int(row.marker)*frames+frame] = row.p
	}
	return points
}

// readLong reads the rows of a long table, the names of its markers, and the
// line on which each instant begins. Rows may be grouped by time or by marker;
// those of one marker must follow one another in time.
func (f *textFile) readLong() (table, *clock, []int32, error) {
	s, h := &f.scanner, f.header
	clk := newClock(h, 0)
	hasTime, hasFrame := clk.times != nil, clk.frames != nil
	t := &longTable{rows: make([]longRow, 0, s.maxRows(h.data, h.width()))}
	names := newMarkerIndex()
	var last []float64 // key of each marker's latest row
	commented := h.columns[0].role != markerName
	line := h.line
	for p := h.data; p < len(s.text); {
		line++
		if next, blank := s.isBlank(p, true); blank {
			p = next
			continue
		}
		if commented && s.isComment(p) {
			p = s.lineEnd(p)
			continue
		}
		start := p
		row := longRow{line: int32(line)}
		var stamp, frame float64
		var xyz [3]float64
		for i, c := range h.columns {
			if i > 0 {
				if s.text[p] != s.delimiter {
					return nil, nil, nil, f.raggedRow(line, start)
				}
				p++
			}
			switch c.role {
			case ignored:
				p = s.skip(p)
				continue
			case markerName:
				name, end := s.cell(p)
				if len(name) == 0 {
					return nil, nil, nil, f.errorf(line, "found no marker name; every row of a long table needs one")
				}
				row.marker, p = names.index(name), end
				continue
			}
			v, end, ok := s.number(p)
			if !ok {
				return nil, nil, nil, f.notNumber(line, i, p)
			}
			switch c.role {
			case timeStamp:
				clk.decimals = max(clk.decimals, s.decimals(p))
				stamp = v
			case frameNumber:
				frame = v
			case position:
				xyz[c.axis] = v
			}
			p = end
		}
		next, ok := s.endRow(p)
		if !ok {
			return nil, nil, nil, f.raggedRow(line, start)
		}
		p = next
		if hasTime && stamp != stamp || hasFrame && frame != frame {
			return nil, nil, nil, f.noClock(line)
		}
		row.key, row.time = stamp, stamp
		if hasFrame {
			row.key = frame
		}
		row.p = seen(r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]})
		if m := int(row.marker); m == len(last) {
			last = append(last, row.key)
		} else if row.key <= last[m] {
			return nil, nil, nil, f.errorf(line, "the time of marker %q goes from %v back to %v; the rows of a marker must follow one another in time, each time once", names.list[m], last[m], row.key)
		} else {
			last[m] = row.key
		}
		t.rows = append(t.rows, row)
	}
	t.markers = len(names.list)
	h.markers = names.list
	return t, clk, t.instants(clk), nil
}

// instants finds the distinct keys in rising order, puts the times and frames
// that go with them into clk and tells each row its instant. It returns the
// line on which each begins.
func (t *longTable) instants(clk *clock) []int32 {
	byKey := make([]int32, len(t.rows))
	for i := range byKey {
		byKey[i] = int32(i)
	}
	earlier := func(a, b int32) int {
		switch x, y := t.rows[a].key, t.rows[b].key; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return int(a - b)
	}
	if !slices.IsSortedFunc(byKey, earlier) {
		slices.SortFunc(byKey, earlier)
	}
	t.order = make([]int32, len(t.rows))
	var lines []int32
	for n, i := range byKey {
		row := &t.rows[i]
		if n == 0 || row.key != t.rows[byKey[n-1]].key {
			lines = append(lines, row.line)
			if clk.times != nil {
				clk.times = append(clk.times, row.time)
			}
			if clk.frames != nil {
				clk.frames = append(clk.frames, row.key)
			}
		}
		t.order[i] = int32(len(lines) - 1)
	}
	return lines
}

// A markerIndex numbers marker names in the order of their first appearance.
type markerIndex struct {
	list  []string
	known map[string]int32
}

func newMarkerIndex() *markerIndex { return &markerIndex{known: make(map[string]int32)} }

// index returns the number of a name, a new one for a name not seen before.
func (x *markerIndex) index(name []byte) int32 {
	if i, ok := x.known[string(name)]; ok {
		return i
	}
	i := int32(len(x.list))
	x.list = append(x.list, string(name))
	x.known[x.list[i]] = i
	return i
}
