package app

import (
	"cmp"
	"flag"
	"fmt"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

var update = flag.Bool("update", false, "write the outlines of the screens anew")

// A screenView is a page of the window, and how to come to it.
type screenView struct {
	name   string
	dialog bool
	show   func(t *testing.T, x *world)
}

var screenViews = []screenView{
	{"swing", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{SwingScreen}) }},
	{"swing-large", false, func(_ *testing.T, x *world) { x.store.Do(Enlarge{x.state().Panes[0]}) }},
	{"swing-tour", false, func(_ *testing.T, x *world) { x.store.Do(TakeTour{1}) }},
	{"compare", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{CompareScreen}) }},
	{"data", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{DataScreen}) }},
	{"slides", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{SlidesScreen}) }},
	{"bench", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{BenchScreen}) }},
	{"bay", false, func(_ *testing.T, x *world) { x.store.Do(ShowScreen{BayScreen}) }},
	{"settings", true, func(_ *testing.T, x *world) { x.askSettings() }},
	{"events", true, func(_ *testing.T, x *world) { x.askEvents("a-base-1") }},
	{"labels", true, func(_ *testing.T, x *world) { x.askLabels("a-base-1") }},
	{"export", true, func(_ *testing.T, x *world) { x.askExport() }},
	{"keys", true, func(_ *testing.T, x *world) { x.showKeys() }},
	{"import", false, func(_ *testing.T, x *world) { x.beginImport([]string{filepath.Dir(x.state().Study.Path)}) }},
	{"import-club", false, func(_ *testing.T, x *world) {
		x.beginImport([]string{filepath.Dir(x.state().Study.Path)})
		x.store.Do(editImport{func(m *Import) { m.ShowClub = true }})
	}},
}

// look shows the view of a world on the small study, puts all back afterwards,
// and calls then between.
func (v screenView) look(t *testing.T, x *world, then func()) {
	v.show(t, x)
	x.settle()
	then()
	x.escape()
	if x.state().Bringing {
		x.endImport()
	}
	x.store.Do(TakeTour{})
	x.store.Do(ShowScreen{SwingScreen})
}

// each calls do for every object that is shown in o, parents first, with its
// place in the window and the part of the window it can be seen in.
func each(o fyne.CanvasObject, at fyne.Position, seen area, do func(o fyne.CanvasObject, in, seen area) (inside bool)) {
	if o == nil || !o.Visible() {
		return
	}
	at = at.Add(o.Position())
	in := area{at.X, at.Y, at.X + o.Size().Width, at.Y + o.Size().Height}
	if !do(o, in, seen) {
		return
	}
	switch v := o.(type) {
	case *fyne.Container:
		for _, c := range v.Objects {
			each(c, at, seen, do)
		}
	case fyne.Widget:
		switch v.(type) {
		case *container.Scroll, *widget.List, *widget.Table:
			seen = seen.with(in)
		}
		// A table holds its cells in the order in which they were last used.
		parts := slices.SortedStableFunc(slices.Values(test.WidgetRenderer(v).Objects()), func(a, b fyne.CanvasObject) int {
			return cmp.Or(cmp.Compare(a.Position().Y, b.Position().Y), cmp.Compare(a.Position().X, b.Position().X))
		})
		for _, c := range parts {
			each(c, at, seen, do)
		}
	}
}

// all calls each for what is in the window and over it.
func (x *world) all(do func(o fyne.CanvasObject, in, seen area) bool) {
	c := x.win.Canvas()
	size := c.Size()
	seen := area{0, 0, size.Width, size.Height}
	top := c.Overlays().Top()
	if top == nil {
		top = c.Content()
	}
	each(top, fyne.Position{}, seen, do)
}

// settle lays the window out anew, as the real one does before it paints: the
// test's only does when its size changes.
func (x *world) settle() { x.win.Canvas().Content().Refresh() }

// An area is a rectangle of the window.
type area struct{ left, top, right, bottom float32 }

func (a area) with(b area) area {
	return area{max(a.left, b.left), max(a.top, b.top), min(a.right, b.right), min(a.bottom, b.bottom)}
}

func (a area) width() float32  { return a.right - a.left }
func (a area) height() float32 { return a.bottom - a.top }

var (
	digits = regexp.MustCompile(`[−–-]?\d+([.,]\d+)?`)
	places = regexp.MustCompile(`/\S*/`)
)

// outline returns what can be read and used in the window, a line each: numbers
// and paths of files are left open, since they follow from the analysis and the
// machine.
func (x *world) outline() string {
	var b strings.Builder
	line := func(kind, text string, disabled bool) {
		text = digits.ReplaceAllString(places.ReplaceAllString(text, "…/"), "#")
		if disabled {
			kind += " (off)"
		}
		fmt.Fprintf(&b, "%s %q\n", kind, text)
	}
	x.all(func(o fyne.CanvasObject, in, seen area) bool {
		switch v := o.(type) {
		case *widget.Button:
			icon := ""
			if v.Icon != nil && v.Text == "" {
				icon = v.Icon.Name()
			}
			line("button", v.Text+icon, v.Disabled())
		case *tick:
			line(fmt.Sprintf("check %v", v.Checked), v.Text, v.Disabled())
		case *widget.Check:
			line(fmt.Sprintf("check %v", v.Checked), v.Text, v.Disabled())
		case *pick:
			line("choice", v.Selected, v.Disabled())
		case *entry:
			line("entry", v.Text+" ("+v.PlaceHolder+")", v.Disabled())
		case *widget.Label:
			if v.Text != "" {
				line("label", v.Text, false)
			}
		case *canvas.Text:
			if v.Text != "" {
				line("text", v.Text, false)
			}
			return true
		default:
			return true
		}
		return false
	})
	return b.String()
}

// TestScreensAreAsOutlined compares what can be read and used on every screen
// with its outline in testdata/screens.
func TestScreensAreAsOutlined(t *testing.T) {
	x := withSmall(t)
	for _, v := range screenViews {
		v.look(t, x, func() {
			path := filepath.Join("testdata", "screens", v.name+".txt")
			got := x.outline()
			if *update {
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			is, was := strings.Split(got, "\n"), strings.Split(string(want), "\n")
			for i := range max(len(is), len(was)) {
				a, b := "nothing", "nothing"
				if i < len(is) {
					a = is[i]
				}
				if i < len(was) {
					b = was[i]
				}
				if a != b {
					t.Errorf("%s, line %d: %s, want %s (go test ./app -run Screens -update writes it anew)", v.name, i+1, a, b)
					break
				}
			}
		})
	}
}

// TestNothingIsCutOrCovered looks at every screen in three sizes: all text lies in
// the window, is not cut, and no two texts lie on each other.
func TestNothingIsCutOrCovered(t *testing.T) {
	x := withSmall(t)
	for _, size := range []fyne.Size{fyne.NewSize(1280, 720), fyne.NewSize(1920, 1080), fyne.NewSize(3840, 2160)} {
		x.win.Resize(size)
		for _, v := range screenViews {
			if v.dialog && size.Width > 1280 {
				continue // of one size in every window
			}
			v.look(t, x, func() {
				type seenText struct {
					text string
					area
				}
				var texts []seenText
				x.all(func(o fyne.CanvasObject, in, seen area) bool {
					text, ok := o.(*canvas.Text)
					if !ok || strings.TrimSpace(text.Text) == "" {
						return true
					}
					need := text.MinSize()
					switch text.Alignment {
					case fyne.TextAlignTrailing:
						in.left = in.right - need.Width
					case fyne.TextAlignCenter:
						mid := (in.left + in.right) / 2
						in.left, in.right = mid-need.Width/2, mid+need.Width/2
					default:
						in.right = in.left + need.Width
					}
					can := in.with(seen)
					if can.width() <= 2 || can.height() <= 2 {
						return true // scrolled out of view
					}
					if in.left < -1 || in.right > size.Width+1 {
						t.Errorf("%s at %gx%g: %q reaches from %g to %g", v.name, size.Width, size.Height, text.Text, in.left, in.right)
					}
					texts = append(texts, seenText{text.Text, can})
					return true
				})
				for i, a := range texts {
					for _, b := range texts[:i] {
						// Lines of text are set with their leading: a third of it may be shared.
						if both := a.with(b.area); both.width() > 3 && both.height() > min(a.height(), b.height())/3 {
							t.Errorf("%s at %gx%g: %q and %q lie on each other at %v", v.name, size.Width, size.Height, a.text, b.text, both)
						}
					}
				}
			})
		}
	}
}

// TestTextsStandOut checks the contrast of text with its ground in both looks:
// 4.5 for text, 3 for what cannot be used now (WCAG 2.2, 1.4.3, asks nothing of
// that).
func TestTextsStandOut(t *testing.T) {
	for _, l := range []Look{LightLook, DarkLook} {
		th := newTheme(l)
		for text, on := range map[fyne.ThemeColorName][]fyne.ThemeColorName{
			theme.ColorNameForeground:          {theme.ColorNameBackground, theme.ColorNameButton, theme.ColorNameInputBackground, theme.ColorNameOverlayBackground, theme.ColorNameMenuBackground},
			theme.ColorNamePlaceHolder:         {theme.ColorNameBackground, theme.ColorNameInputBackground, theme.ColorNameOverlayBackground},
			theme.ColorNameForegroundOnPrimary: {theme.ColorNamePrimary},
			theme.ColorNameError:               {theme.ColorNameBackground, theme.ColorNameOverlayBackground},
			theme.ColorNameWarning:             {theme.ColorNameBackground, theme.ColorNameOverlayBackground},
			theme.ColorNameSuccess:             {theme.ColorNameBackground},
			theme.ColorNameDisabled:            {theme.ColorNameDisabledButton},
		} {
			least := 4.5
			if text == theme.ColorNameDisabled {
				least = 3
			}
			for _, ground := range on {
				if got := standsOut(th.Color(text, 0), th.Color(ground, 0)); got < least {
					t.Errorf("%s: %s on %s has contrast %.2f, want %g", l, text, ground, got, least)
				}
			}
		}
	}
}

// standsOut returns the contrast of two colours (WCAG 2.2).
func standsOut(a, b color.Color) float64 {
	light := func(c color.Color) float64 {
		r, g, bl, _ := c.RGBA()
		part := func(v uint32) float64 {
			x := float64(v) / 0xffff
			if x <= 0.04045 {
				return x / 12.92
			}
			return math.Pow((x+0.055)/1.055, 2.4)
		}
		return 0.2126*part(r) + 0.7152*part(g) + 0.0722*part(bl)
	}
	la, lb := light(a), light(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}
