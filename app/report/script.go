package report

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
	"gonum.org/v1/plot/font"
)

// replacement stands for what the font cannot show: it has Latin, Greek,
// Cyrillic and Hebrew letters.
const replacement = '□'

// replacedNote says so at the foot of what has one.
const replacedNote = "□: not in the font"

// printable returns s in composed letters (Unicode's NFC), with spaces for
// control characters and the replacement for what the font cannot show.
func printable(s string) string {
	f := font.DefaultCache.Lookup(sans(10, ink).Font, 10)
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		if g, err := f.Face.GlyphIndex(&buf, r); err != nil || g == 0 || r > 0xffff {
			return replacement
		}
		return r
	}, norm.NFC.String(s))
}

// replaced reports whether printable replaces a character of s.
func replaced(s string) bool {
	return strings.Count(printable(s), string(replacement)) > strings.Count(s, string(replacement))
}

// visual returns s printable and in the order its characters stand from left to
// right: words written from the right, as in Hebrew, are turned round, with the
// numbers between them in their places (Unicode Standard Annex 9, in a line
// that runs from the left).
func visual(s string) string {
	s = printable(s)
	const firstRight = '\u0590' // of the letters written from the right
	if strings.IndexFunc(s, func(r rune) bool { return r >= firstRight && bidi.RightToLeft == directionOf(r) }) < 0 {
		return s
	}
	var p bidi.Paragraph
	if _, err := p.SetString(mark + separated.ReplaceAllString(s, mark+"$0")); err != nil {
		return s
	}
	order, err := p.Order()
	if err != nil {
		return s
	}
	var out, turned []string // turned: what stands reversed so far
	flush := func() {
		slices.Reverse(turned)
		out, turned = append(out, turned...), nil
	}
	for i := range order.NumRuns() {
		run := order.Run(i)
		text := run.String()
		switch next := i+1 < order.NumRuns() && toLeft(order.Run(i+1)); {
		case toLeft(run):
			turned = append(turned, bidi.ReverseString(text))
		case len(turned) > 0 && next && !strings.ContainsFunc(text, unicode.IsLetter): // a number
			turned = append(turned, text)
		default:
			flush()
			out = append(out, text)
		}
	}
	flush()
	return strings.ReplaceAll(strings.Join(out, ""), mark, "")
}

// mark makes a line run from the left.
const mark = "\u200e"

// separated is where a number of the report follows a name.
var separated = regexp.MustCompile(`( · |: |; | \()[\d+−]`)

func toLeft(r bidi.Run) bool { return r.Direction() == bidi.RightToLeft }

// directionOf returns how a letter is written.
func directionOf(r rune) bidi.Direction {
	p, _ := bidi.LookupRune(r)
	if c := p.Class(); c == bidi.R || c == bidi.AL {
		return bidi.RightToLeft
	}
	return bidi.LeftToRight
}

// replaces reports whether a name that the study or the house gives has a
// character that the font cannot show.
func (m *material) replaces() bool {
	all := []string{m.study.Title, m.o.Style.Name}
	for i := range m.study.Clubs {
		all = append(all, clubName(&m.study.Clubs[i]))
	}
	for _, p := range m.study.Players {
		all = append(all, playerName(m.study, p.ID))
	}
	for _, r := range m.study.Runs {
		all = append(all, r.ID, r.File, r.Excluded)
	}
	for _, c := range m.o.Plan {
		all = append(all, c.Title)
	}
	return slices.ContainsFunc(all, replaced)
}
