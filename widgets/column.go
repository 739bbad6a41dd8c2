package widgets

import (
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// A column of a table is as wide as its widest text, and aligned right where it
// holds numbers and no words.
type column struct {
	index          int     // in the rows
	head           string  // as shown, perhaps in two lines
	width, body    float32 // dp; body is what its cells ask for
	right, filled  bool    // filled: a cell has a text
	tight          bool    // with half of the room beside its texts
	numbers, words int

	text, inset float32 // sizes, dp
}

func newColumn(th fyne.Theme, head string) *column {
	c := &column{head: head, text: th.Size(theme.SizeNameText), inset: 2 * th.Size(theme.SizeNameInnerPadding)}
	c.width = c.room(head, fyne.TextStyle{Bold: true})
	return c
}

// room returns how wide a text is, dp, with what is beside it.
func (c *column) room(text string, style fyne.TextStyle) (width float32) {
	for line := range strings.SplitSeq(text, "\n") {
		width = max(width, fyne.MeasureText(line, c.text, style).Width+c.inset)
	}
	return width
}

// fit makes room for a text.
func (c *column) fit(text string) {
	c.body = max(c.body, c.room(text, fyne.TextStyle{}))
	c.width = max(c.width, c.body)
}

// add makes room for the text of a cell and counts what it is; open is one that
// takes a number.
func (c *column) add(text string, open bool) {
	c.fit(text)
	c.filled = c.filled || text != ""
	switch {
	case open || isNumber(text):
		c.numbers++
	case text != "" && text != "–" && text != "-":
		c.words++
	}
}

func (c *column) numeric() bool { return c.numbers > 0 && c.words == 0 }

// fold puts a header that is wider than the cells on two lines.
func (c *column) fold() {
	if c.width <= c.body {
		return
	}
	bold, whole := fyne.TextStyle{Bold: true}, c.head
	least := c.room(whole, bold)
	for i, r := range whole {
		if r != ' ' {
			continue
		}
		if two := whole[:i] + "\n" + whole[i+1:]; c.room(two, bold) < least {
			least, c.head = c.room(two, bold), two
		}
	}
	c.width = max(least, c.body)
}

// fitColumns brings columns into a width, dp, as far as they can be, and returns
// what is left of it. Beside each column there is a space.
func fitColumns(columns []column, width, space float32) (rest float32) {
	over := func() float32 {
		sum := -width
		for _, c := range columns {
			sum += c.width + space
		}
		return sum
	}
	if width <= 0 || over() <= 0 {
		return max(0, -over()-space)
	}
	for i := range columns {
		columns[i].fold()
	}
	if over() > 0 {
		for i := range columns {
			c := &columns[i]
			c.inset /= 2
			c.width, c.body, c.tight = c.width-c.inset, c.body-c.inset, true
		}
	}
	least := make([]float32, len(columns))
	for i, c := range columns { // fourteen letters tell what was meant
		least[i] = max(c.room(c.head, fyne.TextStyle{Bold: true}), c.room("nnnnnnnnnnnnnn", fyne.TextStyle{}))
	}
	for over() > 0 {
		widest := -1
		for i, c := range columns {
			if c.words > 0 && c.width > least[i] && (widest < 0 || c.width > columns[widest].width) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		columns[widest].width = max(least[widest], columns[widest].width-4)
	}
	return max(0, -over()-space)
}

// isNumber reports whether a cell begins as a number does, perhaps with a sign
// or a comparison before it: "−3.2 ± 0.4", "< 0.001", "12 mm".
func isNumber(s string) bool {
	s = strings.TrimLeft(s, "+-−–±<>≤≥≈ ")
	return s != "" && unicode.IsDigit([]rune(s)[0])
}
