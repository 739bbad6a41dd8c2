package app

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// The keys beside a menu's items are seen: what Fyne makes of the colour of texts
// for them has nearly the alpha of the texts.
func TestMenuKeysAreSeen(t *testing.T) {
	for _, v := range []fyne.ThemeVariant{theme.VariantLight, theme.VariantDark} {
		_, _, _, a := newTheme(SystemLook).Color(theme.ColorNameForeground, v).RGBA()
		if a>>8 != 0xff {
			t.Errorf("texts have the alpha %#x", a)
		}
		if keys := uint8(uint32(float32(a) * 0.95)); keys < 0xf0 {
			t.Errorf("keys have the alpha %#x", keys)
		}
	}
}
