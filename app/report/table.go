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
	room       vg.Length // fixed width, for drawings; 0 for as wide as the cells
}

// A cell holds text, or draws itself in the rectangle it is given.
type cell struct {
	text string
	ink  *draw.TextStyle // nil for the table's own
	draw func(c draw.Canvas)
	alt  string // what draw shows, in words
}

func words(s string) cell { return cell{text: s} }

// A table lays out rows and splits them over pages.
type table struct {
	columns []column
	rows    [][]cell
	size    vg.Length // of the text
	note    string    // under the last row of every page
}

const (
	columnGap vg.Length = 18
	rowPad    vg.Length = 0.6 // above and below a row's lines, in text sizes
)

func (t *table) style() draw.TextStyle { return sans(t.size, ink) }

// A row is a row of a table as laid out.
type row struct {
	cells []cell
	lines [][]string
	high  vg.Length
}

// A leaf is the part of a table that one slide shows.
type leaf struct {
	vg.Rectangle
	t      *table
	widths []vg.Length
	rows   []row
}

// pages returns the leaves that hold the table in the rectangle, one for each
// slide, none for no rows.
func (t *table) pages(in vg.Rectangle) []leaf {
	wide := in.Size().X
	widths := t.widths(wide)
	room := in.Size().Y - t.headHeight() - t.noteHeight(wide)
	var pages []leaf
	for _, cells := range t.rows {
		r := t.lay(cells, widths)
		n := len(pages)
		if n == 0 || pages[n-1].high()+r.high > room {
			pages = append(pages, leaf{in, t, widths, nil})
			n++
		}
		pages[n-1].rows = append(pages[n-1].rows, r)
	}
	for i := range pages {
		pages[i].Min.Y = in.Max.Y - t.headHeight() - pages[i].high()
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

// high is the height of the rows.
func (f leaf) high() vg.Length {
	var h vg.Length
	for _, r := range f.rows {
		h += r.high
	}
	return h
}

func (f leaf) draw(c draw.Canvas) {
	c.Rectangle = f.Rectangle
	y := f.t.drawHead(c, f.widths)
	for _, r := range f.rows {
		f.t.drawRow(c, r, f.widths, y)
		y -= r.high
	}
}

// note is what stands under the leaf.
func (f leaf) note() passage {
	return newPassage(sans(10.5, muted), f.Min.X, f.Min.Y-18, f.Size().X, f.t.note, maxNote)
}

// maxNote is the most lines of a table's note.
const maxNote = 6

func (t *table) headHeight() vg.Length {
	for _, c := range t.columns {
		if c.unit != "" {
			return 2*leading(t.headStyle()) + 6
		}
	}
	return leading(t.headStyle()) + 6
}

func (t *table) headStyle() draw.TextStyle { return bold(t.size*0.92, ink) }
func (t *table) unitStyle() draw.TextStyle { return sans(t.size*0.92, muted) }

func (t *table) noteHeight(wide vg.Length) vg.Length {
	if t.note == "" {
		return 0
	}
	sty := sans(10.5, muted)
	return 18 + vg.Length(len(fit(sty, t.note, wide, maxNote)))*leading(sty)
}

func (t *table) styleOf(c cell) draw.TextStyle {
	if c.ink != nil {
		return *c.ink
	}
	return t.style()
}

// widths returns the width of each column: what its cells need where there is
// room, else columns of words give way. Room to spare is shared between the
// gaps.
func (t *table) widths(wide vg.Length) []vg.Length {
	n := len(t.columns)
	w := make([]vg.Length, n)
	total, soft := vg.Length(n-1)*columnGap, vg.Length(0)
	for k, col := range t.columns {
		w[k] = max(width(t.headStyle(), col.head), width(t.unitStyle(), col.unit), col.room)
		for _, row := range t.rows {
			w[k] = max(w[k], width(t.styleOf(row[k]), row[k].text))
		}
		total += w[k]
	}
	if total <= wide {
		return w
	}
	// Names keep what tells them apart.
	const tight = 110
	for k, col := range t.columns {
		if col.among != nil {
			core := width(t.headStyle(), col.head)
			for _, row := range t.rows {
				core = max(core, width(t.styleOf(row[k]), col.among.short(t.styleOf(row[k]), row[k].text, tight)))
			}
			total -= w[k] - min(w[k], core)
			w[k] = min(w[k], core)
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

// drawHead draws the headings and returns the top of the first row.
func (t *table) drawHead(c draw.Canvas, widths []vg.Length) vg.Length {
	gap := t.gap(c.Max.X-c.Min.X, widths)
	head, sub := t.headStyle(), t.unitStyle()
	y := c.Max.Y - head.Font.Size
	x := c.Min.X
	bottom := c.Max.Y - t.headHeight()
	for k, col := range t.columns {
		at, h, u := x, head, sub
		if !col.words && col.room == 0 {
			at, h, u = x+widths[k], right(head), right(sub)
		}
		write(c, h, at, y, shorten(h, col.head, widths[k]))
		write(c, u, at, y-leading(head), shorten(u, col.unit, widths[k]))
		x += widths[k] + gap
	}
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.9}, c.Min.X, bottom, c.Max.X, bottom)
	return bottom
}

// drawRow draws one row with its top at y.
func (t *table) drawRow(c draw.Canvas, r row, widths []vg.Length, y vg.Length) {
	gap := t.gap(c.Max.X-c.Min.X, widths)
	x := c.Min.X
	base := y - t.size*rowPad/2 - t.size
	for k, cl := range r.cells {
		sty := t.styleOf(cl)
		switch {
		case cl.draw != nil:
			box := c
			box.Rectangle = vg.Rectangle{Min: vg.Point{X: x, Y: y - r.high}, Max: vg.Point{X: x + widths[k], Y: y}}
			cl.draw(box)
		case t.columns[k].words:
			paragraph(c, sty, x, base, r.lines[k])
		default:
			paragraph(c, right(sty), x+widths[k], base, r.lines[k])
		}
		x += widths[k] + gap
	}
	c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.5}, c.Min.X, y-r.high, c.Max.X, y-r.high)
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
