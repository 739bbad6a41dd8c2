package study

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bendline/capture"
)

// Words in file names that say what a recording is, and not of whom.
var (
	referenceWords = wordSet("reference", "ref", "static", "hanging", "hang", "rest", "still", "unloaded", "neutral",
		"referenz", "statisch", "ruhe")
	idleWords = wordSet("take", "trial", "swing", "run", "shot", "hit", "capture", "recording", "rec", "motion", "mocap",
		"player", "club", "shaft", "data", "export", "markers", "trajectories", "schlag", "versuch")
	baselineWords  = wordSet("base", "baseline", "standard", "std", "stock", "control", "current", "old")
	prototypeWords = wordSet("proto", "prototype", "test", "new", "candidate")
	leftWords      = wordSet("left", "lh", "lefty", "links")
)

func wordSet(list ...string) map[string]bool {
	set := make(map[string]bool, len(list))
	for _, w := range list {
		set[w] = true
	}
	return set
}

// nameWords returns the words of a file's name or a label, in lower case: what
// lies between anything but letters and digits.
func nameWords(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
}

// stem returns the name of a file without folder and ending.
func stem(path string) string {
	name := path[strings.LastIndexAny(path, `/\`)+1:]
	if at := strings.LastIndexByte(name, '.'); at > 0 {
		name = name[:at]
	}
	return name
}

// withoutNumber returns words without a number at their end: that of the take.
func withoutNumber(words []string) []string {
	if n := len(words) - 1; n >= 0 && isNumeral(words[n]) {
		return words[:n]
	}
	return words
}

func isNumeral(s string) bool {
	return strings.IndexFunc(s, func(c rune) bool { return !unicode.IsDigit(c) }) < 0
}

// A nominee is something that files may be of: a club or a player.
type nominee struct {
	id    string
	names [][]string // words of its id and label
}

func nominate(id, label string) nominee {
	n := nominee{id: id}
	for _, s := range []string{id, label} {
		if words := nameWords(s); len(words) > 0 {
			n.names = append(n.names, words)
		}
	}
	return n
}

// elect returns the nominee with the longest name among the words, and the words
// without it; "" and all of them if none is there.
func elect(words []string, of []nominee) (id string, rest []string) {
	at, length := 0, 0
	for _, n := range of {
		for _, name := range n.names {
			for i := 0; i+len(name) <= len(words); i++ {
				if len(name) > length && slices.Equal(words[i:i+len(name)], name) {
					id, at, length = n.id, i, len(name)
				}
			}
		}
	}
	return id, append(slices.Clone(words[:at]), words[at+length:]...)
}

// clubOfReference returns the id that the name of a reference gives its club:
// its words but those that say it is a reference; "club" if nothing is left.
func clubOfReference(path string) string {
	words := slices.DeleteFunc(withoutNumber(nameWords(stem(path))), func(w string) bool { return referenceWords[w] || idleWords[w] })
	if len(words) == 0 {
		return "club"
	}
	return strings.Join(words, "-")
}

// playerOf returns the id that the words of a run's name give its player once
// those of the club are gone; "" if nothing is left. Numbers, as of dates, are
// not of a player.
func playerOf(words []string) string {
	words = slices.DeleteFunc(slices.Clone(words), func(w string) bool {
		return idleWords[w] || referenceWords[w] || isNumeral(w)
	})
	return strings.Join(words, "-")
}

// newIDOf returns an id that is not taken: id itself, or with a number behind it.
func newIDOf(id string, taken func(string) bool) string {
	if id = capture.Shown(id); id == "" {
		id = "run"
	}
	free := id
	for n := 2; taken(free); n++ {
		free = id + "-" + strconv.Itoa(n)
	}
	return free
}

// isOf reports whether any of the words is in the set.
func isOf(set map[string]bool, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return set[w] })
}
