package report

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// hostile is a study whose every name begins as a formula does.
func hostile() (scenario, []string) {
	return medium, []string{"=1+1", "+1", "-1", "@A1", "\t=1", "=HYPERLINK(\"x\")"}
}

func TestTablesHoldEveryNumberAndNoFormula(t *testing.T) {
	sc, names := hostile()
	a, c := sc.make()
	for i := range a.Study.Clubs {
		a.Study.Clubs[i].Label = names[i]
	}
	for i := range a.Study.Players {
		a.Study.Players[i].Label = names[2+i]
	}
	a.Results[2].Run.Excluded = "=2+2"
	dir := t.TempDir()
	book, folder := filepath.Join(dir, "tables.xlsx"), filepath.Join(dir, "csv")
	for _, path := range []string{book, folder} {
		last, total := 0, 1
		if err := WriteTables(t.Context(), a, c, path, options, func(done, of int) { last, total = done, of }); err != nil {
			t.Fatal(err)
		}
		if last != total {
			t.Errorf("progress ended at %d of %d", last, total)
		}
	}
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := gathered(a, c, planned(options)).sheets(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got := f.GetSheetList(); len(got) != len(all) {
		t.Fatalf("sheets %v, want %d", got, len(all))
	}
	for _, s := range all {
		file, err := os.ReadFile(filepath.Join(folder, s.name+".csv"))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(file)).ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", s.name, err)
		}
		if len(rows) != len(s.rows)+2 {
			t.Fatalf("%s.csv has %d rows, want %d and two", s.name, len(rows), len(s.rows))
		}
		for k, col := range s.columns {
			if rows[1][k] != col.unit {
				t.Errorf("%s: the unit of %q is %q", s.name, col.head, rows[1][k])
			}
		}
		for i, row := range rows {
			for k, text := range row {
				cell, err := excelize.CoordinatesToCellName(k+1, i+1)
				if err != nil {
					t.Fatal(err)
				}
				if formula, err := f.GetCellFormula(s.name, cell); err != nil || formula != "" {
					t.Fatalf("%s!%s is the formula %q (%v)", s.name, cell, formula, err)
				}
				_, notNumber := strconv.ParseFloat(text, 64)
				if text != "" && strings.ContainsAny(text[:1], "=+-@\t\r") && notNumber != nil {
					t.Errorf("%s.csv: the field %q begins as a formula", s.name, text)
				}
				inBook, err := f.GetCellValue(s.name, cell, excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatal(err)
				}
				if (inBook == "") != (text == "") {
					t.Errorf("%s!%s is %q, in the CSV %q", s.name, cell, inBook, text)
				}
			}
		}
	}
}

// planned is what WriteTables makes of options without a plan.
func planned(o Options) Options { o.Plan = DefaultPlan(); return o }

func TestTablesWithADecimalComma(t *testing.T) {
	a, c := small.make()
	o := options
	o.Style.DecimalComma = true
	dir := filepath.Join(t.TempDir(), "csv")
	if err := WriteTables(t.Context(), a, c, dir, o, nil); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "impact.csv"))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = ';'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	v, err := strconv.ParseFloat(strings.Replace(rows[2][2], ",", ".", 1), 64)
	if mean := c.Measures[0].Baseline.Mean; err != nil || v < mean-1e-4 || v > mean+1e-4 {
		t.Errorf("%q is not %v", rows[2][2], mean)
	}
}

func TestHarmless(t *testing.T) {
	for s, want := range map[string]string{"": "", "a=b": "a=b", "=a": "'=a", "+a": "'+a", "-a": "'-a", "@a": "'@a", "\ta": "'\ta", "–": "–", "−1": "−1"} {
		if got := harmless(s); got != want {
			t.Errorf("%q became %q, want %q", s, got, want)
		}
	}
}

func TestTablesRefuseOtherKinds(t *testing.T) {
	a, c := small.make()
	if err := WriteTables(t.Context(), a, c, filepath.Join(t.TempDir(), "x.ods"), options, nil); err == nil || !strings.Contains(err.Error(), `".ods"`) {
		t.Errorf("x.ods: %v", err)
	}
}
