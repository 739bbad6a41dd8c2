package study

import (
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bendline/kinematics"
)

// The tables that WithTable knows by their columns.
var (
	stiffnessColumns  = []string{"station_mm", "ei_n_m2", "gj_n_m2"}
	threePointColumns = []string{"station_mm", "span_mm", "load_n", "deflection_mm"}
	massColumns       = []string{"station_mm", "g_per_m"}
)

// WithTable returns the club with a table by station that was copied from a
// spreadsheet or a CSV file. Its first row names the columns as the study file
// does ("station_mm", or "Station [mm]"), which tells whether it is the
// stiffness (station_mm, ei_n_m2, gj_n_m2), the three-point readings
// (station_mm, span_mm, load_n, deflection_mm) or the mass (station_mm,
// g_per_m). Columns stand in any order; others are left alone. The table of
// that kind that was there is replaced.
//
// Cells are parted by tabs, semicolons or commas, whichever the first row has;
// but for commas, a decimal comma is read too. A table that cannot be is an
// error that names the line, and the club comes back as it was.
func (c Club) WithTable(text string) (Club, error) {
	rows, err := cells(text)
	if err != nil {
		return c, err
	}
	names := make([]string, len(rows[0]))
	for i, name := range rows[0] {
		names[i] = columnKey(name)
	}
	for _, kind := range []struct {
		columns []string
		put     func(Club, [][]float64) (Club, error)
	}{{stiffnessColumns, Club.withStiffness}, {threePointColumns, Club.withThreePoint}, {massColumns, Club.withMass}} {
		if slices.ContainsFunc(kind.columns, func(k string) bool { return !slices.Contains(names, k) }) {
			continue
		}
		values, err := columns(rows, names, kind.columns)
		if err != nil {
			return c, err
		}
		changed, err := kind.put(c, values)
		if err != nil {
			return c, fmt.Errorf("study: the table: %w", err)
		}
		return changed, nil
	}
	return c, fmt.Errorf("study: the table has the columns %s; it needs %s, or %s, or %s", strings.Join(rows[0], ", "),
		strings.Join(stiffnessColumns, ", "), strings.Join(threePointColumns, ", "), strings.Join(massColumns, ", "))
}

// cells returns the rows of the text, at least a header and one more.
func cells(text string) ([][]string, error) {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
	first, _, _ := strings.Cut(text, "\n")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	for _, d := range "\t;," {
		if strings.ContainsRune(first, d) {
			r.Comma = d
			break
		}
	}
	r.TrimLeadingSpace = r.Comma != '\t'
	rows, err := r.ReadAll()
	switch {
	case err != nil:
		return nil, fmt.Errorf("study: the table: %w", err)
	case len(rows) < 2:
		return nil, errors.New("study: the table is empty; it needs a row that names the columns and rows of numbers below it")
	}
	if r.Comma != ',' {
		for _, row := range rows[1:] {
			for i, cell := range row {
				row[i] = strings.Replace(cell, ",", ".", 1)
			}
		}
	}
	return rows, nil
}

// columnKey returns "station_mm" for "Station [mm]".
func columnKey(name string) string {
	words := strings.FieldsFunc(strings.ToLower(strings.ReplaceAll(name, "²", "2")), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	return strings.Join(words, "_")
}

// columns returns the numbers of the wanted columns, row by row.
func columns(rows [][]string, names, wanted []string) ([][]float64, error) {
	var out [][]float64
	for i, row := range rows[1:] {
		values := make([]float64, len(wanted))
		for k, name := range wanted {
			at := slices.Index(names, name)
			if at >= len(row) {
				return nil, fmt.Errorf("study: the table: row %d has no %s", i+2, name)
			}
			v, err := strconv.ParseFloat(strings.TrimSpace(row[at]), 64)
			if err != nil {
				return nil, fmt.Errorf("study: the table: row %d: %s is %q, which is no number", i+2, name, row[at])
			}
			values[k] = v
		}
		out = append(out, values)
	}
	return out, nil
}

func (c Club) withStiffness(rows [][]float64) (Club, error) {
	c.Shaft = kinematics.Shaft{Length: c.Shaft.Length}
	for _, v := range rows {
		c.Shaft.Station = append(c.Shaft.Station, v[0]/1e3)
		c.Shaft.EI = append(c.Shaft.EI, v[1])
		c.Shaft.GJ = append(c.Shaft.GJ, v[2])
	}
	return c, validateShaft(c.Shaft)
}

func (c Club) withThreePoint(rows [][]float64) (Club, error) {
	s, err := c.Sheet()
	if err != nil {
		return c, err
	}
	s.ThreePoint = nil
	for _, v := range rows {
		s.ThreePoint = append(s.ThreePoint, BendReading{v[0], v[1], v[2], v[3]})
	}
	return c.WithSheet(s)
}

func (c Club) withMass(rows [][]float64) (Club, error) {
	s, err := c.Sheet()
	if err != nil {
		return c, err
	}
	s.Mass = nil
	for _, v := range rows {
		s.Mass = append(s.Mass, MassStation{v[0], v[1]})
	}
	return c.WithSheet(s)
}
