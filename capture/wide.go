package capture

import (
	"bytes"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A table is what the rows of a file hold, in the file's unit.
type table interface {
	// points returns the path of one marker after another, each frames long,
	// NaN where there is none, when row i is frame at[i], or frame i if at is
	// nil.
	points(frames int, at []int) []r3.Vec
}

var unseen = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// seen returns p, or unseen if a coordinate is missing, or all three are exactly
// 0 or one and the same row of nines, which is how some files say so.
func seen(p r3.Vec) r3.Vec {
	if p == (r3.Vec{}) || p.X != p.X || p.Y != p.Y || p.Z != p.Z || p.X == p.Y && p.Y == p.Z && allNines(p.X) {
		return unseen
	}
	return p
}

// allNines reports whether x is written as nines alone, four before the mark or
// more and any number behind it, with either sign: 9999, -9999.99, 99999.999.
func allNines(x float64) bool {
	x = math.Abs(x)
	for _, power := range [...]float64{1e4, 1e5, 1e6, 1e7} {
		if short := power - x; short > 0 && short <= 1 {
			// What is short of the power is one of its last digit: 1, 0.1, 0.01 …
			digits := -math.Log10(short)
			return math.Abs(digits-math.Round(digits)) < 1e-3 && digits < 10
		}
	}
	return false
}

// A wideTable has a row for each frame.
type wideTable struct {
	tracks []r3.Vec // marker after marker, stride apart
	stride int
	rows   int
}

func (t *wideTable) points(frames int, at []int) []r3.Vec {
	if at == nil && frames == t.stride {
		return t.tracks
	}
	markers := len(t.tracks) / t.stride
	points := make([]r3.Vec, markers*frames)
	for m := range markers {
		track := t.tracks[m*t.stride : m*t.stride+t.rows]
		if at == nil {
			copy(points[m*frames:(m+1)*frames], track)
			continue
		}
		next := m * frames
		for i, p := range track {
			for ; next < m*frames+at[i]; next++ {
				points[next] = unseen
			}
			points[next] = p
			next++
		}
	}
	return points
}

// maxRows bounds the number of rows from p on: each has a newline and a
// delimiter between two cells.
func (s *scanner) maxRows(p, width int) int {
	return min(bytes.Count(s.text[p:], []byte{'\n'}), (len(s.text)-p)/width)
}

// readWide reads the rows of a wide or stacked table, and the line of each.
func (f *textFile) readWide() (table, *clock, []int32, error) {
	s, h := &f.scanner, f.header
	stride := s.maxRows(h.data, h.width())
	t := &wideTable{tracks: make([]r3.Vec, stride*len(h.markers)), stride: stride}
	clk := newClock(h, stride)
	lines := make([]int32, 0, stride)
	cells := make([]float64, h.width())
	columns := make([][3]int, len(h.markers)) // of each marker
	for i, c := range h.columns {
		if c.role == position {
			columns[c.marker][c.axis] = i
		}
	}
	timeColumn, frameColumn := h.column(timeStamp), h.column(frameNumber)
	clocked := timeColumn >= 0 || frameColumn >= 0
	line := h.line
	for p := h.data; p < len(s.text); {
		line++
		if next, blank := s.isBlank(p, clocked); blank {
			p = next
			continue
		}
		if s.isComment(p) {
			p = s.lineEnd(p)
			continue
		}
		start := p
		for i := range h.columns {
			if i > 0 {
				if s.text[p] != s.delimiter {
					return nil, nil, nil, f.raggedRow(line, start)
				}
				p++
			}
			if h.columns[i].role == ignored {
				p = s.skip(p)
				continue
			}
			v, end, ok := s.number(p)
			if !ok {
				return nil, nil, nil, f.notNumber(line, i, p)
			}
			if i == timeColumn {
				clk.decimals = max(clk.decimals, s.decimals(p))
			}
			cells[i], p = v, end
		}
		next, ok := s.endRow(p)
		if !ok {
			return nil, nil, nil, f.raggedRow(line, start)
		}
		p = next
		if timeColumn >= 0 {
			clk.times = append(clk.times, cells[timeColumn])
		}
		if frameColumn >= 0 {
			clk.frames = append(clk.frames, cells[frameColumn])
		}
		if timeColumn >= 0 && math.IsNaN(cells[timeColumn]) || frameColumn >= 0 && math.IsNaN(cells[frameColumn]) {
			return nil, nil, nil, f.noClock(line)
		}
		for m, c := range columns {
			t.tracks[m*stride+t.rows] = seen(r3.Vec{X: cells[c[0]], Y: cells[c[1]], Z: cells[c[2]]})
		}
		lines = append(lines, int32(line))
		t.rows++
	}
	return t, clk, lines, nil
}
