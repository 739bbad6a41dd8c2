package app

import (
	"errors"
	"io/fs"
	"strings"
	"unicode"
	"unicode/utf8"

	"bendline/app/study"
)

// capital returns a text with a capital letter first, unless it begins with the
// name of a file or marker.
func capital(text string) string {
	if word, _, _ := strings.Cut(text, " "); strings.ContainsAny(word, "./\\:0123456789\"") {
		return text
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// sentence returns an error as one plain sentence for the window: without
// package names, with a capital and a full stop, and a remedy where the system
// gives only the cause.
func sentence(err error) string {
	text := study.Plain(err.Error())
	text = strings.TrimRight(capital(text), ".")
	switch {
	case errors.Is(err, fs.ErrNotExist):
		text += "; check the path, or whether the file was moved"
	case errors.Is(err, fs.ErrPermission):
		text += "; choose a folder you may write to, or ask for the right"
	}
	return text + "."
}
