package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// BenchTaken is what was taken out of tables of bench values.
type BenchTaken struct {
	Clubs []string // what each club got, a phrase each: "Baseline: 12 items, EI and GJ at 9 stations"
	Left  []string // rows and columns that name nothing of a bench sheet
}

// String returns a sentence.
func (t BenchTaken) String() string {
	s := "Taken for " + strings.Join(t.Clubs, "; for ") + "."
	if len(t.Left) > 0 {
		s += " Left alone: " + strings.Join(shortened(t.Left), ", ") + "."
	}
	return s
}

// WithBench returns the study with what tables say of the bench sheets of its
// clubs. club is the id of the club of tables that name none; "" where they all
// do, or the study has one club. A table is one of these, in any order of rows and
// columns; blank rows part tables, and cells that are empty change nothing:
//
//   - items in rows: a name, its unit (in brackets, in a column, or behind the
//     value; else that of the study file), and columns called value, target, minus,
//     plus, tolerance, low or high, or after clubs;
//   - items in columns, with a row for each club;
//   - a table by station, in place of the one of that kind: station with EI and GJ,
//     with span, load and deflection, with mass per length, or with the EI wanted,
//     and perhaps a column that names the club.
//
// What cannot be is an error that names row and column; nothing is then taken.
func (s *Study) WithBench(tables []BenchTable, club string) (*Study, BenchTaken, error) {
	r := &benchReader{study: s, zero: s.BenchOptions().SwingWeightZero, sheets: map[string]*clubSheet{}, got: map[string]*taken{}}
	// Items before stations: a station is held against the length.
	for _, stations := range []bool{false, true} {
		for i := range tables {
			if err := r.table(&tables[i], club, stations); err != nil {
				return nil, BenchTaken{}, fmt.Errorf("study: %w", err)
			}
		}
	}
	if len(r.got) == 0 {
		return nil, BenchTaken{}, errors.New("study: the table names nothing of a bench sheet; it needs items such as weight_g or \"Frequency [cpm]\" with their values, or a column station_mm with ei_n_m2 and gj_n_m2, with span_mm, load_n and deflection_mm, with g_per_m, or with target_ei_n_m2")
	}
	out := *s
	out.Clubs = slices.Clone(s.Clubs)
	taken := BenchTaken{Left: r.left}
	for i := range out.Clubs {
		c := &out.Clubs[i]
		got := r.got[c.ID]
		if got == nil {
			continue
		}
		b := r.sheets[c.ID]
		b.swept()
		changed, err := c.with(b)
		if err != nil {
			return nil, BenchTaken{}, fmt.Errorf("study: club %q: %w", c.ID, err)
		}
		*c = changed
		taken.Clubs = append(taken.Clubs, got.phrase(c))
	}
	return &out, taken, nil
}

// taken counts what a club got.
type taken struct {
	items  int
	tables []string
}

func (t *taken) phrase(c *Club) string {
	name := c.Label
	if name == "" {
		name = c.ID
	}
	parts := t.tables
	switch {
	case t.items == 1:
		parts = append([]string{"1 value"}, parts...)
	case t.items > 1:
		parts = append([]string{fmt.Sprintf("%d values", t.items)}, parts...)
	}
	return name + ": " + strings.Join(parts, ", ")
}

// A benchReader fills the sheets of clubs from tables.
type benchReader struct {
	study  *Study
	zero   float64
	sheets map[string]*clubSheet
	got    map[string]*taken
	left   []string
}

// clubNamed returns the club whose id or label a text is, nil for none.
func (s *Study) clubNamed(text string) *Club {
	for i := range s.Clubs {
		if c := &s.Clubs[i]; text != "" && (strings.EqualFold(c.ID, text) || strings.EqualFold(c.Label, text)) {
			return c
		}
	}
	return nil
}

// sheet returns the sheet of a club, to be filled.
func (r *benchReader) sheet(id string) (*clubSheet, error) {
	if r.sheets[id] == nil {
		b, err := r.study.Club(id).clubSheet()
		if err != nil {
			return nil, err
		}
		r.sheets[id] = b
	}
	return r.sheets[id], nil
}

func (r *benchReader) gave(id string) *taken {
	if r.got[id] == nil {
		r.got[id] = &taken{}
	}
	return r.got[id]
}

// table reads a table: those by station, or those of items.
func (r *benchReader) table(t *BenchTable, club string, stations bool) error {
	if c := r.study.clubNamed(t.Tab); c != nil {
		club = c.ID
	}
	if club == "" && len(r.study.Clubs) == 1 {
		club = r.study.Clubs[0].ID
	}
	for _, rows := range t.blocks() {
		block := benchBlock{benchReader: r, table: t, mark: markOf(rows), club: club}
		if err := block.read(rows, stations); err != nil {
			return err
		}
	}
	return nil
}

// A benchBlock is rows of a table up to a blank one.
type benchBlock struct {
	*benchReader
	table *BenchTable
	mark  decimalMark
	club  string // of values that name none
}

// errNoClub is the error of values of which no club is known.
func (b *benchBlock) noClub() error {
	ids := make([]string, len(b.study.Clubs))
	for i, c := range b.study.Clubs {
		ids[i] = c.ID
	}
	return fmt.Errorf("it does not say of which club the values are; choose one, or name it in a column (%s)", strings.Join(ids, ", "))
}

// at puts the place of a cell before an error.
func (b *benchBlock) at(row sheetRow, col int, err error) error {
	return fmt.Errorf("%s: %w", b.table.place(row, col), err)
}

func (b *benchBlock) leave(row sheetRow, text string) {
	b.left = append(b.left, fmt.Sprintf("row %d “%s”", row.number, text))
}

// read finds the row that names the columns, and reads those below it.
func (b *benchBlock) read(rows []sheetRow, stations bool) error {
	for i, row := range rows {
		if kinds, station := b.stationHead(row); station {
			if !stations {
				return nil
			}
			return b.readStations(row, rows[i+1:], kinds)
		}
		if head, ok := b.itemHead(row); ok {
			if stations {
				return nil
			}
			return b.readItems(head, rows[i+1:])
		}
		if b.isWide(row) {
			if stations {
				return nil
			}
			return b.readWide(row, rows[i+1:])
		}
		if n, ok := fieldNamed(row.cell(0)); ok && n.role == valueRole {
			if stations {
				return nil
			}
			return b.readItems(plainHead(rows[i:]), rows[i:])
		}
		if stations { // told once
			continue
		}
		text := strings.TrimSpace(strings.Join(row.cells, " "))
		if c := b.study.clubNamed(text); c != nil {
			b.club = c.ID
			continue
		}
		b.leave(row, text)
	}
	return nil
}

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
		} else if r, rest := roleOf(first(headingWords(text))); r == clubRole && len(rest) == 0 {
			club = true
		}
	}
	return items > 1 || items == 1 && (club || cells == 1)
}

func first(words []string, _ string) []string { return words }

// readWide reads a row for each club.
func (b *benchBlock) readWide(head sheetRow, rows []sheetRow) error {
	club := -1
	var columns []struct {
		col int
		naming
	}
	for col, text := range head.cells {
		if n, ok := fieldNamed(text); ok {
			columns = append(columns, struct {
				col int
				naming
			}{col, n})
		} else if r, rest := roleOf(first(headingWords(text))); r == clubRole && len(rest) == 0 && club < 0 {
			club = col
		} else if text != "" {
			b.leave(head, text)
		}
	}
	slices.SortStableFunc(columns, func(x, y struct {
		col int
		naming
	}) int {
		return int(x.role) - int(y.role)
	})
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
		id := b.club
		if club >= 0 {
			c := b.study.clubNamed(row.cell(club))
			if c == nil {
				return b.at(row, club, b.unknownClub(row.cell(club)))
			}
			id = c.ID
		} else if of != "" {
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

func (b *benchBlock) unknownClub(text string) error {
	var names []string
	for _, c := range b.study.Clubs {
		names = append(names, c.ID)
	}
	return fmt.Errorf("there is no club %q; the clubs are %s", text, strings.Join(names, ", "))
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
