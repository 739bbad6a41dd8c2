package report

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A leaf is the part of a table that one slide shows.
type leaf struct {
	vg.Rectangle
	t      *table
	widths []vg.Length
	heads  [][]string
	rows   []row
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
	y := f.drawHead(c)
	for _, r := range f.rows {
		f.drawRow(c, r, y)
		y -= r.high
	}
}

// note is what stands under the leaf.
func (f leaf) note() passage {
	return newPassage(noteStyle(), f.Min.X, f.Min.Y-noteGap, f.Size().X, f.t.note, maxNote)
}

// drawHead draws the headings, down to the line under them, and returns the top
// of the first row.
func (f leaf) drawHead(c draw.Canvas) vg.Length {
	gap := f.t.gap(c.Max.X-c.Min.X, f.widths)
	head, sub := f.t.headStyle(), f.t.unitStyle()
	x := c.Min.X
	bottom := c.Max.Y - f.t.headHeight(f.heads)
	for k, col := range f.t.columns {
		at := x
		if col.numbers() {
			at += f.widths[k]
		}
		y := paragraph(c, col.align(head), at, c.Max.Y-head.Font.Size, f.heads[k])
		write(c, col.align(sub), at, y, shorten(sub, col.unit, f.widths[k]))
		x += f.widths[k] + gap
	}
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.9}, c.Min.X, bottom, c.Max.X, bottom)
	return bottom
}

// drawRow draws one row with its top at y, cells of fewer lines in the middle.
func (f leaf) drawRow(c draw.Canvas, r row, y vg.Length) {
	gap := f.t.gap(c.Max.X-c.Min.X, f.widths)
	x := c.Min.X
	for k, cl := range r.cells {
		sty := f.t.styleOf(cl)
		lines := vg.Length(len(r.lines[k])) * leading(sty)
		base := y - (r.high-lines)/2 - sty.Font.Size
		switch {
		case cl.draw != nil:
			box := c
			box.Rectangle = vg.Rectangle{Min: vg.Point{X: x, Y: y - r.high}, Max: vg.Point{X: x + f.widths[k], Y: y}}
			cl.draw(box)
		case f.t.columns[k].words:
			paragraph(c, sty, x, base, r.lines[k])
		default:
			paragraph(c, right(sty), x+f.widths[k], base, r.lines[k])
		}
		x += f.widths[k] + gap
	}
	c.StrokeLine2(draw.LineStyle{Color: rule, Width: 0.5}, c.Min.X, y-r.high, c.Max.X, y-r.high)
}
