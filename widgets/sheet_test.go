package widgets

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// What is typed is taken on the way to another cell, stays where it cannot be, and
// is not asked about where nothing changed.
func TestSheet(t *testing.T) {
	test.NewTempApp(t)
	s := NewSheet([]string{"item", "value"}, []string{"", "12345"})
	s.SetRows([][]SheetCell{{{Text: "a"}, {Text: "1", Open: true}}, {{Text: "b"}, {Text: "2", Open: true}}})
	w := test.NewTempWindow(t, s)
	w.Resize(fyne.NewSize(300, 200))
	var asked []string
	refuse := false
	s.OnType = func(row, col int, text string) string {
		asked = append(asked, text)
		if refuse {
			return "no"
		}
		return ""
	}
	w.Canvas().Focus(s.grid)
	s.Go(0, 1)
	press := func(names ...fyne.KeyName) {
		for _, n := range names {
			s.grid.TypedKey(&fyne.KeyEvent{Name: n})
		}
	}
	press(fyne.KeyF2, fyne.KeyReturn)
	if len(asked) != 0 || s.row != 1 {
		t.Errorf("nothing was changed: asked %q, in row %d", asked, s.row)
	}
	refuse = true
	s.grid.TypedRune('7')
	press(fyne.KeyUp)
	if len(asked) != 1 || s.row != 1 || !s.refused || s.text != "7" {
		t.Errorf("refused: asked %q, in row %d with %q", asked, s.row, s.text)
	}
	w.Canvas().Unfocus()
	if s.text != "7" {
		t.Error("what was refused is lost with the keyboard")
	}
	refuse = false
	w.Canvas().Focus(s.grid)
	press(fyne.KeyUp)
	if s.row != 0 || s.typing {
		t.Errorf("taken: in row %d, typing %v", s.row, s.typing)
	}
	// Words are not typed into.
	s.Go(0, 0)
	s.grid.TypedRune('x')
	press(fyne.KeyDelete, fyne.KeyBackspace)
	if s.typing {
		t.Error("a closed cell was typed into")
	}
	asked = nil
	s.Go(1, 1)
	s.grid.TypedRune('9')
	s.SetRows(nil)
	press(fyne.KeyReturn, fyne.KeyF2, fyne.KeyDelete)
	if len(asked) != 0 || s.typing {
		t.Errorf("without rows: asked %q", asked)
	}
	var pasted string
	s.SetRows([][]SheetCell{{{Text: "a"}, {Text: "1", Open: true}}})
	s.OnPaste = func(row, col int, text string) { pasted = text }
	clip := fyne.CurrentApp().Clipboard()
	clip.SetContent("1\t2")
	s.grid.TypedShortcut(&fyne.ShortcutPaste{Clipboard: clip})
	if pasted != "1\t2" {
		t.Errorf("pasted %q", pasted)
	}
	s.Go(0, 1)
	s.grid.TypedShortcut(&fyne.ShortcutCopy{Clipboard: clip})
	if clip.Content() != "1" {
		t.Errorf("copied %q", clip.Content())
	}
}

// Tab goes over the cells that are open, row after row, and stays at the last.
func TestSheetTab(t *testing.T) {
	test.NewTempApp(t)
	s := NewSheet([]string{"item", "a", "between", "b"}, nil)
	row := []SheetCell{{Text: "x"}, {Open: true}, {}, {Open: true}}
	s.SetRows([][]SheetCell{row, row})
	s.Go(0, 1)
	for _, want := range [][2]int{{0, 3}, {1, 1}, {1, 3}, {1, 3}} {
		s.grid.TypedKey(&fyne.KeyEvent{Name: fyne.KeyTab})
		if row, col := s.At(); row != want[0] || col != want[1] {
			t.Errorf("at row %d, column %d, want %v", row, col, want)
		}
	}
	if row, col := s.next(-1); row != 1 || col != 1 {
		t.Errorf("back to row %d, column %d", row, col)
	}
}
