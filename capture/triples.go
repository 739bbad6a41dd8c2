package capture

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A headerBuilder gathers the coordinate columns of a header into markers.
type headerBuilder struct {
	layout  string
	cells   []string // labels
	units   []string // a row of units below the labels, nil if there is none
	order   []string // names in file order
	triples map[string]*triple
}

// A triple is where a marker's coordinates stand.
type triple struct {
	column [3]int // -1 while not seen
	unit   [3]string
	twice  int // a column that stands twice, -1 if none does
}

func newHeaderBuilder(layout string, cells, units []string) *headerBuilder {
	return &headerBuilder{layout: layout, cells: cells, units: units, triples: make(map[string]*triple)}
}

// add notes that a column holds an axis of a marker. unit is what its label
// says, "" for what the row of units says.
func (b *headerBuilder) add(marker string, axis, col int, unit string) {
	if unit == "" {
		unit = plainUnit(cellAt(b.units, col))
	}
	if unit != "" && lengthUnit(unit) == "" {
		return // a velocity, an angle: not where the marker is
	}
	t := b.triples[marker]
	if t == nil {
		t = &triple{column: [3]int{-1, -1, -1}, twice: -1}
		b.triples[marker] = t
		b.order = append(b.order, marker)
	}
	if t.column[axis] >= 0 {
		t.twice = col
		return
	}
	t.column[axis], t.unit[axis] = col, unit
}

func (t *triple) whole() bool { return t.column[0] >= 0 && t.column[1] >= 0 && t.column[2] >= 0 }

// header returns the header of the columns added, nil when no marker has all
// three axes. Columns outside a triple are ignored, but for those that any of
// the rows of labels calls time or frame.
func (b *headerBuilder) header(labels ...[]string) (*header, error) {
	h := &header{layout: b.layout, columns: make([]column, len(b.cells))}
	for i, cell := range b.cells {
		h.columns[i].label = cell
	}
	for _, name := range b.order {
		t := b.triples[name]
		if !t.whole() || b.isDerivative(name) || isAnalog(name) {
			continue
		}
		if t.twice >= 0 {
			if b.layout == "long" {
				return nil, fmt.Errorf("the column %q stands twice", b.cells[t.twice])
			}
			return nil, fmt.Errorf("the marker name %q stands twice; every marker needs a name of its own", name)
		}
		for axis, col := range t.column {
			h.columns[col].role = position
			h.columns[col].marker = len(h.markers)
			h.columns[col].axis = axis
			u := lengthUnit(t.unit[axis])
			if u == "" {
				continue
			}
			if h.unit != "" && u != h.unit {
				return nil, fmt.Errorf("column %q is in %s where others are in %s; one unit of length is needed", b.cells[col], u, h.unit)
			}
			h.unit = u
		}
		h.markers = append(h.markers, name)
	}
	if len(h.markers) == 0 {
		return nil, nil
	}
	for _, row := range labels {
		h.takeClock(row)
	}
	if at := h.column(timeStamp); at >= 0 && h.timeDivisor == 0 {
		h.timeDivisor = timeUnits[plainUnit(cellAt(b.units, at))]
	}
	return h, nil
}

// isAnalog reports whether a triple is named as one that was not measured with
// cameras.
func isAnalog(name string) bool {
	return slices.ContainsFunc(nameParts(name), func(word string) bool { return analogWords[word] })
}

// isDerivative reports whether a triple is the velocity or such of a marker
// that has a triple of its own.
func (b *headerBuilder) isDerivative(name string) bool {
	head, last := cutLast(name)
	t := b.triples[head]
	return t != nil && t.whole() && derivativeWords[strings.ToLower(last)]
}

// takeClock finds the time and the frame column among labels; the first of
// each kind counts.
func (h *header) takeClock(labels []string) {
	for i, label := range labels {
		if i >= len(h.columns) || h.columns[i].role != ignored || label == "" {
			continue
		}
		if divisor, ok := timeLabel(label); ok && h.column(timeStamp) < 0 {
			h.columns[i].role, h.timeDivisor = timeStamp, divisor
		} else if frameLabel(label) && h.column(frameNumber) < 0 {
			h.columns[i].role = frameNumber
		}
	}
}

// stackedHeader reads a row of axes under a row of names: X Y Z X Y Z under
// G1 _ _ G2 _ _. A name may stand over any or all of its three columns. It
// returns nil if row i is not one.
func stackedHeader(rows [][]string, i int, unitRow []string) (*header, error) {
	axes := rows[i]
	var starts []int
	var units []string
	for i := 0; i+2 < len(axes); {
		x, unit := bareAxis(axes[i])
		y, _ := bareAxis(axes[i+1])
		z, _ := bareAxis(axes[i+2])
		if x != 0 || y != 1 || z != 2 {
			i++
			continue
		}
		starts, units = append(starts, i), append(units, unit)
		i += 3
	}
	if len(starts) == 0 {
		return nil, nil
	}
	above := i - 1
	for above >= 0 && (len(rows[above]) == 0 || isUnitRow(rows[above])) {
		above--
	}
	if above < 0 {
		return nil, nil
	}
	names := rows[above]
	cells := make([]string, max(len(axes), len(names)))
	for i := range cells {
		cells[i] = strings.TrimSpace(cellAt(names, i) + " " + cellAt(axes, i))
	}
	b := newHeaderBuilder("stacked", cells, unitRow)
	for n, start := range starts {
		name := cmp.Or(cellAt(names, start), cellAt(names, start+1), cellAt(names, start+2))
		if name == "" {
			continue
		}
		for axis := range 3 {
			b.add(name, axis, start+axis, units[n])
		}
	}
	h, err := b.header(names, axes)
	if h != nil {
		h.first = above
	}
	return h, err
}

func cellAt(cells []string, i int) string {
	if i < len(cells) {
		return cells[i]
	}
	return ""
}
