package widgets

import (
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
)

// A look is what the widgets take from the theme.
type look struct {
	ground, ink, faint, line, accent, focus color.Color
	small, text, pad                        float32 // dp
}

// lookOf reads the look of a widget's theme.
func lookOf(th fyne.Theme) look {
	v := fyne.CurrentApp().Settings().ThemeVariant()
	ground, ink := th.Color(theme.ColorNameBackground, v), th.Color(theme.ColorNameForeground, v)
	return look{
		ground: ground,
		ink:    ink,
		faint:  mix(ground, ink, 0.66),
		line:   mix(ground, ink, 0.12),
		accent: th.Color(theme.ColorNamePrimary, v),
		focus:  th.Color(theme.ColorNameFocus, v),
		small:  th.Size(theme.SizeNameCaptionText),
		text:   th.Size(theme.SizeNameText),
		pad:    th.Size(theme.SizeNamePadding),
	}
}

// or returns c, or the ink where c is nil, legible on the ground.
func (l look) or(c color.Color) color.Color {
	if c == nil {
		return l.ink
	}
	return l.legible(c)
}

// legible returns c as a line: brought towards the ink where its contrast with
// the ground is below 3, the least for graphics in WCAG 2.1, criterion 1.4.11. On
// a dark ground, where a thin line of a deep blue is lost, it is that of texts.
func (l look) legible(c color.Color) color.Color {
	if luminance(l.ground) < luminance(l.ink) {
		return l.readable(c)
	}
	return l.toward(c, 3)
}

// readable returns c as a text: with a contrast of at least 4.5, criterion
// 1.4.3.
func (l look) readable(c color.Color) color.Color { return l.toward(c, 4.5) }

func (l look) toward(c color.Color, least float64) color.Color {
	result := c
	for part := 0.05; contrast(result, l.ground) < least && part < 1; part += 0.05 {
		result = mix(c, l.ink, part)
	}
	return result
}

// contrast returns the contrast ratio of two opaque colours as WCAG 2.1 defines
// it, from 1 to 21.
func contrast(a, b color.Color) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// luminance returns the relative luminance of WCAG 2.1 of an sRGB colour.
func luminance(c color.Color) float64 {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	linear := func(v uint8) float64 {
		f := float64(v) / 255
		if f <= 0.04045 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n.R) + 0.7152*linear(n.G) + 0.0722*linear(n.B)
}

// words are texts of which as many are shown as there are things to name.
type words []*canvas.Text

// take returns the ith text, made if it is not there yet, set and sized.
func (w *words) take(i int, s string, c color.Color, size float32) *canvas.Text {
	for len(*w) <= i {
		*w = append(*w, canvas.NewText("", nil))
	}
	t := (*w)[i]
	if t.Text != s || t.Color != c || t.TextSize != size || !t.Visible() {
		t.Text, t.Color, t.TextSize = s, c, size
		t.Show()
		t.Refresh()
	}
	t.Resize(t.MinSize())
	return t
}

// baseline returns how far below its top a text's letters stand.
func baseline(t *canvas.Text) float32 {
	_, b := fyne.CurrentApp().Driver().RenderedTextSize(t.Text, t.TextSize, t.TextStyle, t.FontSource)
	return b
}

// stand moves a text so that its letters stand at y, from left on.
func stand(t *canvas.Text, left, y float32) { t.Move(fyne.NewPos(left, y-baseline(t))) }

// hide hides the texts from the ith on.
func (w words) hide(i int) {
	for ; i < len(w); i++ {
		w[i].Hide()
	}
}

// shorten returns s, or as much of its beginning as fits in width with an
// ellipsis; "" if not even a letter does.
func shorten(s string, width, size float32, style fyne.TextStyle) string {
	if fyne.MeasureText(s, size, style).Width <= width {
		return s
	}
	runes := []rune(s)
	for n := len(runes) - 1; n > 0; n-- {
		if cut := string(runes[:n]) + "…"; fyne.MeasureText(cut, size, style).Width <= width {
			return cut
		}
	}
	return ""
}

// claim takes a stretch of a row of texts, with room beside it, if it is free.
func claim(taken *[]extent, start, width, room float32) bool {
	e := extent{float64(start - room), float64(start + width + room)}
	for _, t := range *taken {
		if e.lo < t.hi && t.lo < e.hi {
			return false
		}
	}
	*taken = append(*taken, e)
	return true
}
