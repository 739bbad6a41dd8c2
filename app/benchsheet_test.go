package app

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// atSheet opens the plain study with bench values at the page they are typed on.
func atSheet(t *testing.T) *world {
	x := newWorld(t)
	st := benched()
	st.Path = filepath.Join(x.dir, "study.json")
	for i := range st.Clubs {
		st.Clubs[i].Markers = capture.MarkerSet{Grip: []string{"G1", "G2", "G3"}, Head: []string{"H1", "H2", "H3"}, Heel: "H1", Toe: "H2"}
	}
	if err := st.Save(st.Path); err != nil {
		t.Fatal(err)
	}
	st, err := study.Open(st.Path)
	if err != nil {
		t.Fatal(err)
	}
	x.store.Do(Opened{st})
	x.store.Do(Analysed{plainResults(st)})
	x.key(fyne.KeyF6)
	x.store.Do(ShowBenchPage{sheetPage})
	return x
}

// itemRow returns the row of an item on the page.
func (x *world) itemRow(t *testing.T, key string) int {
	t.Helper()
	i := slices.IndexFunc(x.bench.entry.benchRows(), func(r study.BenchRow) bool { return r.Key == key })
	if i < 0 {
		t.Fatalf("there is no row for %s", key)
	}
	return i
}

// column returns the column of the page for a column of the sheet.
func column(c study.BenchColumn) int {
	if c == study.BenchValue {
		return measuredColumn
	}
	return verdictColumn + int(c)
}

func (x *world) weight(t *testing.T, club string) float64 {
	t.Helper()
	s, err := x.state().Study.Club(club).Sheet()
	if err != nil {
		t.Fatal(err)
	}
	if s.WeightG == nil {
		return 0
	}
	return *s.WeightG
}

// flagged reports whether the runs of a club are marked as out of spec.
func (x *world) flagged(club string) bool {
	for _, r := range x.state().Results {
		if r.Run.Club == club && slices.ContainsFunc(r.Flags, func(f capture.Flag) bool { return f.Code == capture.OutOfSpec }) {
			return true
		}
	}
	return false
}

// TestBenchSheet types a value, sees the verdict and the mark of the runs change,
// takes it back, saves, and opens it again.
func TestBenchSheet(t *testing.T) {
	x := atSheet(t)
	e := x.bench.entry
	x.store.Do(ShowBenchClub{"proto"})
	row := x.itemRow(t, "weight_g")
	verdict := func() string { return itemCells(e.benchRows(), 213.5)[row][verdictColumn].Text }
	if got := verdict(); got != "out of spec" || !x.flagged("proto") {
		t.Fatalf("68 g against 64 ± 1 g is %q; runs marked: %v", got, x.flagged("proto"))
	}
	if why := e.items.OnType(row, column(study.BenchValue), "64,5"); why != "" {
		t.Fatal(why)
	}
	if x.weight(t, "proto") != 64.5 || verdict() != "in spec" || x.flagged("proto") || !x.state().Complete() {
		t.Errorf("typed: %v g, %q, runs marked: %v, complete: %v", x.weight(t, "proto"), verdict(), x.flagged("proto"), x.state().Complete())
	}
	if found := x.state().bench(); found == nil || len(found.Clubs[1].OutOfSpec()) != 0 {
		t.Error("the bench does not follow what was typed")
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if x.weight(t, "proto") != 68 || verdict() != "out of spec" || !x.flagged("proto") {
		t.Errorf("undone: %v g, %q, runs marked: %v", x.weight(t, "proto"), verdict(), x.flagged("proto"))
	}
	x.shortcut(&fyne.ShortcutRedo{})
	if why := e.items.OnType(x.itemRow(t, "frequency_cpm"), column(study.BenchValue), "4.2 Hz"); why != "" {
		t.Error(why)
	}
	x.saveStudy(nil)
	again, err := study.Open(x.state().Study.Path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := again.Club("proto").Sheet()
	if err != nil || *s.WeightG != 64.5 || *s.Frequency.CPM != 252 {
		t.Errorf("opened again: %+v, %v", s, err)
	}
}

// TestBenchSheetRefuses types what cannot be: the sentence stands below the sheet,
// the text stays in its cell, and the study is as it was.
func TestBenchSheetRefuses(t *testing.T) {
	x := atSheet(t)
	e := x.bench.entry
	before := x.state().Study
	for _, is := range []struct {
		row, col int
		text     string
		says     string
	}{
		{x.itemRow(t, "weight_g"), column(study.BenchValue), "2.3", "write that behind it: 2.3 oz"},
		{x.itemRow(t, "weight_g"), column(study.BenchTarget), "", "has a tolerance without a target"},
		{x.itemRow(t, "tip_diameter_mm"), column(study.BenchPlus), "0.1", "has a tolerance without a target"},
		{x.itemRow(t, "length_mm"), column(study.BenchValue), "1000", "lies outside the shaft of 1000 mm"},
	} {
		if why := e.items.OnType(is.row, is.col, is.text); !strings.Contains(why, is.says) || e.said.Text != why {
			t.Errorf("%q gives %q below %q, want %q", is.text, why, e.said.Text, is.says)
		}
	}
	for _, is := range []struct {
		row, col   int
		text, says string
	}{
		{0, 1, "0", "EI is 0 N m²; it must be positive"},
		{0, 1, "20907", "20907 lbf in²"},
		{1, 0, "1200", "lies beyond the shaft of 1100 mm"},
		{1, 0, "1150 mm", "lies beyond the shaft of 1100 mm"},
		{2, 0, "100", "stations must increase"},
	} {
		if why := e.stations.OnType(is.row, is.col, is.text); !strings.Contains(why, is.says) {
			t.Errorf("%q in the table gives %q, want %q", is.text, why, is.says)
		}
	}
	for text, says := range map[string]string{
		"item\tvalue\nweight\t2.3": "Row 2, column B", "station_mm\tei_n_m2\tgj_n_m2\n0\t60\t30\n1200\t20\t10": "row 3, column A",
		"": "empty", "hello\tthere": "names nothing of a bench sheet", "-5": "must be positive",
	} {
		e.items.OnPaste(x.itemRow(t, "weight_g"), column(study.BenchValue), text)
		if !strings.Contains(strings.ToLower(e.said.Text), strings.ToLower(says)) {
			t.Errorf("pasting %q says %q, want %q", text, e.said.Text, says)
		}
	}
	file := filepath.Join(x.dir, "sheet.csv")
	if err := os.WriteFile(file, []byte("item,value\nfrequency,fast\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	x.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(file)})
	if n := x.state().Notice; !n.Bad || !strings.Contains(n.Text, `sheet.csv, row 2, column B: frequency: "fast" is no number`) {
		t.Errorf("a bad file says %q", n.Text)
	}
	if x.state().Study != before || x.state().CanUndo() {
		t.Error("what was refused has changed the study")
	}
}

// TestBenchSheetTakes pastes a whole table, a column, a row typed cell by cell,
// and reads a file.
func TestBenchSheetTakes(t *testing.T) {
	x := atSheet(t)
	e := x.bench.entry
	x.app.Clipboard().SetContent("item\tunit\tBase\tProto\nweight\tg\t63.8\t64.1\noperator\t\tA\tB\n")
	x.pasteBench("base")
	if x.weight(t, "base") != 63.8 || x.weight(t, "proto") != 64.1 || !strings.Contains(x.state().Notice.Text, "operator") {
		t.Errorf("%v, %v, %q", x.weight(t, "base"), x.weight(t, "proto"), x.state().Notice.Text)
	}
	e.items.OnPaste(x.itemRow(t, "weight_g"), column(study.BenchValue), "63.9\n540\n")
	e.stations.OnPaste(0, 1, "61\t31\n41\t21\n")
	c := x.state().Study.Club("base")
	s, err := c.Sheet()
	if err != nil || *s.WeightG != 63.9 || *s.BalanceMM != 540 || c.Shaft.EI[1] != 41 || c.Shaft.GJ[0] != 31 {
		t.Errorf("%+v, %+v, %v", s, c.Shaft, err)
	}
	for col, text := range []string{"800", "30", "15"} {
		if why := e.stations.OnType(e.rows, col, text); why != "" {
			t.Error(why)
		}
		if n := len(x.state().Study.Club("base").Shaft.EI); col < 2 && n != 3 || col == 2 && n != 4 {
			t.Errorf("after %d cells the table has %d rows", col+1, n)
		}
	}
	if why := e.stations.OnType(2, 0, ""); why != "" || len(x.state().Study.Club("base").Shaft.EI) != 3 {
		t.Errorf("an emptied station keeps its row: %q", why)
	}
	// Three-point readings show the EI they give, and the taper's bias.
	x.app.Clipboard().SetContent("station\tspan\tload\tdeflection\nmm\tmm\tN\tmm\n300\t200\t50\t0.16\n600\t300\t50\t0.8\n")
	x.pasteBench("base")
	x.store.Do(ShowBenchTable{1})
	cells := [][]widgets.SheetCell{nil, nil, nil}
	withReadings(cells, x.state().Study.Club("base"))
	if got := cells[0][0].Text; got != "52.08" || !strings.HasPrefix(cells[1][1].Text, "−0.") || cells[2][0].Text != "" {
		t.Errorf("the readings are %v", cells)
	}
	if e.rows != 2 || x.weight(t, "base") != 63.9 {
		t.Errorf("%d readings, %v g", e.rows, x.weight(t, "base"))
	}
	x.store.Do(ShowBenchTable{0})
	x.copyBench("base")
	x.pasteBench("proto")
	if x.weight(t, "proto") != 63.9 {
		t.Error("a copied sheet cannot be pasted into another club")
	}
	file := filepath.Join(x.dir, "sheet.csv")
	if err := os.WriteFile(file, []byte("club;Weight [oz]\nBase;2,25\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	x.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(file)})
	if got := x.weight(t, "base"); !within(got, 63.786427, 1e-5) {
		t.Errorf("2.25 oz from a file is %v g: %q", got, x.state().Notice.Text)
	}
	if why := e.settings.sheet.OnType(0, 1, "211"); why != "" || x.state().Study.BenchOptions().SwingWeightZero != 211 {
		t.Errorf("D0 is %v: %q", x.state().Study.BenchOptions().SwingWeightZero, why)
	}
	if why := x.bench.rig.sheet.OnType(0, 1, "-3"); !strings.Contains(why, "must be positive") {
		t.Errorf("an exponent of -3 says %q", why)
	}
	for x.state().CanUndo() {
		x.shortcut(&fyne.ShortcutUndo{})
	}
	if x.weight(t, "base") != 64 || x.state().Study.BenchSettings != (study.BenchSettings{}) {
		t.Error("not all can be undone")
	}
}

// TestSheetKeys types with the keyboard: over a value, on from it, dropped, and
// refused.
func TestSheetKeys(t *testing.T) {
	x := atSheet(t)
	sheet, row := x.bench.entry.items, x.itemRow(t, "weight_g")
	x.win.Canvas().Focus(test.WidgetRenderer(sheet).Objects()[0].(fyne.Focusable))
	keys := x.win.Canvas().Focused()
	press := func(names ...fyne.KeyName) {
		for _, n := range names {
			keys.TypedKey(&fyne.KeyEvent{Name: n})
		}
	}
	word := func(text string) {
		for _, r := range text {
			keys.TypedRune(r)
		}
	}
	sheet.Go(row, column(study.BenchValue))
	word("63,7")
	press(fyne.KeyReturn)
	if at, _ := sheet.At(); x.weight(t, "base") != 63.7 || at != row+1 {
		t.Errorf("%v g, in row %d", x.weight(t, "base"), at)
	}
	press(fyne.KeyUp, fyne.KeyF2, fyne.KeyBackspace)
	word("4")
	press(fyne.KeyTab)
	if _, col := sheet.At(); x.weight(t, "base") != 63.4 || col != column(study.BenchTarget) {
		t.Errorf("%v g, in column %d", x.weight(t, "base"), col)
	}
	word("99")
	press(fyne.KeyEscape, fyne.KeyLeft, fyne.KeyLeft)
	word("2.3")
	press(fyne.KeyDown)
	if at, col := sheet.At(); at != row || col != column(study.BenchValue) || !strings.Contains(x.bench.entry.said.Text, "2.3 oz") {
		t.Errorf("refused, it goes on to row %d, column %d: %q", at, col, x.bench.entry.said.Text)
	}
	word(" oz")
	press(fyne.KeyDown)
	if got := x.weight(t, "base"); !within(got, 65.2039, 1e-3) {
		t.Errorf("2.3 oz is %v g", got)
	}
	press(fyne.KeyUp, fyne.KeyDelete)
	if x.weight(t, "base") != 0 {
		t.Error("Delete leaves the value")
	}
	x.win.Canvas().Unfocus()
	if got := x.bench.entry.said.Importance; got != widget.LowImportance {
		t.Errorf("the sentence stays: %q", x.bench.entry.said.Text)
	}
}
