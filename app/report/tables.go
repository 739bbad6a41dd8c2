package report

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"bendline/app/study"
)

// WriteTables writes every table and curve to path: a workbook for a name that
// ends in ".xlsx", else a folder of CSV files. The first row of each names the
// columns, the second their units. Values are empty where they are not known.
// c and progress may be nil.
//
// Text is never a formula: in CSV files, text that begins as one has an
// apostrophe before it. With a decimal comma, CSV fields are separated by
// semicolons. A cancelled ctx, or a failure, leaves path as it was.
func WriteTables(ctx context.Context, a *study.Analysis, c *study.Comparison, path string, o Options, progress Progress) error {
	if o.Plan == nil {
		p, err := PlanOf(a.Study)
		if err != nil {
			return err
		}
		o.Plan = p
	}
	m, err := gather(a, c, o)
	if err != nil {
		return err
	}
	if progress == nil {
		progress = silent
	}
	all, err := m.sheets(ctx)
	if err != nil {
		return fmt.Errorf("report: tables: %w", err)
	}
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".xlsx":
		err = study.WriteFile(path, func(w io.Writer) error { return m.workbook(ctx, w, all, progress) })
	case ext == "" || isFolder(path):
		err = m.writeCSV(ctx, path, all, progress)
	default:
		return fmt.Errorf("report: %s: cannot write tables as %q; name an .xlsx file, or a folder for CSV files", path, ext)
	}
	if err != nil {
		return fmt.Errorf("report: writing %s: %w", path, err)
	}
	return nil
}

// workbook writes the sheets as an XLSX file.
func (m *material) workbook(ctx context.Context, w io.Writer, all []sheet, progress Progress) error {
	f := excelize.NewFile()
	defer f.Close() // only temporary files of very large sheets can be lost
	const font = "Arial"
	if err := f.SetDefaultFont(font); err != nil {
		return err
	}
	head, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Family: font, Bold: true}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	if err != nil {
		return err
	}
	units, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Family: font, Color: "#5C6975"}, Border: []excelize.Border{{Type: "bottom", Color: "#1D2730", Style: 1}}})
	if err != nil {
		return err
	}
	for i, s := range all {
		if err := ctx.Err(); err != nil {
			return err
		}
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.name)
		} else {
			_, err = f.NewSheet(s.name)
		}
		if err != nil {
			return err
		}
		if err := fillSheet(f, s, head, units); err != nil {
			return fmt.Errorf("sheet %s: %w", s.name, err)
		}
		progress(i+1, len(all))
	}
	date := m.o.made().UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{Title: m.study.Title, Creator: m.o.creator(), Created: date, Modified: date}); err != nil {
		return err
	}
	_, err = f.WriteTo(w)
	return err
}

// fillSheet writes the names and units of the columns and the rows.
func fillSheet(f *excelize.File, s sheet, head, units int) error {
	for k, c := range s.columns {
		name, err := excelize.ColumnNumberToName(k + 1)
		if err != nil {
			return err
		}
		if c.digits > 0 {
			format := "0." + strings.Repeat("0", c.digits)
			style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
			if err != nil {
				return err
			}
			if err := f.SetColStyle(s.name, name, style); err != nil {
				return err
			}
		}
		if err := f.SetColWidth(s.name, name, name, s.width(k)); err != nil {
			return err
		}
	}
	put := func(k, row int, v any) error {
		at, err := excelize.CoordinatesToCellName(k+1, row)
		if err != nil {
			return err
		}
		switch v := v.(type) {
		case string:
			return f.SetCellStr(s.name, at, v)
		case float64:
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil
			}
			return f.SetCellFloat(s.name, at, v, -1, 64)
		case int:
			return f.SetCellInt(s.name, at, int64(v))
		}
		return nil
	}
	for k, c := range s.columns {
		if err := put(k, 1, c.head); err != nil {
			return err
		}
		if err := put(k, 2, c.unit); err != nil {
			return err
		}
	}
	for row, high := range map[int]float64{1: 30, 2: 15} { // two lines, and one
		if err := f.SetRowHeight(s.name, row, high); err != nil {
			return err
		}
	}
	last, err := excelize.CoordinatesToCellName(max(1, len(s.columns)), 1)
	if err != nil {
		return err
	}
	under := strings.TrimSuffix(last, "1") + "2"
	if err := f.SetCellStyle(s.name, "A1", last, head); err != nil {
		return err
	}
	if err := f.SetCellStyle(s.name, "A2", under, units); err != nil {
		return err
	}
	for i, row := range s.rows {
		for k, v := range row {
			if err := put(k, i+3, v); err != nil {
				return err
			}
		}
	}
	if err := printed(f, s.name); err != nil {
		return err
	}
	return f.SetPanes(s.name, &excelize.Panes{Freeze: true, XSplit: 1, YSplit: 2, TopLeftCell: "B3", ActivePane: "bottomRight"})
}

// printed sets how a sheet is printed: across, as wide as a page, with the names
// and units of the columns on every page.
func printed(f *excelize.File, sheet string) error {
	fit, across, wide, long := true, "landscape", 1, 0 // as many pages long as it takes
	if err := f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	if err := f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &across, FitToWidth: &wide, FitToHeight: &long}); err != nil {
		return err
	}
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + sheet + "'!$1:$2", Scope: sheet})
}

// width is that of column k in characters: what its cells need, within bounds.
func (s sheet) width(k int) float64 {
	n := (len([]rune(s.columns[k].head)) + 1) / 2 // in two lines
	for _, row := range s.rows {
		if text, ok := at(row, k).(string); ok {
			n = max(n, len([]rune(text)))
		}
	}
	return float64(max(10, min(n, 60)) + 4)
}

// at returns row[k], nil where the row is shorter.
func at(row []any, k int) any {
	if k < len(row) {
		return row[k]
	}
	return nil
}

// writeCSV writes the sheets to a folder, a CSV file for each.
func (m *material) writeCSV(ctx context.Context, dir string, all []sheet, progress Progress) error {
	files := make([]folderFile, len(all))
	for i, s := range all {
		files[i] = folderFile{s.name + ".csv", func(w io.Writer) error { return s.csv(w, m.format) }}
	}
	return fillFolder(ctx, dir, files, progress)
}

// csv writes a sheet as comma-separated values (RFC 4180), separated by
// semicolons where numbers have a decimal comma.
func (s sheet) csv(w io.Writer, f format) error {
	c := csv.NewWriter(w)
	if f.comma {
		c.Comma = ';'
	}
	heads, units := make([]string, len(s.columns)), make([]string, len(s.columns))
	for k, col := range s.columns {
		heads[k], units[k] = harmless(col.head), harmless(col.unit)
	}
	c.Write(heads) // errors are kept, and told by Error
	c.Write(units)
	for _, row := range s.rows {
		fields := make([]string, len(s.columns))
		for k := range fields {
			switch v := at(row, k).(type) {
			case string:
				fields[k] = harmless(v)
			case int:
				fields[k] = strconv.Itoa(v)
			case float64:
				fields[k] = f.decimal(v, s.columns[k].digits)
			}
		}
		c.Write(fields)
	}
	c.Flush()
	return c.Error()
}

// decimal returns v with the given decimals as programs read it, "" where it is
// not known.
func (f format) decimal(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if f.comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// harmless returns text that no program takes for a formula.
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}
