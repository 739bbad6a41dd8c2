package report

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"io"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"bendline/app/study"
)

// The animation shows the last 100 ms to impact, in which the shaft unloads
// (common practice, no source), 20 times slower, and stays at impact.
const (
	animated  = 100 // ms
	frameStep = 2   // ms of swing a frame
	slower    = 20
	frameTime = frameStep * slower / 10 // hundredths of a second
	rest      = 150                     // hundredths of a second
)

// WriteAnimation writes the shafts of baseline and prototype side by side
// around impact to path, an animated GIF: mean shapes in the grip's frame, in
// both planes, with the exaggeration stated. Without a comparison the first two
// clubs shown stand side by side, or the only one. c and progress may be nil. A
// cancelled ctx, or a failure, leaves path as it was.
func WriteAnimation(ctx context.Context, a *study.Analysis, c *study.Comparison, path string, o Options, progress Progress) error {
	if err := endsIn(path, ".gif", "the animation"); err != nil {
		return err
	}
	m, err := gather(a, c, o)
	if err != nil {
		return err
	}
	if progress == nil {
		progress = silent
	}
	film, err := m.film()
	if err != nil {
		return err
	}
	moving := gif.GIF{LoopCount: 0}
	n := animated/frameStep + 1
	tones := newTones(m.shown, m.logo)
	for i := range n {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("report: writing %s: %w", path, err)
		}
		canvas := vgimg.NewWith(vgimg.UseWH(Width, Height), vgimg.UseDPI(72))
		film.draw(fineText{canvas}, float64(animated-frameStep*i))
		delay := frameTime
		if i == n-1 {
			delay = rest
		}
		moving.Image, moving.Delay = append(moving.Image, tones.reduce(canvas.Image())), append(moving.Delay, delay)
		progress(i+1, n)
	}
	if err := study.WriteFile(path, func(w io.Writer) error { return gif.EncodeAll(w, &moving) }); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// A fineText is a canvas of few dots an inch. Kerned letters are put where they
// belong one by one: together they would be moved by whole dots.
type fineText struct{ *vgimg.Canvas }

// FillString implements vg.Canvas.
func (c fineText) FillString(f font.Face, pt vg.Point, text string) {
	for _, part := range kerned(f, text) {
		c.Canvas.FillString(f, vg.Point{X: pt.X + part.at, Y: pt.Y}, part.text)
	}
}

// A film is what an animation shows.
type film struct {
	m      *material
	groups []group
	x      []float64
	stands []stand // by plane
	foot   footer
}

// film lays out the animation.
func (m *material) film() (*film, error) {
	f := &film{m: m, groups: m.shown[:min(2, len(m.shown))], foot: m.footer()}
	if len(f.groups) == 0 || m.longest() == 0 {
		return nil, errors.New("report: no run can be shown moving: none of the clubs has a fitted run with an impact")
	}
	f.x = m.stations(shapePoints)
	factor := math.Inf(1)
	for _, plane := range planes {
		var all []pose
		for ms := 0.0; ms <= animated; ms += frameStep {
			all = append(all, poses(f.groups, f.x, plane, ms/1e3)...)
		}
		s := newStand(f.x, all, vg.Point{X: f.pane() - 24, Y: filmHigh})
		f.stands = append(f.stands, s)
		factor = math.Min(factor, s.factor)
	}
	for i := range f.stands {
		f.stands[i].factor = factor
	}
	return f, nil
}

const filmHigh vg.Length = 290

// pane is the width for each shaft.
func (f *film) pane() vg.Length { return bodyWide / vg.Length(len(planes)*len(f.groups)) }

// draw draws the shafts some ms before impact.
func (f *film) draw(c vg.Canvas, before float64) {
	m := f.m
	when := "Last frame before contact"
	if before > 0 {
		when = m.number(before, 0) + " ms before impact"
	}
	s := Slide{
		Title:    when,
		Subtitle: fmt.Sprintf("Mean shapes in the grip’s frame, deflections drawn %s times as large as along the shaft; %d times slower.", m.number(f.stands[0].factor, digitsOf(f.stands[0].factor)), slower),
		foot:     f.foot,
		logo:     m.logo,
	}
	top := body.Max.Y - 6
	for j, plane := range planes {
		left := side + vg.Length(j)*bodyWide/vg.Length(len(planes))
		s.parts = append(s.parts,
			line(bold(13, ink), left, top, bodyWide/2-20, plane.name+": "+plane.measure+" at the tip, mm"),
			newRule(left, top-8, bodyWide/2-20))
		for k, p := range poses(f.groups, f.x, plane, before/1e3) {
			x := left + vg.Length(k)*f.pane()
			rect := vg.Rectangle{Min: vg.Point{X: x, Y: top - 44 - filmHigh}, Max: vg.Point{X: x + f.pane() - 20, Y: top - 44}}
			sty := sans(12, p.look.text())
			s.parts = append(s.parts,
				line(sty, x, top-26, f.pane()-24, m.shortClub(sty, f.groups[k].club.ID, f.pane()-32)+f.groups[k].star()),
				illustration{rect, "", func(c draw.Canvas) { f.stands[j].draw(c, []pose{p}) }},
				line(bold(20, p.look.text()), x, rect.Min.Y-24, f.pane()-24, m.signed(p.tip(), 1)))
		}
	}
	s.Draw(c)
}

// tones are the colours of an animation: those of its lines and text, thinned
// to white in steps, and the most common ones of the logo.
type tones struct {
	palette color.Palette
	near    map[color.RGBA]uint8
}

func newTones(groups []group, logo *logo) tones {
	t := tones{palette: color.Palette{paper}, near: map[color.RGBA]uint8{}}
	base := []color.NRGBA{ink, muted, rule}
	for _, g := range groups[:min(2, len(groups))] {
		base = append(base, g.look.color, g.look.text())
	}
	const steps = 28 // of at most seven colours
	for _, c := range base {
		for i := 1; i <= steps; i++ {
			thin := func(v uint8) uint8 { return uint8(255 - (255-int(v))*i/steps) }
			t.palette = append(t.palette, color.RGBA{thin(c.R), thin(c.G), thin(c.B), 255})
		}
	}
	if logo != nil {
		t.palette = append(t.palette, logo.colours(256-len(t.palette))...)
	}
	return t
}

// reduce returns the picture in the palette.
func (t tones) reduce(img image.Image) *image.Paletted {
	src := img.(*image.RGBA) // what vgimg draws on
	dst := image.NewPaletted(src.Rect, t.palette)
	for y := range src.Rect.Dy() {
		from, to := src.Pix[y*src.Stride:], dst.Pix[y*dst.Stride:]
		for x := range src.Rect.Dx() {
			c := color.RGBA{from[4*x], from[4*x+1], from[4*x+2], 255}
			if c == (color.RGBA{255, 255, 255, 255}) {
				continue
			}
			i, ok := t.near[c]
			if !ok {
				i = uint8(t.palette.Index(c))
				t.near[c] = i
			}
			to[x] = i
		}
	}
	return dst
}
