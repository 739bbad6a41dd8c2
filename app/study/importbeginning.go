package study

import (
	"io"
	"os"
	"strings"
	"unicode"
	"unicode/utf8"
)

// beginning returns the first lines of a file, to see why it cannot be read; ""
// of one that is no text, or cannot be opened.
func beginning(path string) string {
	const most, lines = 8 << 10, 40 // bytes; lines
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, most))
	if err != nil {
		return ""
	}
	text := string(b)
	if len(b) == most { // the last line is cut, perhaps within a letter
		text = text[:strings.LastIndexByte(text, '\n')+1]
	}
	if !utf8.ValidString(text) {
		return ""
	}
	text = strings.TrimPrefix(strings.ReplaceAll(text, "\r\n", "\n"), "\ufeff")
	if strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }) {
		return ""
	}
	list := strings.SplitN(text, "\n", lines+1)
	return strings.TrimRight(strings.Join(list[:min(lines, len(list))], "\n"), "\n")
}
