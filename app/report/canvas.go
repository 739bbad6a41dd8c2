package report

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"time"
	"unicode/utf8"

	"codeberg.org/go-pdf/fpdf"
	stdfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// pdfCanvas is a vg.Canvas on the pages of a PDF document. Text stays text, in
// any character its font has; fonts are embedded, cut down to what is used.
//
// The document's own coordinates run down from the upper left corner, but its
// transformations are PDF's, in points from the lower left corner: so points
// are flipped on the way in, and Rotate, Translate and Scale are plain matrices.
type pdfCanvas struct {
	doc    *fpdf.Fpdf
	high   vg.Length // of the pages
	states []pdfState
	images int
}

type pdfState struct {
	width vg.Length
	color color.NRGBA
}

var _ vg.Canvas = (*pdfCanvas)(nil)

// newPDF returns a document of pages of one size.
func newPDF(size vg.Point) *pdfCanvas {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: size.X.Points(), Ht: size.Y.Points()},
	})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetCatalogSort(true)
	return &pdfCanvas{doc: doc, high: size.Y}
}

// page begins a page, draws on it and marks it in the document's outline.
func (c *pdfCanvas) page(title string, draw func(vg.Canvas)) {
	c.doc.AddPage()
	c.states = []pdfState{{}}
	c.doc.TransformBegin()
	draw(c)
	c.doc.TransformEnd()
	c.doc.Bookmark(title, 0, 0)
}

// sign sets the document's title, maker and date.
func (c *pdfCanvas) sign(title, creator string, made time.Time) {
	c.doc.SetTitle(title, true)
	c.doc.SetCreator(creator, true)
	c.doc.SetProducer("Bendline", true)
	c.doc.SetCreationDate(made)
	c.doc.SetModificationDate(made)
}

// write finishes the document.
func (c *pdfCanvas) write(w io.Writer) error {
	if err := c.doc.Output(w); err != nil {
		return fmt.Errorf("report: pdf: %w", err)
	}
	return nil
}

func (c *pdfCanvas) state() *pdfState { return &c.states[len(c.states)-1] }

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.state().width = w
	c.doc.SetLineWidth(w.Points())
}

func (c *pdfCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	dashes := make([]float64, len(pattern))
	for i, d := range pattern {
		dashes[i] = d.Points()
	}
	c.doc.SetDashPattern(dashes, offset.Points())
}

func (c *pdfCanvas) SetColor(clr color.Color) {
	if clr == nil {
		clr = color.Black
	}
	n := color.NRGBAModel.Convert(clr).(color.NRGBA)
	c.state().color = n
	r, g, b := int(n.R), int(n.G), int(n.B)
	c.doc.SetDrawColor(r, g, b)
	c.doc.SetFillColor(r, g, b)
	c.doc.SetAlpha(float64(n.A)/255, "Normal")
}

func (c *pdfCanvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.doc.Transform(fpdf.TransformMatrix{A: cos, B: sin, C: -sin, D: cos})
}

func (c *pdfCanvas) Translate(pt vg.Point) {
	c.doc.Transform(fpdf.TransformMatrix{A: 1, D: 1, E: pt.X.Points(), F: pt.Y.Points()})
}

func (c *pdfCanvas) Scale(x, y float64) {
	c.doc.Transform(fpdf.TransformMatrix{A: x, D: y})
}

func (c *pdfCanvas) Push() {
	c.states = append(c.states, *c.state())
	c.doc.TransformBegin()
}

func (c *pdfCanvas) Pop() {
	c.states = c.states[:len(c.states)-1]
	c.doc.TransformEnd()
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.state().width > 0 {
		c.path(p, "D")
	}
}

func (c *pdfCanvas) Fill(p vg.Path) { c.path(p, "F") }

// xy returns a point in the document's coordinates.
func (c *pdfCanvas) xy(pt vg.Point) (x, y float64) { return pt.X.Points(), (c.high - pt.Y).Points() }

func (c *pdfCanvas) path(p vg.Path, style string) {
	if len(p) == 0 {
		return
	}
	for _, comp := range p {
		x, y := c.xy(comp.Pos)
		switch comp.Type {
		case vg.MoveComp:
			c.doc.MoveTo(x, y)
		case vg.LineComp:
			c.doc.LineTo(x, y)
		case vg.ArcComp:
			c.arc(comp)
		case vg.CurveComp:
			x0, y0 := c.xy(comp.Control[0])
			if len(comp.Control) == 1 {
				c.doc.CurveTo(x0, y0, x, y)
				continue
			}
			x1, y1 := c.xy(comp.Control[1])
			c.doc.CurveBezierCubicTo(x0, y0, x1, y1, x, y)
		case vg.CloseComp:
			c.doc.ClosePath()
		}
	}
	c.doc.DrawPath(style)
}

// arc continues the path by a line to the arc's start and the arc, in cubics of
// a quarter turn or less: the control points lie 4/3 tan(a/4) radii along the
// tangents, which keeps within 0.03 % of the radius.
func (c *pdfCanvas) arc(comp vg.PathComp) {
	n := int(math.Ceil(math.Abs(comp.Angle)/(math.Pi/2) - 1e-9))
	at := func(angle, out, along float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{
			X: comp.Pos.X + comp.Radius*vg.Length(out*cos-along*sin),
			Y: comp.Pos.Y + comp.Radius*vg.Length(out*sin+along*cos),
		}
	}
	c.doc.LineTo(c.xy(at(comp.Start, 1, 0)))
	for i := range n {
		step := comp.Angle / float64(n)
		a := comp.Start + float64(i)*step
		k := 4.0 / 3 * math.Tan(step/4)
		x0, y0 := c.xy(at(a, 1, k))
		x1, y1 := c.xy(at(a+step, 1, -k))
		x, y := c.xy(at(a+step, 1, 0))
		c.doc.CurveBezierCubicTo(x0, y0, x1, y1, x, y)
	}
}

// FillString implements vg.Canvas. The font's kerning is kept, as in measured
// widths, by placing the parts between kerned pairs one by one.
func (c *pdfCanvas) FillString(f font.Face, pt vg.Point, text string) {
	if f.Font.Size == 0 || text == "" {
		return
	}
	c.useFont(f)
	n := c.state().color
	c.doc.SetTextColor(int(n.R), int(n.G), int(n.B))
	for _, part := range kerned(f, text) {
		x, y := c.xy(vg.Point{X: pt.X + part.at, Y: pt.Y})
		c.doc.Text(x, y, part.text)
	}
}

// useFont selects a font, embedding it at its first use.
func (c *pdfCanvas) useFont(f font.Face) {
	var source bytes.Buffer
	if _, err := f.Face.WriteSourceTo(nil, &source); err != nil {
		c.doc.SetError(fmt.Errorf("report: pdf: font %s: %w", f.Name(), err))
		return
	}
	name := f.Name()
	c.doc.AddUTF8FontFromBytes(name, "", source.Bytes())
	c.doc.SetFont(name, "", f.Font.Size.Points())
}

// A kernedPart is a piece of a line that has no kerned pair, and where it
// starts.
type kernedPart struct {
	at   vg.Length
	text string
}

// kerned splits a line where its font kerns.
func kerned(f font.Face, text string) []kernedPart {
	var buf sfnt.Buffer
	ppem := fixed.Int26_6(f.Face.UnitsPerEm())
	var parts []kernedPart
	var prev sfnt.GlyphIndex
	from := 0
	for i, r := range text {
		g, err := f.Face.GlyphIndex(&buf, r)
		if err != nil {
			g = 0
		}
		if i > 0 {
			if k, err := f.Face.Kern(&buf, prev, g, ppem, stdfont.HintingNone); err == nil && k != 0 {
				parts = append(parts, kernedPart{0, text[from:i]})
				from = i
			}
		}
		prev = g
	}
	parts = append(parts, kernedPart{0, text[from:]})
	// A part starts where the text before it, kerned with its first letter, ends.
	for i, at := 1, len(parts[0].text); i < len(parts); i++ {
		_, first := utf8.DecodeRuneInString(parts[i].text)
		parts[i].at = f.Width(text[:at+first]) - f.Width(text[at:at+first])
		at += len(parts[i].text)
	}
	return parts
}

// DrawImage implements vg.Canvas.
func (c *pdfCanvas) DrawImage(rect vg.Rectangle, img image.Image) {
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		c.doc.SetError(fmt.Errorf("report: pdf: image: %w", err))
		return
	}
	c.images++
	name := fmt.Sprintf("image-%d", c.images)
	opts := fpdf.ImageOptions{ImageType: "png"}
	c.doc.RegisterImageOptionsReader(name, opts, &buf)
	x, y := c.xy(vg.Point{X: rect.Min.X, Y: rect.Max.Y})
	c.doc.ImageOptions(name, x, y, rect.Size().X.Points(), rect.Size().Y.Points(), false, opts, 0, "")
}
