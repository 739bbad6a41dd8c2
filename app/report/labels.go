package report

import (
	"strings"
	"unicode"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// labels are names that stand beside each other. Where there is no room for a
// whole name, what all of them share goes first, so that they can still be told
// apart: "session-2-p1-base-1" becomes "…p1-base-1".
type labels struct{ head, tail int } // runes shared at the start and at the end

// newLabels returns the labels of a set of names.
func newLabels(all []string) labels {
	if len(all) < 2 {
		return labels{}
	}
	first := []rune(all[0])
	head, tail := len(first), len(first)
	for _, s := range all[1:] {
		r := []rune(s)
		head, tail = min(head, shared(first, r, false)), min(tail, shared(first, r, true))
	}
	return labels{head, tail}
}

// shared returns how many runes two names have in common at their start, or at
// their end, in whole words.
func shared(a, b []rune, end bool) int {
	at := func(r []rune, i int) rune {
		if end {
			i = len(r) - 1 - i
		}
		return r[i]
	}
	word := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	n, whole := 0, 0
	for n < len(a) && n < len(b) && at(a, n) == at(b, n) {
		n++
		if !word(at(a, n-1)) {
			whole = n
		}
	}
	return whole
}

// core returns the part of a name that tells it from the others.
func (l labels) core(name string) string {
	r := []rune(name)
	if l.head+l.tail >= len(r) {
		return name
	}
	core := strings.TrimSpace(string(r[l.head : len(r)-l.tail]))
	if l.head > 0 {
		core = "…" + core
	}
	if l.tail > 0 {
		core += "…"
	}
	return core
}

// short returns the name; where it is wider than w, the name without what all
// names end with, else its core, shortened where that is too wide as well.
func (l labels) short(sty draw.TextStyle, name string, w vg.Length) string {
	if width(sty, name) <= w {
		return name
	}
	if start := (labels{tail: l.tail}).core(name); width(sty, start) <= w {
		return start
	}
	return shorten(sty, l.core(name), w)
}

// clubLabels, playerLabels and runLabels are those of the whole study.
func (m *material) clubLabels() labels {
	var all []string
	for i := range m.study.Clubs {
		all = append(all, clubName(&m.study.Clubs[i]))
	}
	return newLabels(all)
}

func (m *material) playerLabels() labels {
	var all []string
	for _, p := range m.study.Players {
		all = append(all, playerName(m.study, p.ID))
	}
	return newLabels(all)
}

func (m *material) runLabels() labels {
	var all []string
	for _, r := range m.results {
		all = append(all, runName(r.Run))
	}
	return newLabels(all)
}

// shortClub returns the label of the club with the id within width w.
func (m *material) shortClub(sty draw.TextStyle, id string, w vg.Length) string {
	return m.clubLabels().short(sty, m.name(id), w)
}

// runColumns are the columns that name a run; naming returns their cells.
func (m *material) runColumns() []column {
	run, player, club := m.runLabels(), m.playerLabels(), m.clubLabels()
	return []column{
		{head: "Run", words: true, among: &run},
		{head: "Player", words: true, among: &player},
		{head: "Club", words: true, among: &club},
	}
}

func (m *material) naming(r study.Run) []cell {
	return []cell{words(runName(r)), words(playerName(m.study, r.Player)), words(m.name(r.Club))}
}
