package report

import (
	"image/color"
	"slices"
	"strings"
	"unicode"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// sans returns a text style in Liberation Sans, aligned left on the baseline.
func sans(size vg.Length, c color.Color) draw.TextStyle {
	return draw.TextStyle{
		Color:   c,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: size},
		XAlign:  draw.XLeft,
		Handler: text.Plain{Fonts: font.DefaultCache},
	}
}

// bold returns sans in its bold weight.
func bold(size vg.Length, c color.Color) draw.TextStyle {
	sty := sans(size, c)
	sty.Font.Weight = stdfont.WeightBold
	return sty
}

// right returns the style aligned right.
func right(sty draw.TextStyle) draw.TextStyle { sty.XAlign = draw.XRight; return sty }

// leading is the distance of baselines in a paragraph.
func leading(sty draw.TextStyle) vg.Length { return sty.Font.Size * 1.3 }

func face(sty draw.TextStyle) font.Face { return font.DefaultCache.Lookup(sty.Font, sty.Font.Size) }

// write draws one line with its baseline at y and x at its left end, middle or
// right end, as the style is aligned.
func write(c vg.Canvas, sty draw.TextStyle, x, y vg.Length, s string) {
	if s = visual(s); s == "" {
		return
	}
	x += vg.Length(sty.XAlign) * width(sty, s)
	f := face(sty)
	c.SetColor(sty.Color)
	for _, part := range evenDigits(s) {
		c.FillString(f, vg.Point{X: x, Y: y}, part)
		x += f.Width(part)
	}
}

// paragraph draws lines downwards, the first baseline at y, and returns the
// baseline that would follow.
func paragraph(c vg.Canvas, sty draw.TextStyle, x, y vg.Length, lines []string) vg.Length {
	for _, line := range lines {
		write(c, sty, x, y, line)
		y -= leading(sty)
	}
	return y
}

// width returns the width of one line as write draws it.
func width(sty draw.TextStyle, s string) vg.Length {
	f := face(sty)
	var w vg.Length
	for _, part := range evenDigits(visual(s)) {
		w += f.Width(part)
	}
	return w
}

// evenDigits splits s between neighbouring ones, the only digits the font
// kerns, so that numbers under each other keep their columns.
func evenDigits(s string) []string {
	var parts []string
	for {
		i := strings.Index(s, "11")
		if i < 0 {
			return append(parts, s)
		}
		parts, s = append(parts, s[:i+1]), s[i+1:]
	}
}

// shorten returns s, cut and ended with an ellipsis where it is wider than w.
func shorten(sty draw.TextStyle, s string, w vg.Length) string {
	if width(sty, s) <= w {
		return s
	}
	r := []rune(s)
	for n := len(r) - 1; n > 0; n-- {
		if cut := strings.TrimRight(string(r[:n]), " ,;.") + "…"; width(sty, cut) <= w {
			return cut
		}
	}
	return "…"
}

// breakable reports whether a line may end at r: not at a no-break space.
func breakable(r rune) bool { return r != '\u00a0' && unicode.IsSpace(r) }

// wrap returns s in lines no wider than w. Words wider than w are broken.
func wrap(sty draw.TextStyle, s string, w vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(s, breakable) {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if width(sty, next) <= w {
			line = next
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for width(sty, word) > w {
			r := []rune(word)
			n := len(r) - 1
			for n > 1 && width(sty, string(r[:n])) > w {
				n--
			}
			if n < 1 {
				break
			}
			lines, word = append(lines, string(r[:n])), string(r[n:])
		}
		line = word
	}
	return append(lines, line)
}

// broken reports whether s has a word that is wider than w.
func broken(sty draw.TextStyle, s string, w vg.Length) bool {
	return slices.ContainsFunc(strings.FieldsFunc(s, breakable), func(word string) bool { return width(sty, word) > w })
}

// fit returns s wrapped to at most n lines of width w, the last shortened where
// there was more.
func fit(sty draw.TextStyle, s string, w vg.Length, n int) []string {
	lines := wrap(sty, s, w)
	if len(lines) <= n {
		return lines
	}
	rest := strings.Join(lines[n-1:], " ")
	return append(lines[:n-1:n-1], shorten(sty, rest, w))
}
