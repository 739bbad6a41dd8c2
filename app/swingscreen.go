package app

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/widgets"
)

// Speeds, exaggerations and parts of the swing to choose from.
var (
	slownesses    = []float64{10, 25, 50, 100}
	exaggerations = []float64{1, 2, 3, 5, 10}
	zoomChoices   = []Zoom{{}, wholeSwing}
)

// swingScreen shows the runs side by side in space, and their curves.
type swingScreen struct {
	root  fyne.CanvasObject
	row   *fyne.Container
	panes []*pane
	empty *widget.Label

	views, factors, aligns, speeds, zooms *choice
	play                                  *widget.Button
	bar                                   *widgets.TimeBar
	curves                                *curves

	// What the camera and the bar were last made for.
	figures []*figure
	fitted  View
	home    widgets.Camera
	span    [3]float64
	marks   []widgets.Mark
}

func newSwingScreen(w *Window) *swingScreen {
	do := w.store.Do
	c := &swingScreen{row: container.NewGridWithColumns(1), bar: widgets.NewTimeBar(), curves: newCurves(w),
		empty: newWords("Tick a run in the list to see it here.")}
	c.empty.Alignment = fyne.TextAlignCenter
	for range maxPanes {
		c.panes = append(c.panes, newPane(w))
	}
	c.views = newChoice(viewNames, func(i int) { do(SetView{View(i)}) })
	c.factors = newChoice(names("%g×", exaggerations), func(i int) { do(SetExaggeration{exaggerations[i]}) })
	c.aligns = newChoice([]string{"impact", "top"}, func(i int) { do(SetAlign{Align(i)}) })
	c.speeds = newChoice(names("1/%g", slownesses), func(i int) { do(SetSlowness{slownesses[i]}) })
	c.zooms = newChoice([]string{"downswing", "all"}, func(i int) { do(SetZoom{zoomChoices[i]}) })
	c.play = widget.NewButtonWithIcon("Play", theme.MediaPlayIcon(), w.togglePlay)
	c.bar.OnScrub = func(t float64) { do(Seek{t}) }

	tools := container.NewHBox(
		labelled("View", c.views.root), layout.NewSpacer(),
		labelled("Bend drawn", c.factors.root), layout.NewSpacer(),
		labelled("Hold together at", c.aligns.root))
	transport := container.NewHBox(
		c.play,
		widget.NewButtonWithIcon("", theme.MediaSkipPreviousIcon(), func() { do(Step{-1}) }),
		widget.NewButtonWithIcon("", theme.MediaSkipNextIcon(), func() { do(Step{1}) }),
		layout.NewSpacer(),
		labelled("Go to", container.NewHBox(
			widget.NewButton("Top", func() { do(Jump{Top}) }),
			widget.NewButton("Peak lag", func() { do(Jump{PeakLag}) }),
			widget.NewButton("Impact", func() { do(Jump{Impact}) }))),
		layout.NewSpacer(),
		labelled("Speed", c.speeds.root),
		layout.NewSpacer(),
		labelled("Curves", c.zooms.root))
	upper := container.NewBorder(tools, container.NewVBox(c.bar, transport), nil, nil,
		container.NewStack(c.row, container.NewCenter(c.empty)))
	split := container.NewVSplit(upper, c.curves.root)
	split.Offset = 0.66
	c.root = split
	return c
}

// names returns numbers as words.
func names(format string, values []float64) []string {
	list := make([]string, len(values))
	for i, v := range values {
		list[i] = fmt.Sprintf(format, v)
	}
	return list
}

func (c *swingScreen) present(s State) {
	c.views.set(-1)
	if s.Camera == nil {
		c.views.set(int(s.View))
	}
	c.factors.set(slices.Index(exaggerations, s.Exaggeration))
	c.aligns.set(int(s.Align))
	c.speeds.set(slices.Index(slownesses, s.Slowness))
	c.zooms.set(slices.Index(zoomChoices, s.Zoom))
	c.presentPanes(s)
	c.presentTime(s)
	c.curves.present(s)
}

func (c *swingScreen) presentPanes(s State) {
	n := len(s.Panes)
	if len(c.row.Objects) != n {
		c.row.RemoveAll()
		c.row.Layout = layout.NewGridLayoutWithColumns(max(1, n))
		for _, p := range c.panes[:n] {
			c.row.Add(p.root)
		}
	}
	if n == 0 {
		c.empty.Show()
	} else {
		c.empty.Hide()
	}
	for i, id := range s.Panes {
		c.panes[i].prepare(s, id)
	}
	camera := c.camera(s)
	for i, id := range s.Panes {
		c.panes[i].present(s, id, i, camera)
	}
}

// camera returns the camera all panes share: as turned by hand, or the view's
// own with every shown figure in the picture.
func (c *swingScreen) camera(s State) widgets.Camera {
	if s.Camera != nil {
		return *s.Camera
	}
	var figures []*figure
	for i := range s.Panes {
		if f := c.panes[i].figure; f != nil {
			figures = append(figures, f)
		}
	}
	if !slices.Equal(figures, c.figures) || s.View != c.fitted || c.home.Distance == 0 {
		c.figures, c.fitted = figures, s.View
		var points []r3.Vec
		hand := study.Club{}.Hand
		for i, f := range figures {
			if i == 0 {
				hand = f.swing.Hand
			}
			points = append(points, f.points(s.View)...)
		}
		c.home = s.View.camera(hand, points)
	}
	return c.home
}

func (c *swingScreen) presentTime(s State) {
	from, to, step := s.Span()
	if span := [3]float64{from, to, step}; span != c.span && from < to {
		c.span = span
		c.bar.SetRange(from, to, step)
	}
	if m := marks(s, 1); !slices.Equal(m, c.marks) {
		c.marks = m
		c.bar.SetMarks(m)
	}
	c.bar.SetTime(s.Time)
	label, icon := "Play", theme.MediaPlayIcon()
	if s.Playing {
		label, icon = "Pause", theme.MediaPauseIcon()
	}
	if c.play.Text != label {
		c.play.Text, c.play.Icon = label, icon
		c.play.Refresh()
	}
}
