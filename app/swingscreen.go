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
	split *container.Split
	row   *fyne.Container
	panes []*pane
	empty *widget.Label
	bring *widget.Button

	views, aligns         *choice
	factors, speeds       *pick
	groups, zooms         *pick
	showBand, showMarkers *tick
	play                  *widget.Button
	bar                   *widgets.TimeBar
	charts                *charts
	laid                  []string // runs whose panes are laid out

	// What the camera and the bar were last made for.
	figures []*figure
	fitted  View
	home    widgets.Camera
	span    [3]float64
	marks   []widgets.Mark
	filled  [][2]float64 // in the bar
}

// nothingShown says why no run is shown, of a study that is bare or is not.
func nothingShown(bare bool) string {
	if bare {
		return "The study has no runs yet. Bring captures in, or drop them on the window."
	}
	return "Tick a run in the list to see it here."
}

func newSwingScreen(w *Window) *swingScreen {
	do := w.store.Do
	c := &swingScreen{row: container.New(paneGrid{}), bar: widgets.NewTimeBar(), charts: newCharts(w),
		empty: widget.NewLabel("")}
	c.empty.Alignment = fyne.TextAlignCenter
	c.bring = widget.NewButton("Bring in captures…", func() { w.beginImport(nil) })
	for range maxPanes {
		c.panes = append(c.panes, newPane(w))
	}
	c.views = newChoice(viewNames, func(i int) { do(SetView{View(i)}) })
	c.factors = newPick(w, names("%g×", exaggerations), func(i int) { do(SetExaggeration{exaggerations[i]}) })
	c.aligns = newChoice(alignNames[:], func(i int) { do(SetAlign{Align(i)}) })
	c.speeds = newPick(w, names("1/%g", slownesses), func(i int) { do(SetSlowness{slownesses[i]}) })
	c.groups = newPick(w, groupingNames, func(i int) { do(SetGrouping{Grouping(i)}) })
	c.zooms = newPick(w, []string{"downswing", "all"}, func(i int) { do(SetZoom{zoomChoices[i]}) })
	c.showBand = newTick("Uncertainty", func(on bool) { do(ShowBand{on}) })
	c.showMarkers = newTick("Markers", w.showMarkers)
	c.play = widget.NewButtonWithIcon("Play", theme.MediaPlayIcon(), w.togglePlay)
	c.bar.OnScrub = func(t float64) { do(Seek{t}) }
	c.bar.OnMark = func(i int, t float64) { w.moveEvent(marked(w.store.State())[i], t) }
	c.bar.OnTypedKey = w.typedKey

	tools := container.NewHBox(
		labelled("View", c.views.root), layout.NewSpacer(),
		labelled("Bend", c.factors), layout.NewSpacer(),
		c.showBand, c.showMarkers)
	transport := container.NewHBox(
		c.play,
		widget.NewButtonWithIcon("", theme.MediaSkipPreviousIcon(), func() { do(Step{-1}) }),
		widget.NewButtonWithIcon("", theme.MediaSkipNextIcon(), func() { do(Step{1}) }),
		c.speeds,
		layout.NewSpacer(),
		labelled("Go to", container.NewHBox(
			widget.NewButton("Top", func() { do(Jump{Top}) }),
			widget.NewButton("Peak lag", func() { do(Jump{PeakLag}) }),
			widget.NewButton("Impact", func() { do(Jump{Impact}) }))),
		layout.NewSpacer(),
		labelled("Align at", c.aligns.root),
		layout.NewSpacer(),
		labelled("Curves", container.NewHBox(c.groups, c.zooms)))
	upper := container.NewBorder(tools, container.NewVBox(c.bar, transport), nil, nil,
		container.NewStack(c.row, container.NewCenter(container.NewVBox(c.empty, container.NewCenter(c.bring)))))
	c.split = container.NewVSplit(upper, c.charts.root)
	c.split.Offset = 0.6
	c.root = c.split
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
	c.groups.set(int(s.Grouping))
	c.zooms.set(slices.Index(zoomChoices, s.Zoom))
	c.showBand.set(s.Band)
	c.showMarkers.set(s.Markers)
	c.presentPanes(s)
	c.presentTime(s)
	if large := s.Large != ""; large == c.charts.root.Visible() {
		show(c.charts.root, !large)
		c.split.Refresh()
	}
	if s.Large == "" {
		c.charts.present(s)
	}
}

func (c *swingScreen) presentPanes(s State) {
	visible := s.visible()
	if !slices.Equal(visible, c.laid) {
		c.laid = slices.Clone(visible)
		c.row.RemoveAll()
		for i, id := range s.Panes {
			if slices.Contains(visible, id) {
				c.row.Add(c.panes[i].root)
			}
		}
	}
	bare := len(s.Study.Runs) == 0
	if text := nothingShown(bare); text != c.empty.Text {
		c.empty.SetText(text)
	}
	show(c.empty, len(s.Panes) == 0)
	show(c.bring, bare)
	for i, id := range s.Panes {
		c.panes[i].prepare(s, id)
	}
	camera := c.camera(s)
	for i, id := range s.Panes {
		if slices.Contains(visible, id) {
			c.panes[i].present(s, i, camera)
		}
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
	if f := filledTimes(s); !slices.Equal(f, c.filled) {
		c.filled = f
		c.bar.SetFilled(f)
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
