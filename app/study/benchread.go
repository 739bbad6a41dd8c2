package study

import (
	"fmt"
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
		what := "the table"
		if len(tables) > 0 && tables[0].Name != "" {
			what = tables[0].Name
		}
		return nil, BenchTaken{}, fmt.Errorf("study: %s names nothing of a bench sheet; it needs items such as weight_g or \"Frequency [cpm]\" with their values, or a column station_mm with ei_n_m2 and gj_n_m2, with span_mm, load_n and deflection_mm, with g_per_m, or with target_ei_n_m2", what)
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
	parts := t.tables
	switch {
	case t.items == 1:
		parts = append([]string{"1 value"}, parts...)
	case t.items > 1:
		parts = append([]string{fmt.Sprintf("%d values", t.items)}, parts...)
	}
	return c.name() + ": " + strings.Join(parts, ", ")
}

// A benchReader fills the sheets of clubs from tables.
type benchReader struct {
	study  *Study
	zero   float64
	sheets map[string]*clubSheet
	got    map[string]*taken
	left   []string
}

// name returns what people call the club: its label, or its id.
func (c *Club) name() string {
	if c.Label != "" {
		return c.Label
	}
	return "club " + c.ID
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

// noClub returns the error of values of which no club is known.
func (b *benchBlock) noClub() error {
	return fmt.Errorf("it does not say of which club the values are; choose one, or name it in a column (%s)", b.clubIDs())
}

// clubIDs lists the clubs of the study.
func (b *benchBlock) clubIDs() string {
	ids := make([]string, len(b.study.Clubs))
	for i, c := range b.study.Clubs {
		ids[i] = c.ID
	}
	return strings.Join(ids, ", ")
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
		below := rows[i+1:]
		if kinds, ok := b.stationHead(row); ok {
			if !stations {
				return nil
			}
			return b.readStations(row, below, kinds)
		}
		var items func() error
		if head, ok := b.itemHead(row); ok {
			items = func() error { return b.readItems(head, below) }
		} else if b.isWide(row) {
			items = func() error { return b.readWide(row, below) }
		} else if n, ok := fieldNamed(row.cell(0)); ok && n.role == valueRole {
			items = func() error { return b.readItems(plainHead(rows[i:]), rows[i:]) }
		}
		switch {
		case items != nil && stations:
			return nil
		case items != nil:
			return items()
		case stations: // told once
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
