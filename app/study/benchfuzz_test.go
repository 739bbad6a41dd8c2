package study

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// workbook returns a workbook with one cell for each address.
func workbook(t testing.TB, cells map[string]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	for at, v := range cells {
		if err := f.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// bomb returns a workbook whose worksheet is n spaces more once unpacked.
func bomb(t testing.TB, n int) []byte {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(workbook(t, map[string]any{"A1": "item"})), int64(len(workbook(t, map[string]any{"A1": "item"}))))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, file := range r.File {
		in, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		to, err := w.Create(file.Name)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(in); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		if strings.HasSuffix(file.Name, "sheet1.xml") {
			text = strings.Replace(text, "<sheetData>", "<sheetData>"+strings.Repeat(" ", n), 1)
		}
		if _, err := to.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A workbook that unpacks to hundreds of times its size is refused before it
// fills memory, and so is one with a cell at the far end of the sheet.
func TestBenchSheetBombs(t *testing.T) {
	for name, b := range map[string][]byte{
		"spaces": bomb(t, 100<<20), "far cells": workbook(t, map[string]any{"A1": "item", "A1048576": 1, "XFD1048575": 2, "B900000": 3}),
	} {
		path := filepath.Join(t.TempDir(), "bench.xlsx")
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := ReadBench(path)
		runtime.ReadMemStats(&after)
		if err == nil || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), "bench.xlsx") {
			t.Errorf("%s: error %v", name, err)
		}
		// Reading makes some rubbish besides what it holds.
		const rubbish = 48 << 20
		if took := after.TotalAlloc - before.TotalAlloc; took > uint64(64*len(b)+rubbish) {
			t.Errorf("%s: a file of %d bytes took %d MB", name, len(b), took>>20)
		}
	}
}

// Whatever a bench sheet's bytes, reading it does not panic, and its error is one
// sentence that names the file.
func FuzzReadBench(f *testing.F) {
	f.Add([]byte("Station [mm],EI [N m²]\n0,71.5\n"))
	f.Add([]byte("\xff\xfei\x00t\x00e\x00m\x00;\x00v\x00a\x00l\x00u\x00e\x00\n\x00"))
	f.Add(workbook(f, map[string]any{"A1": "item", "B1": "value", "A2": "weight", "B2": 64.2}))
	f.Add(workbook(f, map[string]any{"A1": "station_mm", "B1": "ei_n_m2", "A2": 0, "B2": "71,5", "XFD9": "=1+1"}))
	f.Fuzz(func(t *testing.T, b []byte) {
		path := filepath.Join(t.TempDir(), "sheet")
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
		tables, err := ReadBench(path)
		if err != nil {
			if s := err.Error(); !strings.Contains(s, "sheet") || strings.Contains(s, "\n") {
				t.Errorf("error %q", s)
			}
			return
		}
		for _, table := range tables {
			if _, ok := table.Values(); !ok && table.cells() == 0 {
				t.Error("a table without cells is read")
			}
		}
	})
}
