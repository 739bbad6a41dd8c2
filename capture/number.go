package capture

import (
	"bytes"
	"math"
	"strconv"
)

// A scanner reads the cells of a table from its bytes. text ends with a
// newline.
type scanner struct {
	text []byte
	dialect
}

// tens are the powers of ten that a float64 holds exactly.
var tens = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// number reads the number at p, and returns it and where its cell ends: at a
// delimiter or a newline. An empty cell or a word for a missing value is NaN.
//
// A plain decimal whose digits make an integer up to 2⁵³ is that integer over
// a power of ten, both exact, so that the one division rounds correctly
// (Clinger, How to read floating point numbers accurately, 1990). Everything
// else goes through strconv, which rounds correctly too.
func (s *scanner) number(p int) (v float64, end int, ok bool) {
	text := s.text
	i := p
	for text[i] == ' ' {
		i++
	}
	negative := text[i] == '-'
	if negative {
		i++
	}
	var m uint64
	first := i
	for {
		c := text[i] - '0'
		if c > 9 {
			break
		}
		m = m*10 + uint64(c)
		i++
	}
	digits, decimals := i-first, 0
	if text[i] == s.mark {
		i++
		first = i
		for {
			c := text[i] - '0'
			if c > 9 {
				break
			}
			m = m*10 + uint64(c)
			i++
		}
		decimals = i - first
		digits += decimals
	}
	if text[i] == '\r' && text[i+1] == '\n' {
		i++
	}
	if c := text[i]; c != s.delimiter && c != '\n' || digits == 0 || digits > 19 || m > 1<<53 {
		return s.oddNumber(p)
	}
	v = float64(m)
	if decimals > 0 {
		v /= tens[decimals] // decimals ≤ digits ≤ 19
	}
	if negative {
		v = -v
	}
	return v, i, true
}

// oddNumber reads what number leaves: quotes, spaces, a carriage return, an
// exponent, many digits, nothing.
func (s *scanner) oddNumber(p int) (v float64, end int, ok bool) {
	cell, end := s.cell(p)
	if isMissing(cell) {
		return math.NaN(), end, true
	}
	if len(cell) > 400 { // more than any float64 needs to be told apart
		return 0, end, false
	}
	var digits [400]byte
	for i, c := range cell {
		switch {
		case c == s.mark:
			c = '.'
		case c >= '0' && c <= '9', c == '-', c == '+', c == 'e', c == 'E':
		default: // "inf", "0x1p-2" and "1_000" are text
			return 0, end, false
		}
		digits[i] = c
	}
	v, err := strconv.ParseFloat(string(digits[:len(cell)]), 64)
	return v, end, err == nil
}

// cell returns the content of the cell at p, without spaces and quotes around
// it, and where the cell ends: at a delimiter or a newline.
func (s *scanner) cell(p int) (content []byte, end int) {
	end = p
	for s.text[end] == ' ' {
		end++
	}
	if s.text[end] == '"' {
		start := end + 1
		for end = start; s.text[end] != '\n'; end++ {
			if s.text[end] != '"' {
				continue
			}
			if s.text[end+1] == '"' {
				end++
				continue
			}
			close := end
			for end++; s.text[end] == ' ' || s.text[end] == '\r'; end++ {
			}
			if s.text[end] == s.delimiter || s.text[end] == '\n' {
				content = s.text[start:close]
				if bytes.IndexByte(content, '"') >= 0 {
					content = bytes.ReplaceAll(content, []byte(`""`), []byte(`"`))
				}
				return bytes.TrimSpace(content), end
			}
			break // text after the quote: the quotes are part of the cell
		}
	}
	for end = p; s.text[end] != s.delimiter && s.text[end] != '\n'; end++ {
	}
	return bytes.TrimSpace(s.text[p:end]), end
}

// skip returns where the cell at p ends.
func (s *scanner) skip(p int) (end int) {
	_, end = s.cell(p)
	return end
}

// isMissing reports whether a cell says that there is no value.
func isMissing(cell []byte) bool {
	switch len(cell) {
	case 0:
		return true
	case 1, 2, 3, 4:
		for _, word := range [...]string{"nan", "na", "n/a", "#n/a", "null", "none", "-", "--"} {
			if bytes.EqualFold(cell, []byte(word)) {
				return true
			}
		}
	}
	return false
}

// decimals returns how many digits follow the decimal mark in the cell at p,
// 17 when it has an exponent.
func (s *scanner) decimals(p int) int {
	cell, _ := s.cell(p)
	if bytes.IndexByte(cell, 'e') >= 0 || bytes.IndexByte(cell, 'E') >= 0 {
		return 17
	}
	at := bytes.IndexByte(cell, s.mark)
	if at < 0 {
		return 0
	}
	return len(cell) - at - 1
}

// endRow reads from the end of a row's last cell to the next row. Cells beyond
// the last must be empty.
func (s *scanner) endRow(p int) (next int, ok bool) {
	for ; s.text[p] != '\n'; p++ {
		if c := s.text[p]; c != s.delimiter && c != ' ' && c != '\r' {
			return p, false
		}
	}
	return p + 1, true
}

// isBlank reports whether the line at p holds nothing, and where the next one
// begins. With delimitersToo a line of delimiters holds nothing either.
func (s *scanner) isBlank(p int, delimitersToo bool) (next int, blank bool) {
	for ; s.text[p] != '\n'; p++ {
		if c := s.text[p]; c != ' ' && c != '\r' && !(delimitersToo && c == s.delimiter) {
			return p, false
		}
	}
	return p + 1, true
}

// isComment reports whether the line at p is a comment.
func (s *scanner) isComment(p int) bool {
	return s.text[p] == '#' || s.text[p] == '%' || s.text[p] == '/' && s.text[p+1] == '/'
}

// lineEnd returns where the line after the one at p begins.
func (s *scanner) lineEnd(p int) int { return p + bytes.IndexByte(s.text[p:], '\n') + 1 }
