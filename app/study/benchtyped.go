package study

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// A BenchRow is an item of a club's sheet, with what the spec wants of it. NaN is
// missing.
type BenchRow struct {
	Key, Label, Unit string
	Digits           int
	Values           [4]float64 // by BenchColumn
	Takes            [4]bool    // whether the column can be given
	FromOthers       bool       // the value was not given and follows from others
	Checked          bool       // the spec names it
	Verdict          Verdict    // then; of several stations the worst
}

// BenchRows returns every item that a sheet may have, in its order.
func (c *Club) BenchRows() ([]BenchRow, error) {
	b, err := c.clubSheet()
	if err != nil {
		return nil, err
	}
	verdicts := map[string]Verdict{}
	for _, k := range checks(c, &b.sheet, &b.spec) {
		if was, ok := verdicts[k.Item]; !ok || k.Verdict == Failed || k.Verdict == Missing && was == Passed {
			verdicts[k.Item] = k.Verdict
		}
	}
	rows := make([]BenchRow, len(benchFields))
	for i := range benchFields {
		f := &benchFields[i]
		r := BenchRow{Key: f.key, Label: f.label, Unit: f.of.kept(), Digits: f.digits}
		r.Values[BenchValue] = f.measured(b)
		r.Takes[BenchValue] = f.at != nil
		r.Verdict, r.Checked = verdicts[f.key]
		r.FromOthers = f.at != nil && *f.at(b) == nil && !math.IsNaN(r.Values[BenchValue])
		for _, k := range []BenchColumn{BenchTarget, BenchMinus, BenchPlus} {
			r.Values[k] = math.NaN()
			if p := f.limit(&b.spec, k); p != nil {
				r.Values[k], r.Takes[k] = known(*p), true
			}
		}
		rows[i] = r
	}
	return rows, nil
}

// WithBenchTexts returns the club with values of its sheet and limits of its spec
// as typed, from an item and column on: below it the items that follow, beside it
// the columns that follow. Cells are as of WithBenchText; empty ones change
// nothing. An error names the item.
func (c Club) WithBenchTexts(key string, column BenchColumn, cells [][]string, zero float64) (Club, error) {
	b, err := c.clubSheet()
	if err != nil {
		return c, err
	}
	from := slices.IndexFunc(benchFields, func(f benchField) bool { return f.key == key })
	mark := markOf(numbered(cells))
	var changed []*benchField
	for i, line := range cells {
		if from+i >= len(benchFields) {
			return c, fmt.Errorf("study: %d rows do not fit below %s: the sheet ends %d rows further down", len(cells), benchFields[from].label, len(benchFields)-1-from)
		}
		f := &benchFields[from+i]
		changed = append(changed, f)
		for j, text := range line {
			if isMissing(text) {
				continue
			}
			if column+BenchColumn(j) > BenchPlus {
				return c, fmt.Errorf("study: the cells do not fit beside %s: the last column is %v", f.label, BenchPlus)
			}
			if err := f.set(b, column+BenchColumn(j), text, "", mark, zero); err != nil {
				return c, fmt.Errorf("study: row %d: %w", i+1, err)
			}
		}
	}
	b.swept()
	for _, f := range changed {
		if err := f.whole(b); err != nil {
			return c, fmt.Errorf("study: %w", err)
		}
	}
	return c.with(b)
}

// BenchText returns the club's sheet as a text that spreadsheets take and WithBench
// reads: a table of items and one for each table by station that the club has.
func (c *Club) BenchText() (string, error) {
	b, err := c.clubSheet()
	if err != nil {
		return "", err
	}
	var out strings.Builder
	number := func(v *float64) string {
		if v == nil {
			return ""
		}
		return strconv.FormatFloat(*v, 'f', -1, 64)
	}
	fmt.Fprint(&out, "item\tunit\tvalue\ttarget\tminus\tplus\n")
	for i := range benchFields {
		f := &benchFields[i]
		cells := []string{f.label, f.of.kept(), "", "", "", ""}
		if f.at != nil {
			cells[2] = number(*f.at(b))
		}
		for k := BenchTarget; k <= BenchPlus; k++ {
			if p := f.limit(&b.spec, k); p != nil {
				cells[2+k] = number(*p)
			}
		}
		if strings.Join(cells[2:], "") != "" {
			fmt.Fprintln(&out, strings.Join(cells, "\t"))
		}
	}
	for _, t := range StationTables {
		rows := t.rows(b)
		if len(rows) == 0 {
			continue
		}
		heads := make([]string, len(t.Columns))
		for i, col := range t.Columns {
			heads[i] = fmt.Sprintf("%s [%s]", col.Label, col.Unit())
		}
		fmt.Fprintf(&out, "\n%s\n", strings.Join(heads, "\t"))
		for _, row := range rows {
			cells := make([]string, len(row))
			for i := range row {
				cells[i] = number(&row[i])
			}
			fmt.Fprintln(&out, strings.Join(cells, "\t"))
		}
	}
	return out.String(), nil
}

// WithBenchText returns the club with one value of its sheet, or one limit of its
// spec, as typed: a number in the item's unit, or with a unit behind it; empty
// takes it away. zero is the swing weight called D0, oz in. What cannot be is an
// error that says why, and the club comes back as it was. It panics for a key that
// no item has.
func (c Club) WithBenchText(key string, column BenchColumn, text string, zero float64) (Club, error) {
	b, err := c.clubSheet()
	if err != nil {
		return c, err
	}
	f := fieldOf(key)
	if err := f.set(b, column, text, "", markUnknown, zero); err != nil {
		return c, fmt.Errorf("study: %w", err)
	}
	b.swept()
	if err := f.whole(b); err != nil {
		return c, fmt.Errorf("study: %w", err)
	}
	return c.with(b)
}

// set puts a typed value or limit into the sheet; one that is missing takes it
// away.
func (f *benchField) set(b *clubSheet, column BenchColumn, text, unit string, mark decimalMark, zero float64) error {
	var into **float64
	if column != BenchValue {
		into = f.limit(&b.spec, column)
	} else if f.at != nil {
		into = f.at(b)
	}
	if into == nil {
		return fmt.Errorf("%s has no %v of its own", f.label, column)
	}
	if isMissing(text) {
		*into = nil
		return nil
	}
	switch column {
	case BenchValue, BenchTarget:
		v, err := f.parse(text, unit, mark, zero)
		if err != nil {
			return fmt.Errorf("%s: %w", f.label, err)
		}
		if err := f.of.believed(v, f.span); err != nil {
			return fmt.Errorf("%s is %w", f.label, err)
		}
		*into = &v
	default:
		v, err := f.of.parse(strings.TrimPrefix(strings.TrimSpace(text), "±"), unit, mark)
		if err != nil {
			return fmt.Errorf("%s, %v: %w", f.label, column, err)
		}
		if column == BenchMinus {
			v = math.Abs(v) // often written as a negative number
		}
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("%s, %v: %v is a distance from the target, not negative", f.label, column, v)
		}
		*into = &v
	}
	return nil
}

// whole returns an error if the field has a tolerance without a target.
func (f *benchField) whole(b *clubSheet) error {
	if f.spec == nil {
		if e := b.spec.EIPercent; f.key == bandKey && e != nil && len(e.Stations) == 0 {
			return fmt.Errorf("%s has a tolerance without a target; give the EI wanted at stations first", f.label)
		}
		return nil
	}
	if t := *f.spec(&b.spec); t != nil && t.Target == nil {
		return fmt.Errorf("%s has a tolerance without a target; give the target first, or take minus and plus away before it", f.label)
	}
	return nil
}
