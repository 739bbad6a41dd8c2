package report

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// shapes writes the shapes of one slide in DrawingML (ECMA-376 part 1).
type shapes struct {
	strings.Builder
	deck  *presentation
	slide *opcPart
	ids   int // given so far
	err   error
}

// emu returns a length in English metric units, 12700 a point.
func emu(l vg.Length) int { return int(math.Round(l.Points() * 12700)) }

// frame is the position of a rectangle of the slide, in the given element.
func frame(element string, r vg.Rectangle) string {
	return fmt.Sprintf(`<%s><a:off x="%d" y="%d"/><a:ext cx="%d" cy="%d"/></%s>`, element,
		emu(r.Min.X), emu(Height-r.Max.Y), emu(r.Size().X), emu(r.Size().Y), element)
}

// id returns the next id and a name as attributes.
func (s *shapes) id(name string) string {
	s.ids++
	return fmt.Sprintf(`id="%d" name="%s %d"`, s.ids, name, s.ids)
}

// Of Liberation Sans and Arial, in sizes: how far the top of a line lies above
// its baseline, and how high a line is.
const (
	ascent   = 0.905
	fontLine = 1.149
)

// slack is how much wider than its text a box is: fonts of the same widths may
// still be rounded differently.
const slack vg.Length = 3

// several reports whether the passage has more than one line.
func (p passage) several() bool {
	return len(p.paragraphs) > 1 || len(p.paragraphs) == 1 && len(p.paragraphs[0]) > 1
}

// box returns the rectangle of a passage's text box.
func (p passage) box() vg.Rectangle {
	size := p.style.Font.Size
	wide := max(p.wide, p.long()) + slack
	r := vg.Rectangle{Min: vg.Point{X: p.x}, Max: vg.Point{X: p.x + wide, Y: p.y + ascent*size}}
	if p.several() {
		r.Max.Y += (1.3 - fontLine) * size // what the spacing adds above the first line
	}
	if p.style.XAlign == draw.XRight {
		r.Min.X, r.Max.X = p.x-wide, p.x
	}
	r.Min.Y = p.next() + p.space + leading(p.style) - 0.3*size
	return r
}

func (p passage) shape(s *shapes) {
	var text strings.Builder
	for i, para := range p.paragraphs {
		text.WriteString(p.paragraph(i, strings.Join(para, " ")))
	}
	if p.long() == 0 {
		return
	}
	role, locks, geometry := "", "<p:cNvSpPr txBox=\"1\"/>", `<a:prstGeom prst="rect"><a:avLst/></a:prstGeom><a:noFill/>`
	name := "Text"
	if p.role == heading1 {
		name, role, locks, geometry = "Title", `<p:ph type="title"/>`, `<p:cNvSpPr><a:spLocks noGrp="1"/></p:cNvSpPr>`, ""
	}
	fmt.Fprintf(s, `<p:sp><p:nvSpPr><p:cNvPr %s/>%s<p:nvPr>%s</p:nvPr></p:nvSpPr><p:spPr>%s%s</p:spPr>`+
		`<p:txBody><a:bodyPr wrap="square" lIns="0" tIns="0" rIns="0" bIns="0" anchor="t"><a:noAutofit/></a:bodyPr><a:lstStyle/>%s</p:txBody></p:sp>`,
		s.id(name), locks, role, frame("a:xfrm", p.box()), geometry, text.String())
}

// paragraph returns one paragraph of the passage.
func (p passage) paragraph(i int, text string) string {
	space := ""
	if p.several() {
		space = fmt.Sprintf(`<a:lnSpc><a:spcPct val="%.0f"/></a:lnSpc>`, 1.3/fontLine*100000)
	}
	if i > 0 && p.space > 0 {
		space += fmt.Sprintf(`<a:spcBef><a:spcPts val="%d"/></a:spcBef>`, hundredths(p.space))
	}
	run := runOf(p.style, text)
	if p.role == pageNumber {
		number, rest, _ := strings.Cut(text, " ")
		run = fmt.Sprintf(`<a:fld id="{6E5B7C3A-41D2-4F0B-9C58-2B1A7D9E0F31}" type="slidenum">%s<a:t>%s</a:t></a:fld>`, runLook(p.style), escaped(number)) +
			runOf(p.style, " "+rest)
	}
	return fmt.Sprintf(`<a:p><a:pPr algn="%s">%s</a:pPr>%s</a:p>`, align(p.style), space, run)
}

func align(sty draw.TextStyle) string {
	if sty.XAlign == draw.XRight {
		return "r"
	}
	return "l"
}

// hundredths returns a length in hundredths of a point.
func hundredths(l vg.Length) int { return int(math.Round(l.Points() * 100)) }

func runOf(sty draw.TextStyle, text string) string {
	return fmt.Sprintf(`<a:r>%s<a:t>%s</a:t></a:r>`, runLook(sty), escaped(text))
}

// runLook returns the properties of a run.
func runLook(sty draw.TextStyle) string {
	weight := 0
	if sty.Font.Weight == stdfont.WeightBold {
		weight = 1
	}
	return fmt.Sprintf(`<a:rPr lang="en-GB" sz="%d" b="%d"><a:solidFill><a:srgbClr val="%s"/></a:solidFill><a:latin typeface="Arial"/><a:cs typeface="Arial"/></a:rPr>`,
		hundredths(sty.Font.Size), weight, rgb(color.NRGBAModel.Convert(sty.Color).(color.NRGBA)))
}

func (b block) shape(s *shapes) {
	fmt.Fprintf(s, `<p:sp><p:nvSpPr><p:cNvPr %s/><p:cNvSpPr/><p:nvPr/></p:nvSpPr><p:spPr>%s<a:prstGeom prst="rect"><a:avLst/></a:prstGeom>`+
		`<a:solidFill><a:srgbClr val="%s"/></a:solidFill><a:ln><a:noFill/></a:ln></p:spPr></p:sp>`,
		s.id("Block"), frame("a:xfrm", b.Rectangle), rgb(b.color))
}

func (i illustration) shape(s *shapes) {
	vectors, err := i.svg()
	if err != nil {
		s.fail(err)
		return
	}
	dots, err := i.encodePNG()
	if err != nil {
		s.fail(err)
		return
	}
	fallback := s.slide.link(office+"image", s.deck.picture("png", "image/png", dots))
	// The extension of SVG pictures, [MS-ODRAWXML] 2.3.2.
	vector := fmt.Sprintf(`<a:extLst><a:ext uri="{96DAC541-7B7A-43D3-8B79-37D633B846F1}"><asvg:svgBlip xmlns:asvg="http://schemas.microsoft.com/office/drawing/2016/SVG/main" r:embed="%s"/></a:ext></a:extLst>`,
		s.slide.link(office+"image", s.deck.picture("svg", "image/svg+xml", vectors)))
	s.picture("Plot", i.alt, i.outer(), fallback, vector)
}

func (e emblem) shape(s *shapes) {
	s.picture("Logo", "logo", e.Rectangle, s.slide.link(office+"image", s.deck.picture(e.logo.kind, "image/"+e.logo.kind, e.logo.file)), "")
}

func (s *shapes) picture(name, alt string, r vg.Rectangle, link, extension string) {
	fmt.Fprintf(s, `<p:pic><p:nvPicPr><p:cNvPr %s descr="%s"/><p:cNvPicPr><a:picLocks noChangeAspect="1"/></p:cNvPicPr><p:nvPr/></p:nvPicPr>`+
		`<p:blipFill><a:blip r:embed="%s">%s</a:blip><a:stretch><a:fillRect/></a:stretch></p:blipFill>`+
		`<p:spPr>%s<a:prstGeom prst="rect"><a:avLst/></a:prstGeom></p:spPr></p:pic>`,
		s.id(name), escaped(alt), link, extension, frame("a:xfrm", r))
}

func (s *shapes) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}
