package capture

import (
	"strings"
	"unicode"
)

// Shown returns a text as it may be shown on a line: with a space for each
// control character, such as a newline or NUL, and for each that breaks a line
// or turns the direction of the text around it, behind which it might hide what
// it says; without spaces around it.
func Shown(text string) string {
	return strings.TrimSpace(strings.Map(func(c rune) rune {
		switch {
		case unicode.IsControl(c), unicode.Is(unicode.Bidi_Control, c), c == '\u2028', c == '\u2029', c == '\ufeff':
			return ' '
		}
		return c
	}, text))
}

// partLetters are the words for a part of a club that makers of marker sets
// shorten to a letter.
var partLetters = map[string]string{
	"grip": "g", "gr": "g", "handle": "g",
	"shaft": "s", "sh": "s", "sft": "s",
	"head": "h", "hd": "h", "clubhead": "h",
}

// FoldName returns a marker's name without what differs from one export to the
// next: the name of the subject before it, capitals, what separates its words,
// and zeros before its numbers. So S01, s-1 and Club:S 01 are alike. With parts,
// the words for the parts of a club are their first letters besides: Shaft:01 is
// like S01.
func FoldName(name string, parts bool) string {
	// What is before a colon is a subject, unless what follows is but a number.
	if at := strings.LastIndexByte(name, ':'); at >= 0 && strings.IndexFunc(name[at:], unicode.IsLetter) >= 0 {
		name = name[at+1:]
	}
	var b strings.Builder
	for _, word := range nameParts(name) {
		if parts {
			if letter, ok := partLetters[word]; ok {
				word = letter
			}
		}
		if unicode.IsDigit(rune(word[0])) {
			if word = strings.TrimLeft(word, "0"); word == "" {
				word = "0"
			}
		}
		b.WriteString(word)
	}
	return b.String()
}

// nameParts returns the runs of letters and of digits in a name, lower case.
func nameParts(name string) []string {
	var list []string
	var run []rune
	digits := false
	flush := func() {
		if len(run) > 0 {
			list, run = append(list, string(run)), run[:0]
		}
	}
	for _, c := range strings.ToLower(name) {
		digit := c >= '0' && c <= '9'
		if !digit && !unicode.IsLetter(c) {
			flush()
			continue
		}
		if digit != digits {
			flush()
		}
		digits, run = digit, append(run, c)
	}
	flush()
	return list
}

// unnamedWords are those of a name that does no more than count points.
var unnamedWords = words("", "u", "p", "point", "points", "marker", "m", "unlabeled", "unlabelled", "unnamed", "unknown",
	"unidentified", "untitled", "noname", "ghost", "phantom", "trajectory", "traj", "new")

// IsUnnamed reports whether a name says nothing about where a point belongs: it
// counts points, as *12, U007, P03, 12 and unlabeled 4 do.
func IsUnnamed(name string) bool {
	if at := strings.LastIndexByte(name, ':'); at >= 0 {
		name = name[at+1:]
	}
	for _, part := range nameParts(name) {
		if !unicode.IsDigit(rune(part[0])) && !unnamedWords[part] {
			return false
		}
	}
	return true
}

// Respelled returns, by name in the file, which marker of the set each track is
// that spells its name otherwise than the set does. A spelling that two tracks
// share, or that fits two markers, tells nothing, nor does one of a marker whose
// own name is in the file.
func Respelled(names []string, set MarkerSet) map[string]string {
	is := make(map[string]string)
	free := make(map[string]bool)
	own := make(map[string]bool, len(names))
	for _, n := range names {
		own[n] = true
	}
	for _, m := range set.Names() {
		free[m] = !own[m]
	}
	for _, parts := range []bool{false, true} {
		like := make(map[string][]string) // markers of the set by spelling
		for m := range free {
			like[FoldName(m, parts)] = append(like[FoldName(m, parts)], m)
		}
		spelt := make(map[string][]string) // tracks by spelling
		for n := range own {
			spelt[FoldName(n, parts)] = append(spelt[FoldName(n, parts)], n)
		}
		for fold, tracks := range spelt {
			m := like[fold]
			if fold == "" || len(tracks) != 1 || len(m) != 1 || !free[m[0]] {
				continue
			}
			is[tracks[0]] = m[0]
			free[m[0]] = false
			delete(own, tracks[0])
		}
	}
	return is
}
