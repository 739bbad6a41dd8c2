package widgets

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// A SheetCell is one cell of a Sheet.
type SheetCell struct {
	Text string
	Open bool // it can be typed into
	Tone Tone
}

// A Sheet is a table whose cells are typed into, as in a spreadsheet: arrows and
// Enter move on and take what was typed, Tab goes to the next cell that is open,
// after the last of a row to the first of the next; Escape drops it, F2 or a second click
// goes on with the text that is there, Delete empties the cell.
type Sheet struct {
	widget.BaseWidget

	// OnType takes what was typed into a cell, and returns why it cannot be, "" if
	// it can. What cannot be stays in the cell as it was typed.
	OnType func(row, col int, text string) (why string)
	// OnPaste takes a text that was pasted at a cell.
	OnPaste func(row, col int, text string)
	// OnMove is told that another cell was gone to.
	OnMove func(row, col int)

	header   []string
	rows     [][]SheetCell
	widest   []string // a text that each column has room for
	row, col int
	typing   bool
	refused  bool
	text     string // as typed so far
	numeric  []bool // by column
	grid     *sheetGrid
}

// NewSheet returns a sheet with a header and no rows. widest are texts that the
// columns have room for in any case.
func NewSheet(header, widest []string) *Sheet {
	s := &Sheet{header: header, widest: widest}
	s.grid = newSheetGrid(s)
	s.ExtendBaseWidget(s)
	s.settle()
	return s
}

// SetTable replaces header, widest texts and rows.
func (s *Sheet) SetTable(header, widest []string, rows [][]SheetCell) {
	if !slices.Equal(header, s.header) {
		s.stop()
	}
	s.header, s.widest = header, widest
	s.SetRows(rows)
}

// SetRows replaces the rows, which are as long as the header. The cell that is
// gone to, and what is typed in it, stay.
func (s *Sheet) SetRows(rows [][]SheetCell) {
	s.rows = rows
	s.row = max(0, min(s.row, len(rows)-1))
	s.col = max(0, min(s.col, len(s.header)-1))
	if !s.open(s.row, s.col) {
		s.stop()
	}
	s.settle()
}

// Drop drops what is being typed.
func (s *Sheet) Drop() {
	s.stop()
	s.grid.Refresh()
}

// At returns the cell that is gone to.
func (s *Sheet) At() (row, col int) { return s.row, s.col }

// Go goes to a cell.
func (s *Sheet) Go(row, col int) {
	row, col = max(0, min(row, len(s.rows)-1)), max(0, min(col, len(s.header)-1))
	if row != s.row || col != s.col {
		s.row, s.col = row, col
		if s.grid.Size().Height > 0 {
			s.grid.ScrollTo(widget.TableCellID{Row: row + 1, Col: col})
		}
		if s.OnMove != nil {
			s.OnMove(row, col)
		}
	}
	s.grid.Refresh()
}

func (s *Sheet) stop() { s.typing, s.refused, s.text = false, false, "" }

func (s *Sheet) open(row, col int) bool {
	return row >= 0 && row < len(s.rows) && col < len(s.rows[row]) && s.rows[row][col].Open
}

// next returns the open cell after the one that is gone to (step 1), or before it
// (step −1), row after row; the cell itself where there is none.
func (s *Sheet) next(step int) (row, col int) {
	n := len(s.header)
	for at := s.row*n + s.col + step; at >= 0 && at < n*len(s.rows); at += step {
		if s.open(at/n, at%n) {
			return at / n, at % n
		}
	}
	return s.row, s.col
}

// take takes what was typed, and reports whether it could be.
func (s *Sheet) take() bool {
	if !s.typing {
		return true
	}
	text, was := s.text, s.rows[s.row][s.col].Text
	if s.stop(); text == was {
		s.grid.Refresh()
		return true
	}
	return s.put(text)
}

// put puts a text into the cell.
func (s *Sheet) put(text string) bool {
	if s.OnType == nil {
		return true
	}
	if why := s.OnType(s.row, s.col, text); why != "" {
		s.typing, s.refused, s.text = true, true, text
	}
	s.grid.Refresh()
	return !s.typing
}

// settle finds which columns hold numbers and how wide each must be.
func (s *Sheet) settle() {
	s.numeric = make([]bool, len(s.header))
	for col, head := range s.header {
		column := newColumn(s.Theme(), head)
		if col < len(s.widest) {
			column.fit(s.widest[col])
		}
		for _, row := range s.rows {
			column.add(row[col].Text, row[col].Open)
		}
		s.numeric[col] = column.numeric()
		s.grid.SetColumnWidth(col, column.width)
	}
	s.grid.Refresh()
}

// Refresh is part of fyne.CanvasObject.
func (s *Sheet) Refresh() {
	s.settle()
	s.BaseWidget.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (s *Sheet) CreateRenderer() fyne.WidgetRenderer {
	s.ExtendBaseWidget(s)
	return widget.NewSimpleRenderer(s.grid)
}

// A sheetGrid is the table of Fyne under a Sheet.
type sheetGrid struct {
	widget.Table
	owner   *Sheet
	focused bool
}

func newSheetGrid(owner *Sheet) *sheetGrid {
	g := &sheetGrid{owner: owner}
	g.StickyRowCount, g.StickyColumnCount = 1, 1
	g.Length = func() (rows, cols int) { return len(owner.rows) + 1, len(owner.header) }
	g.CreateCell = func() fyne.CanvasObject { return newCell() }
	g.UpdateCell = func(id widget.TableCellID, o fyne.CanvasObject) {
		c, row := o.(*cell), id.Row-1
		if id.Col >= len(owner.header) || row >= len(owner.rows) {
			return
		}
		if c.bold = row < 0; c.bold {
			c.box = noBox
			c.show(owner.header[id.Col], owner.numeric[id.Col], Normal, false)
			return
		}
		is := owner.rows[row][id.Col]
		c.box = noBox
		if is.Open {
			c.box = openBox
		}
		here := row == owner.row && id.Col == owner.col && g.focused
		if row == owner.row && id.Col == owner.col && owner.typing {
			is.Text = owner.text
			if here {
				is.Text += "▏"
				c.box = typedBox
			}
			if owner.refused {
				is.Tone, c.box = Warn, refusedBox
			}
		}
		c.show(is.Text, owner.numeric[id.Col], is.Tone, here)
	}
	g.HideSeparators = true
	g.OnSelected = func(id widget.TableCellID) {
		g.UnselectAll() // the mark is ours
		switch {
		case id.Row == 0:
		case id.Row-1 == owner.row && id.Col == owner.col:
			if g.focused {
				g.edit()
			}
		case owner.take():
			owner.Go(id.Row-1, id.Col)
		}
	}
	g.ExtendBaseWidget(g)
	return g
}

// Tapped is part of fyne.Tappable. The keyboard goes to the sheet.
func (g *sheetGrid) Tapped(e *fyne.PointEvent) {
	g.Table.Tapped(e)
	takeKeyboard(g)
}

// takeKeyboard gives the keyboard to a table that was clicked: Fyne's own gives
// it only to a widget that is a table itself, not to one that embeds it.
func takeKeyboard(table interface {
	fyne.CanvasObject
	fyne.Focusable
}) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(table); c != nil && c.Focused() != table {
		c.Focus(table)
	}
}

// edit begins with the text that is in the cell.
func (g *sheetGrid) edit() {
	if s := g.owner; s.open(s.row, s.col) && !s.typing {
		s.typing, s.text = true, s.rows[s.row][s.col].Text
		g.Refresh()
	}
}

// FocusGained is part of fyne.Focusable.
func (g *sheetGrid) FocusGained() {
	g.focused = true
	g.Refresh()
}

// FocusLost is part of fyne.Focusable. What was typed is taken.
func (g *sheetGrid) FocusLost() {
	g.focused = false
	g.owner.take()
	g.Refresh()
}

// AcceptsTab is part of fyne.Tabbable.
func (g *sheetGrid) AcceptsTab() bool { return true }

// TypedRune is part of fyne.Focusable.
func (g *sheetGrid) TypedRune(r rune) {
	s := g.owner
	if !s.open(s.row, s.col) {
		return
	}
	s.typing, s.refused = true, false
	s.text += string(r)
	g.Refresh()
}

// TypedKey is part of fyne.Focusable. What is none of the sheet's goes to the window.
func (g *sheetGrid) TypedKey(e *fyne.KeyEvent) {
	s := g.owner
	move := func(rows, cols int) {
		if s.take() {
			s.Go(s.row+rows, s.col+cols)
		}
	}
	switch e.Name {
	case fyne.KeyUp:
		move(-1, 0)
	case fyne.KeyDown, fyne.KeyReturn, fyne.KeyEnter:
		move(1, 0)
	case fyne.KeyLeft:
		move(0, -1)
	case fyne.KeyRight:
		move(0, 1)
	case fyne.KeyTab:
		if s.take() {
			step := 1
			if shifted() {
				step = -1
			}
			s.Go(s.next(step))
		}
	case fyne.KeyHome:
		move(-len(s.rows), 0)
	case fyne.KeyEnd:
		move(len(s.rows), 0)
	case fyne.KeyF2:
		g.edit()
	case fyne.KeyBackspace:
		if s.open(s.row, s.col) {
			r := []rune(s.text)
			s.typing, s.refused, s.text = true, false, string(r[:max(0, len(r)-1)])
			g.Refresh()
		}
	case fyne.KeyDelete:
		if s.open(s.row, s.col) && (s.typing || s.rows[s.row][s.col].Text != "") {
			s.stop()
			s.put("")
		}
	case fyne.KeyEscape:
		if s.typing {
			s.Drop()
		} else if c := fyne.CurrentApp().Driver().CanvasForObject(g); c != nil {
			c.Unfocus()
		}
	case fyne.KeyF1, fyne.KeyF3, fyne.KeyF4, fyne.KeyF5, fyne.KeyF6, fyne.KeyF11:
		if c := fyne.CurrentApp().Driver().CanvasForObject(g); c != nil && c.OnTypedKey() != nil {
			c.OnTypedKey()(e)
		}
	}
}

// shifted reports whether the shift key is held.
func shifted() bool {
	d, ok := fyne.CurrentApp().Driver().(desktop.Driver)
	return ok && d.CurrentKeyModifiers()&fyne.KeyModifierShift != 0
}

// TypedShortcut is part of fyne.Shortcutable. What is none of the sheet's goes to
// the window.
func (g *sheetGrid) TypedShortcut(sc fyne.Shortcut) {
	s := g.owner
	switch sc := sc.(type) {
	case *fyne.ShortcutCopy:
		if s.row < len(s.rows) && s.col < len(s.header) {
			fyne.CurrentApp().Clipboard().SetContent(s.rows[s.row][s.col].Text)
		}
	case *fyne.ShortcutPaste:
		text := sc.Clipboard.Content()
		if s.typing {
			s.text, s.refused = s.text+text, false
			g.Refresh()
		} else if s.OnPaste != nil {
			s.OnPaste(s.row, s.col, text)
		}
	default:
		if c, ok := fyne.CurrentApp().Driver().CanvasForObject(g).(interface{ TypedShortcut(fyne.Shortcut) }); ok {
			c.TypedShortcut(sc)
		}
	}
}
