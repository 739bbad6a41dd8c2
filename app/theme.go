package app

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

// Look chooses between a light and a dark window.
type Look string

// The looks.
const (
	SystemLook Look = "system"
	LightLook  Look = "light"
	DarkLook   Look = "dark"
)

// plainTheme is the look of the window: even greys with a hint of green, one
// accent, small type, and no shadows that move the eye from the curves.
type plainTheme struct {
	fyne.Theme
	look Look
}

func newTheme(l Look) fyne.Theme { return &plainTheme{theme.DefaultTheme(), l} }

// A tint is a colour in the light and in the dark window.
type tint struct{ light, dark uint32 } // 0xRRGGBBAA

var tints = map[fyne.ThemeColorName]tint{
	theme.ColorNameBackground:          {0xf5f6f4ff, 0x1b2021ff},
	theme.ColorNameForeground:          {0x20292bff, 0xdfe5e3ff},
	theme.ColorNamePlaceHolder:         {0x5d6a6cff, 0x94a3a2ff},
	theme.ColorNameDisabled:            {0x687472ff, 0x8b9897ff},
	theme.ColorNameButton:              {0xe3e7e4ff, 0x2d3536ff},
	theme.ColorNameDisabledButton:      {0xeceeecff, 0x252b2cff},
	theme.ColorNameInputBackground:     {0xffffffff, 0x141819ff},
	theme.ColorNameInputBorder:         {0xbcc6c2ff, 0x465254ff},
	theme.ColorNameOverlayBackground:   {0xfafbf9ff, 0x232a2bff},
	theme.ColorNameMenuBackground:      {0xfafbf9ff, 0x232a2bff},
	theme.ColorNameHeaderBackground:    {0xe9ecea00, 0x272e2f00},
	theme.ColorNameSeparator:           {0xd3d9d6ff, 0x384244ff},
	theme.ColorNamePrimary:             {0x1d6b66ff, 0x59b8aeff},
	theme.ColorNameForegroundOnPrimary: {0xffffffff, 0x0d1716ff},
	theme.ColorNameHyperlink:           {0x1d6b66ff, 0x59b8aeff},
	theme.ColorNameFocus:               {0x1d6b6655, 0x59b8ae55},
	theme.ColorNameSelection:           {0x1d6b6626, 0x59b8ae33},
	theme.ColorNameHover:               {0x20292b12, 0xdfe5e314},
	theme.ColorNameError:               {0xab2f22ff, 0xf08372ff},
	theme.ColorNameWarning:             {0x8a5a00ff, 0xe6b052ff},
	theme.ColorNameSuccess:             {0x2c7a43ff, 0x74c48aff},
	theme.ColorNameScrollBar:           {0x20292b66, 0xdfe5e366},
	theme.ColorNameShadow:              {0x00000022, 0x00000055},
}

func (t *plainTheme) variant(system fyne.ThemeVariant) fyne.ThemeVariant {
	switch t.look {
	case LightLook:
		return theme.VariantLight
	case DarkLook:
		return theme.VariantDark
	}
	return system
}

// Color is part of fyne.Theme.
func (t *plainTheme) Color(name fyne.ThemeColorName, system fyne.ThemeVariant) color.Color {
	v := t.variant(system)
	c, ok := tints[name]
	if !ok {
		return t.Theme.Color(name, v)
	}
	rgba := c.light
	if v == theme.VariantDark {
		rgba = c.dark
	}
	c8 := color.NRGBA{uint8(rgba >> 24), uint8(rgba >> 16), uint8(rgba >> 8), uint8(rgba)}
	if name == theme.ColorNameForeground {
		return ink(c8)
	}
	return c8
}

// ink returns an opaque colour for texts. Fyne's menus (2.7.1) draw the keys of
// their items with the low byte of 0.95 times its alpha, which makes them all but
// invisible where that is 0xffff.
func ink(c color.NRGBA) color.Color {
	const full = 0xffc9 // 0.95 times it is 0xf2ff
	wide := func(v uint8) uint16 { return uint16(v) * 0x101 }
	return color.NRGBA64{wide(c.R), wide(c.G), wide(c.B), full}
}

// Size is part of fyne.Theme.
func (t *plainTheme) Size(name fyne.ThemeSizeName) float32 {
	switch name {
	case theme.SizeNameText:
		return 13
	case theme.SizeNameCaptionText:
		return 11
	case theme.SizeNameHeadingText:
		return 22
	case theme.SizeNameSubHeadingText:
		return 16
	case theme.SizeNameInnerPadding:
		return 6
	case theme.SizeNameInlineIcon:
		return 18
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 3
	}
	return t.Theme.Size(name)
}
