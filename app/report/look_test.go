package report

import (
	"image/color"
	"math"
	"testing"
)

// Contrast ratios as WCAG 2.2 defines them: black on white is 21, and the grey
// #767676 the lightest that reaches 4.5 (4.54).
func TestContrast(t *testing.T) {
	for c, want := range map[color.NRGBA]float64{{0, 0, 0, 255}: 21, {255, 255, 255, 255}: 1, {0x76, 0x76, 0x76, 255}: 4.54} {
		if got := contrast(c); math.Abs(got-want) > 0.005 {
			t.Errorf("%v has %v, want %v", c, got, want)
		}
	}
}

// Text on paper can be read in any accent, and greys as they are.
func TestTextCanBeRead(t *testing.T) {
	accents := append([]look{{color: color.NRGBA{255, 255, 255, 255}}, {color: color.NRGBA{255, 255, 0, 255}}}, looks...)
	for _, l := range accents {
		if got := contrast(l.text()); got < 4.5 {
			t.Errorf("%v is written in %v, contrast %v", l.color, l.text(), got)
		}
	}
	if l := looks[0]; l.text() != l.color {
		t.Error("a colour that can be read is changed")
	}
	for _, c := range []color.NRGBA{ink, muted} {
		if contrast(c) < 4.5 {
			t.Errorf("%v has a contrast of %v", c, contrast(c))
		}
	}
}
