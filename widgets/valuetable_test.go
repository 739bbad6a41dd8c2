package widgets

import (
	"image/color"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// newTable returns a table of n runs in a window, and what it tells.
func newTable(t *testing.T, n int) (*ValueTable, *[]int) {
	t.Helper()
	newApp(t, theme.VariantLight)
	table := NewValueTable("run", "lead, mm", "p", "remark")
	var rows []Row
	for i := range n {
		rows = append(rows, Row{Cells: []string{strconv.Itoa(i), "−" + strconv.Itoa(i) + ".0 ± 0.4", "< 0.001", "a\tb"}, Tone: Tone(i % 3)})
	}
	table.SetRows(rows)
	told := new([]int)
	table.OnSelect = func(row int) { *told = append(*told, row) }
	shown(t, table, 500, 200)
	return table, told
}

func TestValueTableSelects(t *testing.T) {
	table, told := newTable(t, 40)
	height := newCell().MinSize().Height + table.Theme().Size(theme.SizeNamePadding)
	tap := func(x, line float32) {
		table.grid.Tapped(&fyne.PointEvent{Position: fyne.NewPos(x, (line+0.4)*height)})
	}
	tap(20, 0) // the header
	if len(*told) != 0 {
		t.Errorf("chose row %v by the header", *told)
	}
	tap(20, 3)
	if c := fyne.CurrentApp().Driver().CanvasForObject(table); c.Focused() != fyne.Focusable(table.grid) {
		t.Errorf("the keyboard is at %T after a click, want the table", c.Focused())
	}
	tap(120, 3) // another cell of the row
	if !slices.Equal(*told, []int{2}) || table.Selected() != 2 {
		t.Errorf("told %v, selected %d, want row 2 once", *told, table.Selected())
	}
	table.Select(-1)
	tap(120, 3)
	if !slices.Equal(*told, []int{2, 2}) {
		t.Errorf("told %v, want row 2 again after it was let go", *told)
	}
	tap(480, 4) // right of the last column
	tap(20, 5-0.45)
	if want := []int{2, 2, 3, 4}; !slices.Equal(*told, want) {
		t.Errorf("told %v, want %v", *told, want)
	}
	table.Select(5)
	if table.Selected() != 5 || len(*told) != 4 {
		t.Errorf("selected %d, told %v", table.Selected(), *told)
	}
}

func TestValueTableKeys(t *testing.T) {
	table, told := newTable(t, 40)
	for _, k := range []fyne.KeyName{fyne.KeyDown, fyne.KeyDown, fyne.KeyUp, fyne.KeyUp, fyne.KeyEnd, fyne.KeyDown, fyne.KeyHome} {
		table.grid.TypedKey(&fyne.KeyEvent{Name: k})
	}
	if want := []int{0, 1, 0, 39, 0}; !slices.Equal(*told, want) {
		t.Errorf("told %v, want %v", *told, want)
	}
}

// The marked row is in view, whichever way it was reached.
func TestValueTableShowsTheSelection(t *testing.T) {
	table, _ := newTable(t, 40)
	canvas := fyne.CurrentApp().Driver().CanvasForObject(table)
	look := lookOf(table.Theme())
	mark := mix(look.ground, look.accent, 0.25)
	visible := func() bool {
		img := canvas.Capture()
		lines := float32(0)
		for y := range img.Bounds().Dy() {
			if color.NRGBAModel.Convert(img.At(3, y)) == mark {
				lines++
			}
		}
		return lines >= newCell().MinSize().Height-1
	}
	for _, row := range []int{0, 20, 39, 18, 3, 0} {
		table.Select(row)
		if !visible() {
			t.Errorf("row %d is out of view", row)
		}
	}
}

func TestValueTableText(t *testing.T) {
	table, _ := newTable(t, 2)
	table.SetRows(append(table.rows, Row{Cells: []string{"short"}}))
	want := "run\tlead, mm\tp\tremark\n0\t-0.0 ± 0.4\t< 0.001\ta b\n1\t-1.0 ± 0.4\t< 0.001\ta b\nshort\t\t\t\n"
	if got := table.Text(); got != want {
		t.Errorf("text\n%q, want\n%q", got, want)
	}
	table.grid.TypedShortcut(&fyne.ShortcutCopy{})
	if got := fyne.CurrentApp().Clipboard().Content(); got != want {
		t.Errorf("copied %q", got)
	}
}

func TestValueTableAligns(t *testing.T) {
	table, _ := newTable(t, 3)
	var right []bool
	for _, c := range table.columns {
		right = append(right, c.right)
	}
	if want := []bool{false, true, true, false}; !slices.Equal(right, want) {
		t.Errorf("numbers in columns %v, want %v", right, want)
	}
	for s, want := range map[string]bool{"−3.2 ± 0.4": true, "12 mm": true, "≥ 5": true, "p1": false, "–": false, "": false, "-": false} {
		if isNumber(s) != want {
			t.Errorf("%q: %v", s, !want)
		}
	}
}

func TestValueTableShrinks(t *testing.T) {
	table, told := newTable(t, 10)
	table.Select(8)
	table.SetRows(table.rows[:9])
	if table.Selected() != 8 {
		t.Error("the selection went though its row is there")
	}
	table.SetRows(table.rows[:3])
	if table.Selected() != -1 || len(*told) != 0 {
		t.Errorf("selected %d of three rows, told %v", table.Selected(), *told)
	}
	table.SetHeader("run")
	table.SetRows(nil)
	if rows, cols := table.grid.Length(); rows != 0 || cols != 0 {
		t.Errorf("%d lines of %d", rows, cols)
	}
	defer func() {
		if recover() == nil {
			t.Error("a row that is not there was selected")
		}
	}()
	table.Select(0)
}

func BenchmarkValueTableSetRows(b *testing.B) {
	newApp(b, theme.VariantLight)
	table := NewValueTable("run", "club", "player", "lead, mm", "droop, mm", "twist, deg", "speed, m/s", "remark")
	var rows []Row
	for i := range 200 {
		n := strconv.Itoa(i)
		rows = append(rows, Row{Cells: []string{"p1-base-" + n, "Baseline", "P1", n + ".1 ± 0.4", n, n, n, "out of spec: weight"}})
	}
	shown(b, table, 900, 600)
	for b.Loop() {
		table.SetRows(rows)
	}
}

// Where there is little room headers take two lines, then words are cut, never
// numbers; a column without a word is not shown, but is copied.
func TestValueTableFits(t *testing.T) {
	newApp(t, theme.VariantLight)
	table := NewValueTable("club", "measured at the bench", "remark", "by")
	table.SetRows([]Row{{Cells: []string{"a club with a name that is long", "1234567.8 ± 0.4", "", "hand"}}})
	sum := func() (w float32) {
		for _, c := range table.columns {
			w += c.width + theme.Padding()
		}
		return w
	}
	if len(table.columns) != 3 || !strings.Contains(table.Text(), "remark") {
		t.Errorf("%d columns are shown of\n%s", len(table.columns), table.Text())
	}
	table.Resize(fyne.NewSize(2000, 200))
	natural := sum()
	if rows, cols := table.grid.Length(); rows != 2 || cols != 4 || table.rest < 1000 {
		t.Errorf("with room to spare: %d by %d cells, %v dp left", rows, cols, table.rest)
	}
	for _, width := range []float32{natural - 1, natural - 80, natural - 150} {
		table.Resize(fyne.NewSize(width, 200))
		if sum() > width || table.columns[1].head != "measured at\nthe bench" || table.columns[1].width < table.columns[1].body {
			t.Errorf("in %v dp the columns take %v, and the numbers %v under %q", width, sum(), table.columns[1].width, table.columns[1].head)
		}
	}
	table.Resize(fyne.NewSize(60, 200))
	if least := table.columns[0].room("nnnnnnnnnnnnnn", fyne.TextStyle{}); table.columns[0].width < least {
		t.Errorf("in no room at all %v dp are left of the name, want %v", table.columns[0].width, least)
	}
	table.SetRows(nil)
	if rows, _ := table.grid.Length(); rows != 0 {
		t.Errorf("a table without rows shows %d", rows)
	}
	for _, empty := range []*ValueTable{table, NewValueTable()} {
		shown(t, empty, 900, 200)
		if least := empty.MinSize().Width; least > 300 {
			t.Errorf("an empty table in 900 dp asks for %v", least)
		}
	}
}
