package capture

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// A dialect is how a file sets its cells apart and writes its numbers.
type dialect struct {
	delimiter byte // ',' ';' or '\t'
	mark      byte // the decimal mark, '.' or ','
}

// delimiters are tried in this order; the one that shows the most markers wins.
var delimiters = []byte{',', ';', '\t'}

// check returns an error for hints that mean nothing.
func (h Hints) check() error {
	switch h.Delimiter {
	case "", ",", ";", "\t":
	default:
		return fmt.Errorf("the delimiter hint %q is not a comma, a semicolon or a tab", h.Delimiter)
	}
	switch h.DecimalMark {
	case "", ".", ",":
	default:
		return fmt.Errorf("the decimal hint %q is not a point or a comma", h.DecimalMark)
	}
	if h.Unit != "" && h.Unit.Metres() == 0 {
		return fmt.Errorf("the unit hint %q is not mm, cm, m or in", h.Unit)
	}
	if h.Rate < 0 || math.IsNaN(h.Rate) || math.IsInf(h.Rate, 0) {
		return fmt.Errorf("the rate hint %v is not a number of frames a second", h.Rate)
	}
	return nil
}

// split returns the cells of a header line, trimmed and without their quotes.
func split(line string, delimiter byte) []string {
	var cells []string
	for {
		rest := strings.TrimLeft(line, " ")
		if strings.HasPrefix(rest, `"`) {
			if cell, after, ok := unquote(rest); ok && (after == "" || after[0] == delimiter) {
				cells = append(cells, strings.TrimSpace(cell))
				if after == "" {
					return cells
				}
				line = after[1:]
				continue
			}
		}
		at := strings.IndexByte(line, delimiter)
		if at < 0 {
			return append(cells, strings.TrimSpace(line))
		}
		cells = append(cells, strings.TrimSpace(line[:at]))
		line = line[at+1:]
	}
}

// unquote splits a line that begins with a quote into what is quoted and what
// follows the closing quote and any spaces. A doubled quote stands for one.
func unquote(line string) (cell, after string, ok bool) {
	for at := 1; ; {
		end := strings.IndexByte(line[at:], '"')
		if end < 0 {
			return "", "", false
		}
		at += end + 1
		if at == len(line) || line[at] != '"' {
			return strings.ReplaceAll(line[1:at-1], `""`, `"`), strings.TrimLeft(line[at:], " "), true
		}
		at++
	}
}

// uncomment returns a line without its comment mark, and whether it had one.
func uncomment(line string) (string, bool) {
	for _, mark := range []string{"#", "//", "%"} {
		if rest, ok := strings.CutPrefix(line, mark); ok {
			return strings.TrimLeft(rest, mark+" "), true
		}
	}
	return line, false
}

// cutLine returns the line of text at p without its end, and where the next
// one begins. Text must end with a newline.
func cutLine(text []byte, p int) (line []byte, next int) {
	end := p + bytes.IndexByte(text[p:], '\n')
	return bytes.TrimSuffix(text[p:end], []byte("\r")), end + 1
}

// maxMarkRows is how many rows are searched for the first decimal mark.
const maxMarkRows = 1000

// findMark returns the decimal mark of the first number that has one, '.' if
// none does.
func findMark(text []byte, h *header, delimiter byte) byte {
	for p, row := h.data, 0; p < len(text) && row < maxMarkRows; row++ {
		line, next := cutLine(text, p)
		p = next
		if _, comment := uncomment(string(line[:min(len(line), 2)])); comment {
			continue
		}
		for i, cell := range split(string(line), delimiter) {
			if i < len(h.columns) && h.columns[i].isNumber() {
				if at := strings.IndexAny(cell, ".,"); at >= 0 {
					return cell[at]
				}
			}
		}
	}
	return '.'
}
