package report

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A column of a table. Numbers stand right; words stand left and may wrap.
type column struct {
	head, unit string
	words      bool
	lines      int       // most lines a cell of words takes; 0 for one
	among      *labels   // for names, how they are shortened
	heads      *labels   // where the head is a name, how it is shortened
	room       vg.Length // fixed width, for drawings; 0 for as wide as the cells
}

// A cell holds text, or draws itself in the rectangle it is given.
type cell struct {
	text string
	tone tone
	draw func(c draw.Canvas)
	alt  string // what draw shows, in words
}

// A tone is how loud a cell is.
type tone int

// The tones.
const (
	usual  tone = iota
	strong      // bold
	aside       // muted
)

func words(s string) cell { return cell{text: s} }

// A table lays out rows and splits them over pages.
type table struct {
	columns []column
	rows    [][]cell
	size    vg.Length // of the text; 0 for the largest that has room on a slide
	note    string    // under the last row of every page
}

const (
	columnGap vg.Length = 18
	rowPad    vg.Length = 0.6 // above and below a row's lines, in text sizes
	headRoom  vg.Length = 11  // most width of one line of a head, in text sizes
	headLines           = 2   // most lines of a head
)

// Text sizes of a table that chooses its own: for one slide from the largest
// down to the least; over several, smaller than severalSize only where rows are
// too wide for that.
const (
	largestSize vg.Length = 16
	severalSize vg.Length = 12
	leastSize   vg.Length = 10.5
)

func (t *table) style() draw.TextStyle { return sans(t.size, ink) }

// A row is a row of a table as laid out.
type row struct {
	cells []cell
	lines [][]string
	high  vg.Length
}

// choose sets the size of the text.
func (t *table) choose(in vg.Rectangle) {
	for t.size = largestSize; t.size >= leastSize; t.size -= 0.5 {
		if vg.Length(len(t.rows))*t.size > in.Size().Y {
			continue // not even without leading
		}
		if t.least(false) <= in.Size().X && len(t.split(in, in.Size().Y)) <= 1 {
			return
		}
	}
	for t.size = severalSize; t.size > leastSize; t.size -= 0.5 {
		if t.least(true) <= in.Size().X {
			return
		}
	}
}

// least is the width below which the table is hard to read: cells that may wrap
// in two lines each and, where short is true, names without what they share.
func (t *table) least(short bool) vg.Length {
	total, w := t.wanted()
	for k, col := range t.columns {
		switch {
		case col.among != nil && short:
			total -= w[k] - t.core(k, w[k])
		case col.lines > 1 && !short:
			total -= w[k] * 0.4
		}
	}
	return total
}

// core is the width of column k, now w, when its names are without what all of
// them share.
func (t *table) core(k int, w vg.Length) vg.Length {
	tight := 12 * t.size // of a name that is not shortened for being long
	col := t.columns[k]
	core := width(t.headStyle(), col.head)
	for _, row := range t.rows {
		sty := t.styleOf(row[k])
		core = max(core, width(sty, col.among.short(sty, row[k].text, tight)))
	}
	return min(w, core)
}

// pages returns the leaves that hold the table in the rectangle, one for each
// slide, about as full as each other; none for no rows.
func (t *table) pages(in vg.Rectangle) []leaf {
	if t.size == 0 {
		t.choose(in)
	}
	pages := t.split(in, in.Size().Y)
	if n := vg.Length(len(pages)); n > 1 {
		var all vg.Length
		for _, p := range pages {
			all += p.high()
		}
		for most := all / n; most < in.Size().Y; most += t.size {
			if even := t.split(in, most); len(even) == len(pages) {
				pages = even
				break
			}
		}
	}
	for i := range pages {
		pages[i].Min.Y = in.Max.Y - t.headHeight(pages[i].heads) - pages[i].high()
	}
	return pages
}

// split fills leaves with rows of at most the given height together.
func (t *table) split(in vg.Rectangle, most vg.Length) []leaf {
	wide := in.Size().X
	widths := t.widths(wide)
	heads := t.heads(widths)
	room := min(most, in.Size().Y-t.headHeight(heads)-t.noteHeight(wide))
	var pages []leaf
	for _, cells := range t.rows {
		r := t.lay(cells, widths)
		n := len(pages)
		if n == 0 || pages[n-1].high()+r.high > room {
			pages = append(pages, leaf{in, t, widths, heads, nil})
			n++
		}
		pages[n-1].rows = append(pages[n-1].rows, r)
	}
	return pages
}

// lay breaks the cells of a row to lines.
func (t *table) lay(cells []cell, widths []vg.Length) row {
	r := row{cells: cells, lines: make([][]string, len(cells))}
	tall := 1
	for k, c := range cells {
		sty := t.styleOf(c)
		n := 1
		if t.columns[k].words {
			n = max(1, t.columns[k].lines)
		}
		if l := t.columns[k].among; l != nil {
			r.lines[k] = []string{l.short(sty, c.text, widths[k])}
		} else {
			r.lines[k] = fit(sty, c.text, widths[k], n)
		}
		tall = max(tall, len(r.lines[k]))
	}
	r.high = vg.Length(tall)*leading(t.style()) + t.size*rowPad
	return r
}

// Notes under tables: their most lines, and how far their first baseline is
// below the last row.
const (
	maxNote           = 6
	noteGap vg.Length = 20
)

func noteStyle() draw.TextStyle { return sans(labelSize, muted) }

func (t *table) headHeight(heads [][]string) vg.Length {
	sub, lines := 0, 1
	for k, c := range t.columns {
		if c.unit != "" {
			sub = 1
		}
		lines = max(lines, len(heads[k]))
	}
	return vg.Length(lines+sub)*leading(t.headStyle()) + 6
}

func (t *table) headStyle() draw.TextStyle { return bold(t.headSize(), ink) }
func (t *table) unitStyle() draw.TextStyle { return sans(t.headSize(), muted) }

// headSize is a little below that of the cells, where it can still be read.
func (t *table) headSize() vg.Length { return max(t.size*0.92, min(t.size, leastSize)) }

func (t *table) noteHeight(wide vg.Length) vg.Length {
	if t.note == "" {
		return 0
	}
	sty := noteStyle()
	return noteGap + vg.Length(len(fit(sty, t.note, wide, maxNote)))*leading(sty)
}

func (t *table) styleOf(c cell) draw.TextStyle {
	switch c.tone {
	case strong:
		return bold(t.size, ink)
	case aside:
		return sans(t.size, muted)
	}
	return t.style()
}

// heads breaks the heads of the columns to lines.
func (t *table) heads(widths []vg.Length) [][]string {
	sty := t.headStyle()
	all := make([][]string, len(t.columns))
	for k, c := range t.columns {
		text := c.head
		if c.heads != nil && len(wrap(sty, text, widths[k])) > headLines {
			text = c.heads.core(text)
		}
		all[k] = fit(sty, text, widths[k], headLines)
	}
	return all
}

// headWidth is the least width in which a head has room, broken to lines: at
// least that of its longest word, at most headRoom.
func (t *table) headWidth(c column) vg.Length {
	sty := t.headStyle()
	whole := width(sty, c.head)
	least := whole
	for ; least > whole/headLines && len(wrap(sty, c.head, least-4)) <= headLines && !broken(sty, c.head, least-4); least -= 4 {
	}
	return max(min(least, headRoom*t.size), width(t.unitStyle(), c.unit))
}

// wanted returns the width of the table when nothing gives way, and that of
// each column.
func (t *table) wanted() (vg.Length, []vg.Length) {
	w := make([]vg.Length, len(t.columns))
	total := vg.Length(len(w)-1) * columnGap
	for k, col := range t.columns {
		w[k] = max(t.headWidth(col), col.room)
		for _, row := range t.rows {
			w[k] = max(w[k], width(t.styleOf(row[k]), row[k].text))
		}
		total += w[k]
	}
	return total, w
}

// widths returns the width of each column: what its cells need where there is
// room, else columns of words give way. Room to spare is shared between the
// gaps.
func (t *table) widths(wide vg.Length) []vg.Length {
	total, w := t.wanted()
	if total <= wide {
		return w
	}
	var soft vg.Length
	for k, col := range t.columns {
		if col.among != nil { // names keep what tells them apart
			core := t.core(k, w[k])
			total -= w[k] - core
			w[k] = core
		}
		if col.words {
			soft += w[k]
		}
	}
	over := total - wide
	if over <= 0 {
		return w
	}
	// Words give way in proportion to what each has above its fair share.
	fair := (soft - over) / vg.Length(t.softColumns())
	var above vg.Length
	for k, col := range t.columns {
		if col.words && w[k] > fair {
			above += w[k] - fair
		}
	}
	for k, col := range t.columns {
		if col.words && w[k] > fair && above > 0 {
			w[k] -= min(over*(w[k]-fair)/above, w[k]-20)
		}
	}
	return w
}

func (t *table) softColumns() int {
	n := 0
	for _, c := range t.columns {
		if c.words {
			n++
		}
	}
	return max(1, n)
}

// gap returns the space between columns.
func (t *table) gap(wide vg.Length, widths []vg.Length) vg.Length {
	free := wide
	for _, w := range widths {
		free -= w
	}
	if len(widths) < 2 {
		return 0
	}
	gap := max(0, free/vg.Length(len(widths)-1))
	if t.columns[len(widths)-1].words {
		return min(gap, 1.5*columnGap) // the room is at the end of the row
	}
	return gap
}

// numbers reports whether the column's cells stand right.
func (c column) numbers() bool { return !c.words && c.room == 0 }

// align returns the style as the column sets it.
func (c column) align(sty draw.TextStyle) draw.TextStyle {
	if c.numbers() {
		return right(sty)
	}
	return sty
}

// slides returns a slide for each page of the table, numbered where there are
// several.
func (t *table) slides(s Slide) []Slide {
	pages := t.pages(body)
	slides := make([]Slide, len(pages))
	for i, f := range pages {
		slides[i] = s
		slides[i].parts = []part{f}
		if t.note != "" {
			slides[i].parts = append(slides[i].parts, f.note())
		}
		if len(pages) > 1 {
			slides[i].sheet, slides[i].sheets = i+1, len(pages)
		}
	}
	return slides
}
