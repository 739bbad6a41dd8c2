package report

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
)

// probe is a canvas that notes where text and paths come to lie. Slides do not
// turn or shift the canvas; it fails if they do.
type probe struct {
	t     *testing.T
	texts []textBox
	lines vg.Rectangle
	color color.Color
}

type textBox struct {
	text string
	size vg.Length
	box  vg.Rectangle
}

func newProbe(t *testing.T) *probe {
	inf := vg.Length(math.Inf(1))
	return &probe{t: t, lines: vg.Rectangle{Min: vg.Point{X: inf, Y: inf}, Max: vg.Point{X: -inf, Y: -inf}}}
}

func (p *probe) SetLineWidth(vg.Length)                  {}
func (p *probe) SetLineDash([]vg.Length, vg.Length)      {}
func (p *probe) SetColor(c color.Color)                  { p.color = c }
func (p *probe) Rotate(float64)                          { p.t.Error("canvas turned") }
func (p *probe) Translate(vg.Point)                      { p.t.Error("canvas shifted") }
func (p *probe) Scale(x, y float64)                      { p.t.Error("canvas scaled") }
func (p *probe) Push()                                   {}
func (p *probe) Pop()                                    {}
func (p *probe) Stroke(path vg.Path)                     { p.note(path) }
func (p *probe) Fill(path vg.Path)                       { p.note(path) }
func (p *probe) DrawImage(r vg.Rectangle, _ image.Image) { p.t.Error("a picture is drawn") }

func (p *probe) note(path vg.Path) {
	for _, comp := range path {
		if comp.Type == vg.CloseComp {
			continue
		}
		at := comp.Pos
		if math.IsNaN(float64(at.X + at.Y)) {
			p.t.Error("a path with NaN")
		}
		r := comp.Radius
		p.lines.Min.X, p.lines.Min.Y = min(p.lines.Min.X, at.X-r), min(p.lines.Min.Y, at.Y-r)
		p.lines.Max.X, p.lines.Max.Y = max(p.lines.Max.X, at.X+r), max(p.lines.Max.Y, at.Y+r)
	}
}

func (p *probe) FillString(f font.Face, pt vg.Point, text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	p.texts = append(p.texts, textBox{text, f.Font.Size, vg.Rectangle{
		Min: vg.Point{X: pt.X, Y: pt.Y - 0.2*f.Font.Size},
		Max: vg.Point{X: pt.X + f.Width(text), Y: pt.Y + 0.72*f.Font.Size},
	}})
}

func overlap(a, b vg.Rectangle) bool {
	const touch = 0.3 // pt
	return a.Min.X < b.Max.X-touch && b.Min.X < a.Max.X-touch && a.Min.Y < b.Max.Y-touch && b.Min.Y < a.Max.Y-touch
}

func TestSlidesKeepToThePageAndTextApart(t *testing.T) {
	for name, sc := range scenarios {
		for i, s := range deckOf(t, sc).Slides {
			p := newProbe(t)
			s.Draw(p)
			at := fmt.Sprintf("%s, slide %d (%s)", name, i+1, s.Title)
			page := vg.Rectangle{Max: vg.Point{X: Width, Y: Height}}
			if p.lines.Min.X < page.Min.X || p.lines.Min.Y < page.Min.Y || p.lines.Max.X > page.Max.X || p.lines.Max.Y > page.Max.Y {
				t.Errorf("%s: lines reach %v, beyond the page", at, p.lines)
			}
			for k, a := range p.texts {
				if a.size < leastSize && a.size != footSize {
					t.Errorf("%s: %q is set in %v pt, too small to read", at, a.text, a.size)
				}
				if a.box.Min.X < side-1 || a.box.Max.X > Width-side+1 || a.box.Min.Y < 10 || a.box.Max.Y > Height-30 {
					t.Errorf("%s: %q at %v stands in the margin", at, a.text, a.box)
				}
				if a.box.Min.Y < bodyFoot-10 && a.size != footSize {
					t.Errorf("%s: %q at %v stands in the footer", at, a.text, a.box)
				}
				for _, b := range p.texts[:k] {
					if overlap(a.box, b.box) {
						t.Errorf("%s: %q and %q overlap", at, a.text, b.text)
					}
				}
			}
		}
	}
}

func TestEverySlideHasTheFooter(t *testing.T) {
	d := deckOf(t, medium)
	for i, s := range d.Slides {
		text := strings.Join(slideText(s), "")
		for _, want := range []string{"(simulated)", "Baseline: Baseline", "Prototype: Prototype A", "22 of 24 runs compared, 3 players",
			"Bendline 0.1.0", "14 March 2025", fmt.Sprintf("%d / %d", i+1, len(d.Slides))} {
			if !strings.Contains(text, want) {
				t.Errorf("slide %d lacks %q", i+1, want)
			}
		}
	}
}

// slideText returns the strings a slide draws, in order.
func slideText(s Slide) []string {
	var c recorder.Canvas
	s.Draw(&c)
	return drawnText(&c)
}

func drawnText(c *recorder.Canvas) []string {
	var all []string
	for _, a := range c.Actions {
		if f, ok := a.(*recorder.FillString); ok {
			all = append(all, f.String)
		}
	}
	return all
}

// A recorded slide replays on another canvas as the same actions, so that one
// drawing serves every kind of file.
func TestSlidesReplay(t *testing.T) {
	for _, s := range deckOf(t, small).Slides {
		var first, second recorder.Canvas
		s.Draw(&first)
		if err := first.ReplayOn(&second); err != nil {
			t.Fatal(err)
		}
		if len(first.Actions) != len(second.Actions) {
			t.Fatalf("%s: %d actions replay as %d", s.Title, len(first.Actions), len(second.Actions))
		}
		for i := range first.Actions {
			if a, b := first.Actions[i].Call(), second.Actions[i].Call(); a != b {
				t.Fatalf("%s: %s replays as %s", s.Title, a, b)
			}
		}
	}
}

func TestTableNumbersStandRight(t *testing.T) {
	tab := &table{size: 12, columns: []column{{head: "Name", words: true}, {head: "Value"}},
		rows: [][]cell{{words("a"), {text: "1.1"}}, {words("b"), {text: "−111.1"}}, {words("c"), {text: "20.0"}}}}
	p := newProbe(t)
	c := draw.NewCanvas(p, 300, 200)
	for _, page := range tab.pages(c.Rectangle) {
		page.draw(c)
	}
	ends := map[string]vg.Length{}
	for _, b := range p.texts {
		ends[b.text] = b.box.Max.X
	}
	for _, last := range []string{"1.1", "1.1", "20.0", "Value"} {
		if math.Abs(float64(ends[last]-300)) > 1e-6 {
			t.Errorf("%q ends at %v, want 300", last, ends[last])
		}
	}
}
