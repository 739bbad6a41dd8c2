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

// pages returns the drawing of each page of the table, none for no rows. A page
// has the width and height given.
func (t *table) pages(wide, high vg.Length) []func(draw.Canvas) {
	widths := t.widths(wide)
	lines := make([][][]string, len(t.rows))
	heights := make([]vg.Length, len(t.rows))
	for i, row := range t.rows {
		lines[i] = make([][]string, len(row))
		tall := 1
		for k, c := range row {
			sty := t.styleOf(c)
			n := 1
			if t.columns[k].words {
				n = max(1, t.columns[k].lines)
			}
			if l := t.columns[k].among; l != nil {
				lines[i][k] = []string{l.short(sty, c.text, widths[k])}
			} else {
				lines[i][k] = fit(sty, c.text, widths[k], n)
			}
			tall = max(tall, len(lines[i][k]))
		}
		heights[i] = vg.Length(tall)*leading(t.style()) + t.size*rowPad
	}

	room := high - t.headHeight() - t.noteHeight(wide)
	var pages []func(draw.Canvas)
	for from := 0; from < len(t.rows); {
		to, used := from, vg.Length(0)
		for to < len(t.rows) && (to == from || used+heights[to] <= room) {
			used += heights[to]
			to++
		}
		first, last := from, to
		pages = append(pages, func(c draw.Canvas) {
			y := t.drawHead(c, widths)
			for i := first; i < last; i++ {
				t.drawRow(c, t.rows[i], lines[i], widths, y, heights[i])
				y -= heights[i]
			}
			if t.note != "" {
				sty := sans(10.5, muted)
				paragraph(c, sty, c.Min.X, y-18, wrap(sty, t.note, wide))
			}
		})
		from = to
	}
	return pages
}

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
	return 18 + vg.Length(len(wrap(sty, t.note, wide)))*leading(sty)
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
func (t *table) drawRow(c draw.Canvas, row []cell, lines [][]string, widths []vg.Length, y, high vg.Length) {
	gap := t.gap(c.Max.X-c.Min.X, widths)
	x := c.Min.X
	base := y - t.size*rowPad/2 - t.size
	for k, cl := range row {
		sty := t.styleOf(cl)
		switch {
		case cl.draw != nil:
			box := c
			box.Rectangle = vg.Rectangle{Min: vg.Point{X: x, Y: y - high}, Max: vg.Point{X: x + widths[k], Y: y}}
			cl.draw(box)
		case t.columns[k].words:
			paragraph(c, sty, x, base, lines[k])
		default:
			paragraph(c, right(sty), x+widths[k], base, lines[k])
		}
		x += widths[k] + gap
	}
	c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.5}, c.Min.X, y-high, c.Max.X, y-high)
}

// slides returns a slide for each page of the table, numbered in the title
// where there are several.
func (t *table) slides(s Slide) []Slide {
	pages := t.pages(bodyWide, bodyTop-bodyFoot)
	slides := make([]Slide, len(pages))
	for i, p := range pages {
		slides[i] = s
		slides[i].draw = p
		if len(pages) > 1 {
			slides[i].Title += " (" + number(float64(i+1), 0) + " of " + number(float64(len(pages)), 0) + ")"
		}
	}
	return slides
}
