package study

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// A BenchTable is the cells of one table of values, as they were copied from a
// spreadsheet or read from a file.
type BenchTable struct {
	Name string // of its file and worksheet, "" for what was pasted
	Tab  string // name of its worksheet, "" without one
	rows []sheetRow
}

// A sheetRow is a row that is not blank.
type sheetRow struct {
	number int // in the spreadsheet, from 1
	cells  []string
}

// maxBench is the largest file of bench values read, bytes.
const maxBench = 16 << 20

// maxCells is how many cells are read of one worksheet.
const maxCells = 1 << 20

// ReadBench reads the tables of a workbook (.xlsx) or of a text file whose cells
// are parted by commas, semicolons or tabs. An unreadable file, and one without
// a cell, is an error.
func ReadBench(path string) ([]BenchTable, error) {
	f, err := os.Open(path)
	if err != nil {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return nil, fmt.Errorf("study: cannot read %s: %w", path, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("study: %s is a folder; name a CSV file or a workbook", path)
	}
	b, err := io.ReadAll(io.LimitReader(f, maxBench+1))
	name := filepath.Base(path)
	switch {
	case err != nil:
		return nil, fmt.Errorf("study: cannot read %s: %w", path, err)
	case len(b) > maxBench:
		return nil, fmt.Errorf("study: %s is larger than %d MB, so it is no bench sheet", name, maxBench>>20)
	case bytes.HasPrefix(b, []byte("PK\x03\x04")):
		return readWorkbook(name, b)
	case bytes.HasPrefix(b, []byte("\xd0\xcf\x11\xe0")):
		return nil, fmt.Errorf("study: %s is an old workbook (.xls); save it as .xlsx or as CSV", name)
	}
	text, err := benchText(b)
	if err != nil {
		return nil, fmt.Errorf("study: %s: %w", name, err)
	}
	t, err := PastedBench(text)
	if err != nil {
		return nil, fmt.Errorf("study: %s: %w", name, errors.Unwrap(err))
	}
	t.Name = name
	return []BenchTable{t}, nil
}

// benchText returns the bytes of a text file as UTF-8.
func benchText(b []byte) (string, error) {
	var e encoding.Encoding = unicode.UTF8BOM
	switch {
	case bytes.HasPrefix(b, []byte("\xff\xfe")), bytes.HasPrefix(b, []byte("\xfe\xff")):
		e = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case !utf8.Valid(b):
		e = charmap.Windows1252
	}
	text, err := e.NewDecoder().Bytes(b)
	if err == nil && bytes.IndexByte(text, 0) >= 0 {
		err = errors.New("it is neither text nor a workbook; save the bench sheet as CSV or .xlsx")
	}
	return string(text), err
}

// maxUnpacked is how many times its size a workbook may take unpacked: those that
// spreadsheets write take some ten times, and one that takes hundreds is made to
// fill memory. leastUnpacked is allowed in any case, bytes.
const (
	maxUnpacked   = 64
	leastUnpacked = 1 << 20
)

func readWorkbook(name string, b []byte) (tables []BenchTable, err error) {
	limit := int64(max(leastUnpacked, maxUnpacked*len(b)))
	f, err := excelize.OpenReader(bytes.NewReader(b), excelize.Options{RawCellValue: true, UnzipSizeLimit: limit, UnzipXMLSizeLimit: limit})
	if err != nil {
		return nil, fmt.Errorf("study: %s cannot be read as a workbook: %w", name, err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	for _, tab := range f.GetSheetList() {
		t := BenchTable{Name: name + ", worksheet " + tab, Tab: tab}
		if err := t.addSheet(f, tab); err != nil {
			return nil, fmt.Errorf("study: %s, worksheet %s: %w", name, tab, err)
		}
		if len(t.rows) > 0 {
			tables = append(tables, t)
		}
	}
	if len(tables) == 0 {
		return nil, fmt.Errorf("study: %s has no cells", name)
	}
	return tables, nil
}

// addSheet adds the rows of a worksheet, as far as a bench sheet may go.
func (t *BenchTable) addSheet(f *excelize.File, tab string) (err error) {
	rows, err := f.Rows(tab)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	read := 0
	for number := 1; rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return err
		}
		if read += 1 + len(cells); read > maxCells {
			return errors.New("it is too large for a bench sheet")
		}
		t.add(number, cells)
	}
	return rows.Error()
}

// PastedBench returns the table that a text holds, as spreadsheets copy it: cells
// parted by tabs, or by semicolons or commas.
func PastedBench(text string) (BenchTable, error) {
	text = strings.TrimPrefix(text, "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	r.Comma = delimiter(text)
	var t BenchTable
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return BenchTable{}, fmt.Errorf("study: %w", err)
		}
		line, _ := r.FieldPos(0)
		t.add(line, cells)
	}
	switch {
	case len(t.rows) == 0:
		return BenchTable{}, fmt.Errorf("study: %w", errors.New("the table is empty; it needs rows of items and values, or stations and values"))
	case t.cells() > maxCells:
		return BenchTable{}, fmt.Errorf("study: %w", errors.New("the table is too large for a bench sheet"))
	}
	return t, nil
}

// delimiter returns what parts the cells of a text: a tab where there is one, else
// a semicolon or comma that most lines have. A text without has one column, whose
// numbers may have decimal commas.
func delimiter(text string) rune {
	if strings.ContainsRune(text, '\t') {
		return '\t'
	}
	lines, with := 0, map[rune]int{}
	for line := range strings.Lines(text) {
		if strings.TrimSpace(line) != "" {
			lines++
		}
		for _, d := range ";," {
			if strings.ContainsRune(line, d) {
				with[d]++
			}
		}
	}
	first, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	switch {
	case 2*with[';'] >= lines:
		return ';'
	case 2*with[','] >= lines && (strings.ContainsRune(first, ',') || with[','] < lines-1):
		return ','
	}
	return '\t'
}

// add adds a row, unless it is blank.
func (t *BenchTable) add(number int, cells []string) {
	row := sheetRow{number, make([]string, len(cells))}
	blank := true
	for i, c := range cells {
		row.cells[i] = strings.TrimSpace(strings.ReplaceAll(c, "\u00a0", " "))
		blank = blank && row.cells[i] == ""
	}
	if !blank {
		t.rows = append(t.rows, row)
	}
}

func (t *BenchTable) cells() int {
	n := 0
	for _, r := range t.rows {
		n += len(r.cells)
	}
	return n
}

// blocks returns the rows from one blank row to the next.
func (t *BenchTable) blocks() [][]sheetRow {
	var out [][]sheetRow
	from := 0
	for i := range t.rows {
		if i+1 == len(t.rows) || t.rows[i+1].number > t.rows[i].number+1 {
			out, from = append(out, t.rows[from:i+1]), i+1
		}
	}
	return out
}

// Values returns the cells of a table that has numbers alone: values that are to
// be put side by side and one below the other. ok is false for another table.
func (t *BenchTable) Values() (cells [][]string, ok bool) {
	for _, r := range t.rows {
		for _, text := range r.cells {
			if !isMissing(text) && !numberAtStart.MatchString(text) && !letterOfSwing.MatchString(text) {
				return nil, false
			}
		}
		cells = append(cells, r.cells)
	}
	return cells, true
}

// letterOfSwing matches a swing weight on the letter scale.
var letterOfSwing = regexp.MustCompile(`^[A-Ga-g][0-9](\.[0-9]+)?$`)

// cell returns the text of a cell, "" beyond the row's end.
func (r sheetRow) cell(col int) string {
	if col < len(r.cells) {
		return r.cells[col]
	}
	return ""
}

// place says where a cell is: "bench.csv, row 3, column B".
func (t *BenchTable) place(row sheetRow, col int) string {
	place := fmt.Sprintf("row %d", row.number)
	if name, err := excelize.ColumnNumberToName(col + 1); err == nil && col >= 0 {
		place += ", column " + name
	}
	if t.Name != "" {
		place = t.Name + ", " + place
	}
	return place
}
