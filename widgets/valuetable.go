package widgets

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Tone is how a row of a table is coloured.
type Tone int

// The tones.
const (
	Normal Tone = iota
	Warn        // needs a look
	Muted       // left out
)

// A Row is one line of a ValueTable.
type Row struct {
	Cells []string
	Tone  Tone
}

// A ValueTable shows rows of words and numbers under a header, and nothing where
// there are no rows. Columns are as wide as their content; columns of numbers,
// other than the first, are aligned right, and one without a word in any row is
// not shown. Where they have no room side by side, headers take two lines, then
// the columns move together, and at last the longest words are cut. Clicking chooses a row, up and down go to its
// neighbours, and the shortcut to copy puts Text on the clipboard.
type ValueTable struct {
	widget.BaseWidget

	OnSelect func(row int) // the user chose another row

	header   []string
	rows     []Row
	selected int
	natural  []column // that are shown, as wide as they ask to be
	columns  []column // as wide as there is room for
	rest     float32  // dp, right of the last column
	grid     *grid
}

// NewValueTable returns a table with the header and no rows.
func NewValueTable(header ...string) *ValueTable {
	t := &ValueTable{header: header, selected: -1}
	t.grid = newGrid(t)
	t.ExtendBaseWidget(t)
	t.settle()
	return t
}

// SetHeader replaces the header, which also sets the number of columns.
func (t *ValueTable) SetHeader(header ...string) {
	t.header = header
	t.settle()
}

// SetRows replaces the rows; missing cells are blank, those beyond the header
// are not shown. The selection stays at its row if that still exists.
func (t *ValueTable) SetRows(rows []Row) {
	t.rows = rows
	if t.selected >= len(rows) {
		t.selected = -1
	}
	t.settle()
}

// Select marks a row and brings it into view; -1 marks none. It panics if there
// is no such row.
func (t *ValueTable) Select(row int) {
	if row < -1 || row >= len(t.rows) {
		panic("widgets: no such row to select")
	}
	if row == t.selected {
		return
	}
	t.selected = row
	if row >= 0 && t.grid.Size().Height > 0 { // before it is laid out, all is out of view
		t.grid.ScrollTo(widget.TableCellID{Row: row + 1})
	}
	t.grid.Refresh()
}

// Selected returns the marked row, -1 if there is none.
func (t *ValueTable) Selected() int { return t.selected }

// choose takes a row from a gesture.
func (t *ValueTable) choose(row int) {
	if row < 0 || row >= len(t.rows) || row == t.selected {
		return
	}
	t.Select(row)
	if t.OnSelect != nil {
		t.OnSelect(row)
	}
}

// Text returns header and rows as lines of cells separated by tabs, with the
// minus that other programs read as one.
func (t *ValueTable) Text() string {
	var b strings.Builder
	clean := strings.NewReplacer("\t", " ", "\n", " ", "\r", "", "−", "-")
	line := func(cell func(col int) string) {
		for col := range t.header {
			if col > 0 {
				b.WriteByte('\t')
			}
			b.WriteString(clean.Replace(cell(col)))
		}
		b.WriteByte('\n')
	}
	line(func(col int) string { return t.header[col] })
	for row := range t.rows {
		line(func(col int) string { return t.cell(row, col) })
	}
	return b.String()
}

// cell returns the text of a cell, "" where a row is short.
func (t *ValueTable) cell(row, col int) string {
	if cells := t.rows[row].Cells; col < len(cells) {
		return cells[col]
	}
	return ""
}

// settle finds which columns are shown and how wide each asks to be.
func (t *ValueTable) settle() {
	t.natural = t.natural[:0]
	for col, head := range t.header {
		c := newColumn(t.Theme(), head)
		c.index = col
		for row := range t.rows {
			c.add(t.cell(row, col), false)
		}
		c.right = col > 0 && c.numeric()
		if col == 0 || c.filled {
			t.natural = append(t.natural, *c)
		}
	}
	t.fit()
}

// fit gives the columns the width there is.
func (t *ValueTable) fit() {
	t.columns = append(t.columns[:0], t.natural...)
	t.rest = fitColumns(t.columns, t.Size().Width, t.Theme().Size(theme.SizeNamePadding))
	lines := 1
	for i, c := range t.columns {
		lines = max(lines, strings.Count(c.head, "\n")+1)
		t.grid.SetColumnWidth(i, c.width)
	}
	if len(t.columns) > 0 { // the first asks for its room even where nothing is shown
		t.grid.SetColumnWidth(len(t.columns), t.rest)
	}
	t.grid.SetRowHeight(0, cellHeight(t.Theme(), lines))
	if len(t.rows) == 0 {
		t.grid.Hide() // its bars would be seen
		return
	}
	t.grid.Show()
	t.grid.Refresh()
}

// Resize is part of fyne.CanvasObject.
func (t *ValueTable) Resize(size fyne.Size) {
	another := size.Width != t.Size().Width
	t.BaseWidget.Resize(size)
	if another {
		t.fit()
	}
}

// Refresh is part of fyne.CanvasObject.
func (t *ValueTable) Refresh() {
	t.settle() // the theme may have changed the size of the text
	t.BaseWidget.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (t *ValueTable) CreateRenderer() fyne.WidgetRenderer {
	t.ExtendBaseWidget(t)
	return widget.NewSimpleRenderer(t.grid)
}

// A grid is the table of Fyne under a ValueTable, chosen from by rows.
type grid struct {
	widget.Table
	owner *ValueTable
	hit   bool // a tap met a cell
}

func newGrid(owner *ValueTable) *grid {
	g := &grid{owner: owner}
	// The header is the table's first row, held in place: Fyne's own header
	// row makes ScrollTo miss by its height.
	g.StickyRowCount = 1
	g.StickyColumnCount = 1
	g.Length = func() (rows, cols int) {
		switch {
		case len(owner.rows) == 0:
			return 0, 0
		case owner.rest > 0: // one more, so that header and mark go to the edge
			return len(owner.rows) + 1, len(owner.columns) + 1
		}
		return len(owner.rows) + 1, len(owner.columns)
	}
	g.CreateCell = func() fyne.CanvasObject { return newCell() }
	g.UpdateCell = func(id widget.TableCellID, o fyne.CanvasObject) {
		c, row := o.(*cell), id.Row-1
		if id.Col > len(owner.columns) || row >= len(owner.rows) {
			return
		}
		var of column
		if id.Col < len(owner.columns) {
			of = owner.columns[id.Col]
		}
		c.tight = of.tight
		if c.bold = row < 0; c.bold {
			c.show(of.head, of.right, Normal, false)
			return
		}
		text := ""
		if id.Col < len(owner.columns) {
			text = owner.cell(row, of.index)
		}
		c.show(text, of.right, owner.rows[row].Tone, row == owner.selected)
	}
	g.HideSeparators = true
	g.OnSelected = func(id widget.TableCellID) {
		g.hit = true
		g.UnselectAll() // the mark is ours: a second choice of this cell must come through
		owner.choose(id.Row - 1)
	}
	g.ExtendBaseWidget(g)
	return g
}

// Tapped is part of fyne.Tappable. A row is met over the whole width, and with
// the space above it. The keyboard goes to the table.
func (g *grid) Tapped(e *fyne.PointEvent) {
	at := *e
	at.Position.X = 1
	g.hit = false
	g.Table.Tapped(&at)
	if !g.hit {
		at.Position.Y += g.Theme().Size(theme.SizeNamePadding)
		g.Table.Tapped(&at)
	}
	takeKeyboard(g)
}

// TypedKey is part of fyne.Focusable.
func (g *grid) TypedKey(e *fyne.KeyEvent) {
	last := len(g.owner.rows) - 1
	switch e.Name {
	case fyne.KeyUp:
		g.owner.choose(max(0, g.owner.selected-1))
	case fyne.KeyDown:
		g.owner.choose(min(last, g.owner.selected+1))
	case fyne.KeyHome:
		g.owner.choose(0)
	case fyne.KeyEnd:
		g.owner.choose(last)
	}
}

// TypedShortcut is part of fyne.Shortcutable.
func (g *grid) TypedShortcut(s fyne.Shortcut) {
	if _, ok := s.(*fyne.ShortcutCopy); ok {
		fyne.CurrentApp().Clipboard().SetContent(g.owner.Text())
	}
}
