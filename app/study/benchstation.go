package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/kinematics"
	"bendline/kinematics/beam"
)

// A StationTable is a table of the sheet by station. Its first column is the
// station.
type StationTable struct {
	Key, Label, Short string
	Columns           []StationColumn

	rows func(*clubSheet) [][]float64
	put  func(*clubSheet, [][]float64)
}

// A StationColumn is a column of such a table.
type StationColumn struct {
	Key, Label string
	Digits     int
	of         *dimension
	span       span
	names      string
}

// Unit returns the unit of the column's values.
func (c StationColumn) Unit() string { return c.of.kept() }

var stationColumn = StationColumn{"station_mm", "station", 0, aLength, span{0, 1500}, "position|location|distance from butt|distance from the butt end|from butt|x"}

// StationTables are the tables by station, in the order of the sheet.
var StationTables = []StationTable{
	{"stiffness", "EI and GJ", "EI, GJ", []StationColumn{stationColumn,
		{"ei_n_m2", "EI", 2, aStiffness, span{0.5, stiffest}, "bending stiffness"},
		{"gj_n_m2", "GJ", 2, aStiffness, span{0.5, stiffest}, "torsional stiffness"}},
		func(b *clubSheet) (rows [][]float64) {
			for i, at := range b.shaft.Station {
				rows = append(rows, []float64{millimetres(at), b.shaft.EI[i], b.shaft.GJ[i]})
			}
			return rows
		},
		func(b *clubSheet, rows [][]float64) {
			b.shaft = kinematics.Shaft{Length: b.shaft.Length}
			for _, v := range rows {
				b.shaft.Station, b.shaft.EI, b.shaft.GJ = append(b.shaft.Station, v[0]/1e3), append(b.shaft.EI, v[1]), append(b.shaft.GJ, v[2])
			}
		}},
	{"three_point", "three-point bend", "Three-point", []StationColumn{stationColumn,
		{"span_mm", "span", 1, aLength, span{20, 1500}, "support span"},
		{"load_n", "load", 2, aForce, span{0.1, 1000}, "force"},
		{"deflection_mm", "deflection", 3, aLength, span{0.001, 100}, "y"}},
		func(b *clubSheet) (rows [][]float64) {
			for _, r := range b.sheet.ThreePoint {
				rows = append(rows, []float64{r.StationMM, r.SpanMM, r.LoadN, r.DeflectionMM})
			}
			return rows
		},
		func(b *clubSheet, rows [][]float64) {
			b.sheet.ThreePoint = nil
			for _, v := range rows {
				b.sheet.ThreePoint = append(b.sheet.ThreePoint, BendReading{v[0], v[1], v[2], v[3]})
			}
		}},
	{"mass", "mass along the shaft", "Mass", []StationColumn{stationColumn,
		{"g_per_m", "mass per length", 2, aDensity, span{1, 1000}, "g/m|g per m|linear density|density"}},
		func(b *clubSheet) (rows [][]float64) {
			for _, m := range b.sheet.Mass {
				rows = append(rows, []float64{m.StationMM, m.GramsPerM})
			}
			return rows
		},
		func(b *clubSheet, rows [][]float64) {
			b.sheet.Mass = nil
			for _, v := range rows {
				b.sheet.Mass = append(b.sheet.Mass, MassStation{v[0], v[1]})
			}
		}},
	{bandKey, "EI wanted", "EI wanted", []StationColumn{stationColumn,
		{"target_ei_n_m2", "EI wanted", 2, aStiffness, span{0.5, stiffest}, "ei target|target ei|wanted ei|design ei|nominal ei|ei design|ei nominal"}},
		func(b *clubSheet) (rows [][]float64) {
			if b.spec.EIPercent != nil {
				for _, p := range b.spec.EIPercent.Stations {
					rows = append(rows, []float64{p.StationMM, p.EI})
				}
			}
			return rows
		},
		func(b *clubSheet, rows [][]float64) {
			ensured(&b.spec.EIPercent).Stations = nil
			for _, v := range rows {
				b.spec.EIPercent.Stations = append(b.spec.EIPercent.Stations, EIPoint{v[0], v[1]})
			}
		}},
}

// Rows returns the table's rows for a club, in the units of the columns.
func (t StationTable) Rows(c *Club) ([][]float64, error) {
	b, err := c.clubSheet()
	if err != nil {
		return nil, err
	}
	return t.rows(b), nil
}

// stationTableOf returns the table with the key. It panics if there is none.
func stationTableOf(key string) StationTable {
	for _, t := range StationTables {
		if t.Key == key {
			return t
		}
	}
	panic("study: there is no table by station called " + key)
}

// WithStations returns the club with cells of a table by station as typed, from a
// row and column on: numbers in the unit of their column, or with a unit behind.
// Rows beyond the last are new ones, put where their station belongs; they need
// every cell. A row whose station is emptied is taken away. What cannot be is an
// error, and the club comes back as it was.
func (c Club) WithStations(table string, row, col int, cells [][]string) (Club, error) {
	t := stationTableOf(table)
	b, err := c.clubSheet()
	if err != nil {
		return c, err
	}
	rows := t.rows(b)
	known, mark := len(rows), markOf(numbered(cells))
	for i, line := range cells {
		if row+i >= len(rows) {
			if strings.TrimSpace(strings.Join(line, "")) == "" {
				continue
			}
			rows = append(rows, missingRow(len(t.Columns)))
		}
		to := rows[min(row+i, len(rows)-1)]
		for j, text := range line {
			if col+j >= len(to) {
				return c, fmt.Errorf("study: %s has %d columns; the cells do not fit into them from %s on", t.Label, len(to), t.Columns[col].Label)
			}
			if isMissing(text) {
				to[col+j] = math.NaN()
			} else if to[col+j], err = t.Columns[col+j].read(text, "", mark); err != nil {
				return c, fmt.Errorf("study: %w", err)
			}
		}
	}
	whole := rows[:0:0]
	for i, r := range rows {
		if i < known && math.IsNaN(r[0]) {
			continue
		}
		for j, v := range r {
			if math.IsNaN(v) {
				return c, fmt.Errorf("study: the row needs %s as well", t.Columns[j].Label)
			}
		}
		at := len(whole)
		if i >= known {
			for at > 0 && whole[at-1][0] > r[0] {
				at--
			}
		}
		whole = slices.Insert(whole, at, r)
	}
	for i := range whole {
		if err := t.follows(b, whole, i); err != nil {
			return c, fmt.Errorf("study: %w", err)
		}
	}
	t.put(b, whole)
	b.swept()
	return c.with(b)
}

// numbered returns cells as rows of a table.
func numbered(cells [][]string) []sheetRow {
	rows := make([]sheetRow, len(cells))
	for i := range cells {
		rows[i] = sheetRow{i + 1, cells[i]}
	}
	return rows
}

func missingRow(n int) []float64 {
	r := make([]float64, n)
	for i := range r {
		r[i] = math.NaN()
	}
	return r
}

// read reads a cell of the column.
func (c StationColumn) read(text, unit string, mark decimalMark) (float64, error) {
	v, err := c.of.parse(text, unit, mark)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", c.Label, err)
	}
	if err := c.of.believed(v, c.span); err != nil {
		return 0, fmt.Errorf("%s is %w", c.Label, err)
	}
	return v, nil
}

// follows returns an error if row i does not lie on the shaft beyond the row before
// it.
func (t StationTable) follows(b *clubSheet, rows [][]float64, i int) error {
	at := rows[i][0]
	switch length := optional(b.length); {
	case at > length:
		return fmt.Errorf("%s at %v mm lies beyond the shaft of %v mm", t.Label, at, length)
	case i > 0 && at <= rows[i-1][0]:
		return fmt.Errorf("%s at %v mm follows that at %v mm; stations must increase", t.Label, at, rows[i-1][0])
	}
	return nil
}

// filled returns rows of EI and GJ of which a table gave one alone, with the
// other from the table that was there.
func (b *clubSheet) filled(rows [][]float64, missing int) error {
	if len(b.shaft.Station) == 0 {
		return errors.New("it gives EI or GJ alone, and the club has no table yet that the other could be taken from; give both")
	}
	was := beam.Curve{Station: b.shaft.Station, Value: [][]float64{b.shaft.EI, b.shaft.GJ}[missing-1]}
	for _, row := range rows {
		row[missing] = rounded(was.At(row[0] / 1e3))
	}
	return nil
}
