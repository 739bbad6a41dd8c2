package study

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A stationKind is a table by station whose columns a row names.
type stationKind struct {
	StationTable
	cols    []int    // where its columns stand, -1 for one that is missing
	units   []string // of each
	missing int      // the column of EI and GJ that is not there, 0 for none
}

// stationHead returns the tables by station whose columns the row names; ok is
// false for a row that does not name the station.
func (b *benchBlock) stationHead(row sheetRow) (kinds []stationKind, ok bool) {
	find := func(c StationColumn) (int, string) {
		h := newHeading(c.of, c.Key, c.Label, c.names)
		short := newHeading(c.of, strings.TrimSuffix(strings.TrimSuffix(c.Key, "_n_m2"), "_mm"), "", "")
		for col, text := range row.cells {
			words, unit := headingWords(text)
			if behind, ok := h.reads(words); ok {
				return col, unit + behind
			}
			if behind, ok := short.reads(words); ok {
				return col, unit + behind
			}
		}
		return -1, ""
	}
	if col, _ := find(stationColumn); col < 0 {
		return nil, false
	}
	for _, t := range StationTables {
		k := stationKind{StationTable: t}
		var none []int
		for i, c := range t.Columns {
			col, unit := find(c)
			k.cols, k.units = append(k.cols, col), append(k.units, unit)
			if col < 0 {
				none = append(none, i)
			}
		}
		switch {
		case len(none) == 0:
			kinds = append(kinds, k)
		case len(none) == 1 && t.Key == "stiffness":
			k.missing = none[0]
			kinds = append(kinds, k)
		}
	}
	return kinds, true
}

// isUnits reports whether a row below the heading says units alone.
func isUnits(row sheetRow) bool {
	for _, text := range row.cells {
		if text == "" {
			continue
		}
		if !slices.ContainsFunc(dimensions, func(d *dimension) bool { _, ok := d.find(strings.Trim(text, "[]()")); return ok }) {
			return false
		}
	}
	return true
}

// readStations reads tables by station that share their rows.
func (b *benchBlock) readStations(head sheetRow, rows []sheetRow, kinds []stationKind) error {
	if len(kinds) == 0 {
		return b.at(head, -1, fmt.Errorf("the table has the columns %s; beside the station it needs EI and GJ, or span, load and deflection, or mass per length, or EI wanted",
			strings.Join(slices.DeleteFunc(slices.Clone(head.cells), func(s string) bool { return s == "" }), ", ")))
	}
	if len(rows) == 0 {
		return b.at(head, -1, errors.New("the table is empty; it needs rows of numbers below its heading"))
	}
	club := slices.IndexFunc(head.cells, isClubHeading)
	if isUnits(rows[0]) {
		for i, k := range kinds {
			for j, col := range k.cols {
				if col >= 0 && kinds[i].units[j] == "" {
					kinds[i].units[j] = rows[0].cell(col)
				}
			}
		}
		rows = rows[1:]
	}
	for _, k := range kinds {
		of := map[string][][]float64{}
		var order []string
		for _, row := range rows {
			id, err := b.clubOf(row, club)
			if err != nil {
				return err
			}
			if id == "" {
				return b.at(row, -1, b.noClub())
			}
			sheet, err := b.sheet(id)
			if err != nil {
				return err
			}
			values, err := b.stationRow(row, k)
			if err != nil {
				return err
			}
			if values == nil {
				continue
			}
			if of[id] == nil {
				order = append(order, id)
			}
			of[id] = append(of[id], values)
			if err := k.follows(sheet, of[id], len(of[id])-1); err != nil {
				return b.at(row, k.cols[0], err)
			}
		}
		for _, id := range order {
			sheet := b.sheets[id]
			if k.missing > 0 {
				if err := sheet.filled(of[id], k.missing); err != nil {
					return b.at(head, -1, err)
				}
			}
			k.put(sheet, of[id])
			b.gave(id).tables = append(b.gave(id).tables, fmt.Sprintf("%s at %d stations", k.Label, len(of[id])))
		}
	}
	return nil
}

// stationRow returns the numbers of a row, nil for one in which the table has
// none.
func (b *benchBlock) stationRow(row sheetRow, k stationKind) ([]float64, error) {
	empty := true
	for i, col := range k.cols {
		empty = empty && (i == 0 || col < 0 || isMissing(row.cell(col)))
	}
	if empty {
		return nil, nil
	}
	values := make([]float64, len(k.cols))
	for i, col := range k.cols {
		c := k.Columns[i]
		if col < 0 {
			continue
		}
		if isMissing(row.cell(col)) {
			return nil, b.at(row, col, fmt.Errorf("%s is missing", c.Label))
		}
		v, err := c.read(row.cell(col), k.units[i], b.mark)
		if err != nil {
			return nil, b.at(row, col, err)
		}
		values[i] = v
	}
	return values, nil
}
