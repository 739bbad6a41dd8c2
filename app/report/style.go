package report

import (
	"bytes"
	"cmp"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // a logo may be one
	_ "image/png"
	"maps"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
)

// A Style is the look of the house. The zero Style is Bendline's own.
type Style struct {
	Name string `json:"name,omitempty"` // at the foot of every page

	// Colours of baseline, prototype and further clubs, "#rrggbb". Clubs beyond
	// them have Bendline's, which the colour-blind can tell apart; dashes and
	// glyphs tell clubs apart in any colours.
	Accents []string `json:"accents,omitempty"`

	Logo         []byte `json:"logo,omitempty"` // a PNG or JPEG file, in the upper right corner
	DecimalComma bool   `json:"decimal_comma,omitempty"`
	Paper        Paper  `json:"paper,omitempty"` // of printed sheets
}

// Validate returns an error for what cannot be used: a colour, a logo, a paper.
func (s Style) Validate() error {
	if _, err := s.looks(); err != nil {
		return err
	}
	if _, err := newLogo(s.Logo); err != nil {
		return err
	}
	_, err := s.Paper.size()
	return err
}

// Paper is a size of paper.
type Paper string

// The papers: A4 (ISO 216), which is also that of an empty Paper, and US letter
// (ANSI/ASME Y14.1).
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// size returns width and height.
func (p Paper) size() (vg.Point, error) {
	switch p {
	case A4, "":
		return vg.Point{X: 210 * vg.Millimeter, Y: 297 * vg.Millimeter}, nil
	case Letter:
		return vg.Point{X: 8.5 * vg.Inch, Y: 11 * vg.Inch}, nil
	}
	return vg.Point{}, fmt.Errorf("report: paper %q: there are %q and %q", p, A4, Letter)
}

// A logo is a picture as it was given, and decoded.
type logo struct {
	file    []byte
	kind    string // "png" or "jpeg"
	picture image.Image
}

// maxLogo is the most pixels a logo may have: a full screen of the largest
// kind, where a few thousand would do.
const maxLogo = 4096 * 4096

// newLogo returns the logo in a file, nil for none.
func newLogo(file []byte) (*logo, error) {
	if len(file) == 0 {
		return nil, nil
	}
	conf, _, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("report: logo: %w; it must be a PNG or JPEG file", err)
	}
	if conf.Width*conf.Height > maxLogo {
		return nil, fmt.Errorf("report: logo: %d × %d pixels are too many; make it smaller", conf.Width, conf.Height)
	}
	picture, kind, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, fmt.Errorf("report: logo: %w", err)
	}
	return &logo{file, kind, picture}, nil
}

// colours returns the n most common colours of the logo on paper, each the middle
// of those that share the first five bits of red, green and blue.
func (l *logo) colours(n int) []color.Color {
	count := map[color.RGBA]int{}
	b := l.picture.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, b, a := l.picture.At(x, y).RGBA()
			over := func(v uint32) uint8 { return uint8((v+0xffff-a)>>8)&0xf8 | 4 }
			count[color.RGBA{over(r), over(g), over(b), 255}]++
		}
	}
	rank := func(c color.RGBA) int { return int(c.R)<<16 | int(c.G)<<8 | int(c.B) }
	common := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], rank(a)-rank(b))
	})
	var all []color.Color
	for _, c := range common[:min(n, len(common))] {
		all = append(all, c)
	}
	return all
}

// within returns the largest rectangle of the logo's proportions in the given
// one, at its upper right corner.
func (l *logo) within(r vg.Rectangle) vg.Rectangle {
	b := l.picture.Bounds()
	scale := min(r.Size().X/vg.Length(b.Dx()), r.Size().Y/vg.Length(b.Dy()))
	r.Min = vg.Point{X: r.Max.X - scale*vg.Length(b.Dx()), Y: r.Max.Y - scale*vg.Length(b.Dy())}
	return r
}

// looks returns how clubs are told apart.
func (s Style) looks() ([]look, error) {
	all := slices.Clone(looks)
	if len(s.Accents) > len(all) {
		return nil, fmt.Errorf("report: %d accent colours; at most %d are used", len(s.Accents), len(all))
	}
	for i, a := range s.Accents {
		rgb, err := hex.DecodeString(strings.TrimPrefix(a, "#"))
		if err != nil || len(rgb) != 3 || !strings.HasPrefix(a, "#") {
			return nil, fmt.Errorf("report: accent colour %q is not of the form #0072b2", a)
		}
		all[i].color = color.NRGBA{rgb[0], rgb[1], rgb[2], 0xff}
	}
	return all, nil
}
