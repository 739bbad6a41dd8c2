package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// An itemHead is what the columns of a table with items in rows hold.
type itemHead struct {
	item, unit int // columns; unit is -1 without one
	columns    []itemColumn
}

type itemColumn struct {
	col  int
	role role
	club string // id, "" for the table's
	unit string // of all its values, "" for the item's
}

// itemHead reads the row above items: one that names a role or a club in a column.
func (b *benchBlock) itemHead(row sheetRow) (itemHead, bool) {
	h := itemHead{item: -1, unit: -1}
	for col, text := range row.cells {
		if text == "" {
			continue
		}
		words, unit := headingWords(text)
		if c := b.study.clubNamed(text); c != nil {
			h.columns = append(h.columns, itemColumn{col, valueRole, c.ID, ""})
			continue
		}
		role, rest := roleOf(words)
		switch {
		case role == unitRole && len(rest) == 0:
			h.unit = col
		case role == itemRole && len(rest) == 0:
			h.item = col
		case role >= valueRole && role <= highRole && len(rest) == 0:
			h.columns = append(h.columns, itemColumn{col, role, "", unit})
		case role >= valueRole && role <= highRole:
			// "Baseline target"
			name := strings.TrimSpace(text[:max(0, strings.LastIndexAny(text, " _,"))])
			if c := b.study.clubNamed(strings.TrimRight(name, " ,_")); c != nil {
				h.columns = append(h.columns, itemColumn{col, role, c.ID, unit})
			}
		}
	}
	if h.item < 0 {
		h.item = 0
	}
	if len(h.columns) == 0 || h.columns[0].col <= h.item {
		return h, false
	}
	return h, true
}

// plainHead is the head of items without one: the item, perhaps its unit, and
// its value.
func plainHead(rows []sheetRow) itemHead {
	for _, row := range rows {
		if second := row.cell(1); second != "" && !numberAtStart.MatchString(second) && row.cell(2) != "" {
			return itemHead{0, 1, []itemColumn{{2, valueRole, "", ""}}}
		}
	}
	return itemHead{0, -1, []itemColumn{{1, valueRole, "", ""}}}
}

// readItems reads a row for each item.
func (b *benchBlock) readItems(h itemHead, rows []sheetRow) error {
	var clubs []string // limits that name no club are those of all that have values
	for _, c := range h.columns {
		if c.role == valueRole && c.club != "" && !slices.Contains(clubs, c.club) {
			clubs = append(clubs, c.club)
		}
	}
	for _, row := range rows {
		name := row.cell(h.item)
		n, ok := fieldNamed(name)
		if !ok || n.role != valueRole {
			if name != "" {
				b.leave(row, name)
			}
			continue
		}
		if h.unit >= 0 && row.cell(h.unit) != "" {
			n.unit = row.cell(h.unit)
		}
		for _, role := range []role{valueRole, targetRole, minusRole, plusRole, bothRole, lowRole, highRole} { // a target before what counts from it
			for _, c := range h.columns {
				if c.role != role {
					continue
				}
				to := []string{c.club}
				if c.club == "" {
					to = []string{b.club}
					if len(clubs) > 0 {
						to = clubs
					}
				}
				unit := n.unit
				if c.unit != "" {
					unit = c.unit
				}
				for _, id := range to {
					if err := b.put(row, c.col, id, naming{n.field, role, unit}); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// isWide reports whether a row names items in columns.
func (b *benchBlock) isWide(row sheetRow) bool {
	items, cells, club := 0, 0, false
	for _, text := range row.cells {
		if text == "" {
			continue
		}
		cells++
		if numberAtStart.MatchString(text) {
			return false
		}
		if _, ok := fieldNamed(text); ok {
			items++
		} else if isClubHeading(text) {
			club = true
		}
	}
	return items > 1 || items == 1 && (club || cells == 1)
}

// isClubHeading reports whether a column under the heading names clubs.
func isClubHeading(text string) bool {
	words, _ := headingWords(text)
	role, rest := roleOf(words)
	return role == clubRole && len(rest) == 0
}

// A wideColumn is a column of values of one item.
type wideColumn struct {
	col int
	naming
}

// readWide reads a row for each club.
func (b *benchBlock) readWide(head sheetRow, rows []sheetRow) error {
	club := -1
	var columns []wideColumn
	for col, text := range head.cells {
		if n, ok := fieldNamed(text); ok {
			columns = append(columns, wideColumn{col, n})
		} else if isClubHeading(text) && club < 0 {
			club = col
		} else if text != "" {
			b.leave(head, text)
		}
	}
	// A target before what counts from it.
	slices.SortStableFunc(columns, func(x, y wideColumn) int { return int(x.role) - int(y.role) })
	if len(rows) > 0 && isUnits(rows[0]) {
		for i, c := range columns {
			if c.unit == "" {
				columns[i].unit = rows[0].cell(c.col)
			}
		}
		rows = rows[1:]
	}
	of := ""
	for _, row := range rows {
		id, err := b.clubOf(row, club)
		if err != nil {
			return err
		}
		if club < 0 && of != "" {
			return b.at(row, -1, errors.New("it is the second row of values of one club; a column club is needed that says whose each is"))
		}
		of = id
		for _, c := range columns {
			if err := b.put(row, c.col, id, c.naming); err != nil {
				return err
			}
		}
	}
	return nil
}

// clubOf returns the id of the club that a row is of: what its cell in the column
// names, or where no column names clubs (−1) that of the whole block.
func (b *benchBlock) clubOf(row sheetRow, column int) (string, error) {
	if column < 0 {
		return b.club, nil
	}
	c := b.study.clubNamed(row.cell(column))
	if c == nil {
		return "", b.at(row, column, fmt.Errorf("there is no club %q; the clubs are %s", row.cell(column), b.clubIDs()))
	}
	return c.ID, nil
}

// put puts a cell into the sheet of a club. An empty cell changes nothing.
func (b *benchBlock) put(row sheetRow, col int, id string, n naming) error {
	text := row.cell(col)
	if isMissing(text) {
		return nil
	}
	if id == "" {
		return b.at(row, col, b.noClub())
	}
	sheet, err := b.sheet(id)
	if err != nil {
		return err
	}
	set := func(c BenchColumn, text, unit string) {
		if err == nil {
			err = n.field.set(sheet, c, text, unit, b.mark, b.zero)
		}
	}
	switch n.role {
	case valueRole:
		set(BenchValue, text, n.unit)
	case targetRole:
		set(BenchTarget, text, n.unit)
	case minusRole:
		set(BenchMinus, text, n.unit)
	case plusRole:
		set(BenchPlus, text, n.unit)
	case bothRole:
		set(BenchMinus, text, n.unit)
		set(BenchPlus, text, n.unit)
	case lowRole, highRole:
		err = n.field.setEnd(sheet, n.role == highRole, text, n.unit, b.mark, b.zero)
	}
	if err == nil && n.role > targetRole {
		sheet.swept()
		if n.field.key != bandKey { // its target may follow, in a table by station
			err = n.field.whole(sheet)
		}
	}
	if err != nil {
		return b.at(row, col, err)
	}
	b.gave(id).items++
	return nil
}

// setEnd sets a limit that is given as the lowest or the highest value.
func (f *benchField) setEnd(b *clubSheet, high bool, text, unit string, mark decimalMark, zero float64) error {
	target, minus, plus := f.limit(&b.spec, BenchTarget), f.limit(&b.spec, BenchMinus), f.limit(&b.spec, BenchPlus)
	if target == nil {
		return fmt.Errorf("%s takes no lowest or highest value; give minus and plus", f.label)
	}
	v, err := f.parse(text, unit, mark, zero)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %w", f.label, err)
	case *target == nil:
		return fmt.Errorf("%s has a tolerance without a target; give the target too", f.label)
	}
	distance, into := rounded(**target-v), minus
	if high {
		distance, into = rounded(v-**target), plus
	}
	if !(distance >= 0) || math.IsInf(distance, 0) {
		return fmt.Errorf("%s: a limit of %v %s is on the wrong side of the target of %v", f.label, v, f.of.kept(), **target)
	}
	*into = &distance
	return nil
}
