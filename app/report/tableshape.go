package report

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// shape writes the leaf as a table. A column takes the gap to the next one as
// its right margin, less some slack, so that no line breaks for a rounding. What
// cells draw lies over them as pictures.
func (f leaf) shape(s *shapes) {
	gap := f.t.gap(f.Size().X, f.widths)
	box := f.Rectangle
	var grid, rows strings.Builder
	var x vg.Length
	last := len(f.widths) - 1
	margin := func(k int) vg.Length {
		if k == last {
			return slack
		}
		return max(gap, slack)
	}
	for k, w := range f.widths {
		w += margin(k)
		fmt.Fprintf(&grid, `<a:gridCol w="%d"/>`, emu(w))
		x += w
	}
	box.Max.X = box.Min.X + x

	fmt.Fprintf(&rows, `<a:tr h="%d">`, emu(f.t.headHeight(f.heads)))
	for k, col := range f.t.columns {
		head := paragraphs(col.align(f.t.headStyle()), col.head, strings.Join(f.heads[k], " "))
		if col.unit != "" {
			head += paragraphs(col.align(f.t.unitStyle()), col.unit, shorten(f.t.unitStyle(), col.unit, f.widths[k]))
		}
		rows.WriteString(tableCell(head, margin(k)-slack, "t", 0.9, rgb(ink)))
	}
	rows.WriteString(`</a:tr>`)
	y := f.Max.Y - f.t.headHeight(f.heads)
	for _, r := range f.rows {
		fmt.Fprintf(&rows, `<a:tr h="%d">`, emu(r.high))
		for k, c := range r.cells {
			sty := f.t.columns[k].align(f.t.styleOf(c))
			rows.WriteString(tableCell(paragraphs(sty, c.text, strings.Join(r.lines[k], " ")), margin(k)-slack, "ctr", 0.5, rgb(rule)))
		}
		rows.WriteString(`</a:tr>`)
	}
	fmt.Fprintf(s, `<p:graphicFrame><p:nvGraphicFramePr><p:cNvPr %s/><p:cNvGraphicFramePr><a:graphicFrameLocks noGrp="1"/></p:cNvGraphicFramePr><p:nvPr/></p:nvGraphicFramePr>%s`+
		`<a:graphic><a:graphicData uri="http://schemas.openxmlformats.org/drawingml/2006/table"><a:tbl><a:tblPr firstRow="1"/><a:tblGrid>%s</a:tblGrid>%s</a:tbl></a:graphicData></a:graphic></p:graphicFrame>`,
		s.id("Table"), frame("p:xfrm", box), grid.String(), rows.String())

	for _, r := range f.rows {
		x := f.Min.X
		for k, c := range r.cells {
			if c.draw != nil {
				cell := vg.Rectangle{Min: vg.Point{X: x, Y: y - r.high}, Max: vg.Point{X: x + f.widths[k], Y: y}}
				illustration{cell, c.alt, c.draw}.shape(s)
			}
			x += f.widths[k] + margin(k)
		}
		y -= r.high
	}
}

// paragraphs is the text of a cell, as laid out. A cell without text keeps the
// size of the text, which is that of its row.
func paragraphs(sty draw.TextStyle, text, shown string) string {
	if text == "" {
		return fmt.Sprintf(`<a:p><a:endParaRPr lang="en-GB" sz="%d"/></a:p>`, hundredths(sty.Font.Size))
	}
	return fmt.Sprintf(`<a:p><a:pPr algn="%s"/>%s</a:p>`, align(sty), runOf(sty, shown))
}

// tableCell is one cell with a line beneath.
func tableCell(text string, margin vg.Length, anchor string, under vg.Length, colour string) string {
	none := ""
	for _, edge := range []string{"L", "R", "T"} {
		none += `<a:ln` + edge + ` w="0"><a:noFill/></a:ln` + edge + `>`
	}
	return fmt.Sprintf(`<a:tc><a:txBody><a:bodyPr/><a:lstStyle/>%s</a:txBody><a:tcPr marL="0" marR="%d" marT="0" marB="0" anchor="%s">%s`+
		`<a:lnB w="%d"><a:solidFill><a:srgbClr val="%s"/></a:solidFill></a:lnB><a:noFill/></a:tcPr></a:tc>`,
		text, emu(margin), anchor, none, emu(under), colour)
}
