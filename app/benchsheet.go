package app

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/kinematics/beam"
	"bendline/widgets"
)

// benchSheet is the page on which the bench sheet of a club is typed, pasted and
// read from a file.
type benchSheet struct {
	root     fyne.CanvasObject
	win      *Window
	club     *pick
	items    *widgets.Sheet
	said     *widget.Label
	tables   *choice
	stations *widgets.Sheet
	settings *settingsSheet

	shown *study.Study
	id    string   // of the club that is shown
	table int      // that is shown
	rows  int      // of it
	next  []string // a row of it that is not whole yet, as typed
}

// The columns of the items; those of the limits follow on verdictColumn.
const (
	measuredColumn = 2
	verdictColumn  = 3
)

// benchColumn returns what a column of the items holds.
func benchColumn(col int) study.BenchColumn {
	if col <= measuredColumn {
		return study.BenchValue
	}
	return study.BenchColumn(max(col, verdictColumn+1) - verdictColumn)
}

var itemHeader = []string{"item", "unit", "measured", "verdict", "target", "minus", "plus"}

func newBenchSheet(w *Window) *benchSheet {
	const wide, narrow = "1234.56", "12.34"
	b := &benchSheet{win: w, said: newWords(""), table: -1,
		items:    widgets.NewSheet(itemHeader, []string{"", "", wide, study.Failed.String(), wide, narrow, narrow}),
		stations: widgets.NewSheet(nil, nil),
		settings: newSettingsSheet(w, "d0_ozin", "clamp_mm", "tip_mass_g", "soft_spot_percent", "hands_mm", "head_g", "cg_toe_mm", "cg_back_mm", "radius_mm")}
	b.club = newPick(w, nil, func(i int) { w.store.Do(ShowBenchClub{w.store.State().Study.Clubs[i].ID}) })
	names := make([]string, len(study.StationTables))
	for i, t := range study.StationTables {
		names[i] = t.Short
	}
	b.tables = newChoice(names, func(i int) { w.store.Do(ShowBenchTable{i}) })

	b.items.OnType = func(row, col int, text string) string {
		key := b.keyOf(row)
		return b.say(w.changeClub(b.id, func(c study.Club) (study.Club, error) {
			return c.WithBenchText(key, benchColumn(col), text, w.store.State().Study.BenchOptions().SwingWeightZero)
		}))
	}
	b.items.OnPaste = func(row, col int, text string) {
		b.paste(text, func(c study.Club, cells [][]string) (study.Club, error) {
			return c.WithBenchTexts(b.keyOf(row), benchColumn(col), cells, w.store.State().Study.BenchOptions().SwingWeightZero)
		})
	}
	b.stations.OnType = b.typeStation
	b.stations.OnPaste = func(row, col int, text string) {
		b.paste(text, func(c study.Club, cells [][]string) (study.Club, error) {
			return c.WithStations(study.StationTables[b.table].Key, row, col, cells)
		})
	}

	button := func(text string, icon fyne.Resource, do func()) *widget.Button {
		return widget.NewButtonWithIcon(text, icon, do)
	}
	buttons := container.NewHBox(
		button("Paste", theme.ContentPasteIcon(), func() { w.pasteBench(b.id) }),
		button("Read a file…", theme.FolderOpenIcon(), w.askBench),
		button("Copy", theme.ContentCopyIcon(), func() { w.copyBench(b.id) }))
	head := container.NewBorder(nil, nil, labelled("Club", container.NewGridWrap(fyne.NewSize(240, b.club.MinSize().Height), b.club)), buttons)
	right := container.NewVSplit(
		container.NewBorder(b.tables.root, nil, nil, nil, b.stations),
		container.NewBorder(heading("How the study takes it"), nil, nil, nil, b.settings.sheet))
	right.Offset = 0.55
	split := container.NewHSplit(b.items, right)
	split.Offset = 0.615
	b.root = container.NewBorder(head, b.said, nil, nil, split)
	b.say("")
	return b
}

const sheetHint = "Type into a framed cell: a number, with a unit behind it if it is in another. Ctrl+V puts a column or a whole table of a spreadsheet in. An emptied station takes its row away."

// say tells why something cannot be, in place of the hint, and returns it.
func (b *benchSheet) say(why string) string {
	b.said.Importance = widget.LowImportance
	if why != "" {
		b.said.Importance = widget.DangerImportance
		b.said.SetText(why)
		return why
	}
	b.said.SetText(sheetHint)
	return ""
}

// keyOf returns the key of the item in a row.
func (b *benchSheet) keyOf(row int) string { return b.benchRows()[row].Key }

func (b *benchSheet) benchRows() []study.BenchRow {
	c := b.shown.Club(b.id)
	rows, err := c.BenchRows()
	if err != nil {
		b.say(sentence(err))
	}
	return rows
}

// paste puts cells of a spreadsheet in: a table that names its items or stations
// goes where it belongs, numbers alone go where the keyboard is.
func (b *benchSheet) paste(text string, put func(study.Club, [][]string) (study.Club, error)) {
	table, err := study.PastedBench(text)
	if err != nil {
		b.say(sentence(err))
		return
	}
	cells, ok := table.Values()
	if !ok {
		b.win.takeBench([]study.BenchTable{table}, b.id)
		return
	}
	b.say(b.win.changeClub(b.id, func(c study.Club) (study.Club, error) { return put(c, cells) }))
}

// typeStation takes a cell of the table by station. Those of the row below the
// last are kept until the row is whole.
func (b *benchSheet) typeStation(row, col int, text string) string {
	t := study.StationTables[b.table]
	cells, from := [][]string{{text}}, col
	if row == b.rows {
		b.next[col] = text
		if slices.Contains(b.next, "") {
			b.present(b.win.store.State(), true)
			return b.say("")
		}
		cells, from = [][]string{slices.Clone(b.next)}, 0
		b.next = nil
	}
	why := b.win.changeClub(b.id, func(c study.Club) (study.Club, error) { return c.WithStations(t.Key, row, from, cells) })
	if why != "" && from == 0 && row == b.rows {
		b.next = cells[0]
		b.next[col] = ""
	}
	b.present(b.win.store.State(), true)
	return b.say(why)
}

// present shows the sheet of the club that is chosen.
func (b *benchSheet) present(s State, anew bool) {
	id := s.benchClub()
	if s.Study == b.shown && id == b.id && s.BenchTable == b.table && !anew {
		return
	}
	if id != b.id || s.BenchTable != b.table {
		b.stations.Drop()
		b.next = nil
	}
	if id != b.id {
		b.items.Drop()
		b.say("")
	}
	b.shown, b.id, b.table = s.Study, id, s.BenchTable
	names, down := make([]string, len(s.Study.Clubs)), -1
	for i, c := range s.Study.Clubs {
		names[i] = clubLabel(s.Study, c.ID)
		if c.ID == id {
			down = i
		}
	}
	b.club.offer(names, down)
	b.tables.set(s.BenchTable)
	b.settings.present(s)
	c := s.Study.Club(id)
	if c == nil {
		b.items.SetRows(nil)
		b.stations.SetTable(nil, nil, nil)
		return
	}
	b.items.SetRows(itemCells(b.benchRows(), s.Study.BenchOptions().SwingWeightZero))
	t := study.StationTables[s.BenchTable]
	values, err := t.Rows(c)
	if err != nil {
		b.say(sentence(err))
	}
	b.rows = len(values)
	if len(b.next) != len(t.Columns) {
		b.next = make([]string, len(t.Columns))
	}
	var head, widest []string
	for _, col := range t.Columns {
		head, widest = append(head, col.Label+", "+col.Unit()), append(widest, "1234.567")
	}
	cells := stationCells(t, values, b.next)
	if t.Key == "three_point" {
		head = append(head, "F S³/48y", "taper's bias, %", "EI, N m²")
		withReadings(cells, c)
	}
	b.stations.SetTable(head, widest, cells)
}

// itemCells returns the cells of the items; zero is the swing weight called D0.
func itemCells(rows []study.BenchRow, zero float64) [][]widgets.SheetCell {
	cells := make([][]widgets.SheetCell, len(rows))
	for i, r := range rows {
		line := []widgets.SheetCell{{Text: r.Label}, {Text: r.Unit, Tone: widgets.Muted}}
		if letter := beam.SwingWeightLetter(r.Values[study.BenchValue], zero); r.Key == "swing_weight_ozin" && letter != "" {
			line[0].Text += ", " + letter
		}
		for k, v := range r.Values {
			c := widgets.SheetCell{Text: typedNumber(v, r.Digits), Open: r.Takes[k]}
			if k == int(study.BenchValue) && r.FromOthers {
				c.Text, c.Tone = decimal(v, r.Digits), widgets.Muted
			}
			line = append(line, c)
		}
		verdict := widgets.SheetCell{}
		if r.Checked {
			verdict.Text = r.Verdict.String()
			switch r.Verdict {
			case study.Failed:
				verdict.Tone, line[measuredColumn].Tone = widgets.Warn, widgets.Warn
			case study.Missing:
				verdict.Tone = widgets.Muted
			}
		}
		cells[i] = slices.Insert(line, verdictColumn, verdict)
	}
	return cells
}

// stationCells returns the cells of a table by station, with a row to type another
// one into.
func stationCells(t study.StationTable, rows [][]float64, next []string) [][]widgets.SheetCell {
	var cells [][]widgets.SheetCell
	for _, row := range rows {
		var line []widgets.SheetCell
		for k, v := range row {
			line = append(line, widgets.SheetCell{Text: typedNumber(v, t.Columns[k].Digits), Open: true})
		}
		cells = append(cells, line)
	}
	var line []widgets.SheetCell
	for _, text := range next {
		line = append(line, widgets.SheetCell{Text: text, Open: true})
	}
	return append(cells, line)
}

// withReadings puts behind each three-point reading the EI it gives, by how much the
// shaft's taper biases the formula, and EI without that.
func withReadings(cells [][]widgets.SheetCell, c *study.Club) {
	var readings []study.StiffnessReading
	if sheet, err := c.Sheet(); err == nil { // else the table is empty
		readings = study.StiffnessReadings(c, sheet)
	}
	for i := range cells {
		line := make([]widgets.SheetCell, 3)
		if i < len(readings) {
			r := readings[i]
			for k, text := range []string{decimal(r.Formula, 2), signed(r.Bias*100, 2), decimal(r.EI, 2)} {
				line[k] = widgets.SheetCell{Text: text, Tone: widgets.Muted}
			}
		}
		cells[i] = append(cells[i], line...)
	}
}

// typedNumber returns a number as it was typed, with so many decimals or up to
// three more; "" for NaN.
func typedNumber(v float64, digits int) string {
	if math.IsNaN(v) {
		return ""
	}
	text := strconv.FormatFloat(v, 'f', -1, 64)
	_, decimals, _ := strings.Cut(text, ".")
	return strconv.FormatFloat(v, 'f', max(digits, min(len(decimals), digits+3)), 64)
}

// changeClub changes a club of the study, and returns a sentence that says why it
// cannot be, "" if it could.
func (w *Window) changeClub(id string, change func(study.Club) (study.Club, error)) string {
	st := w.store.State().Study
	was := st.Club(id)
	if was == nil {
		return "Choose a club first."
	}
	now, err := change(*was)
	if err != nil {
		return sentence(err)
	}
	if !reflect.DeepEqual(now, *was) {
		w.change(Edit{func(st *study.Study) bool {
			*st.Club(id) = now
			return true
		}})
	}
	return ""
}

// ShowBenchClub chooses the club whose sheet is shown.
type ShowBenchClub struct{ Club string }

func (c ShowBenchClub) apply(s State) State { s.BenchClub = c.Club; return s }

// ShowBenchTable turns to a table by station, in the order of study.StationTables.
type ShowBenchTable struct{ Table int }

func (c ShowBenchTable) apply(s State) State { s.BenchTable = c.Table; return s }

// benchClub returns the club whose sheet is shown, "" where there is none.
func (s State) benchClub() string {
	if s.Study.Club(s.BenchClub) != nil {
		return s.BenchClub
	}
	if len(s.Study.Clubs) > 0 {
		return s.Study.Clubs[0].ID
	}
	return ""
}
