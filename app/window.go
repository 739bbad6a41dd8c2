package app

import (
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// Window is the program's one window.
type Window struct {
	app    fyne.App
	win    fyne.Window
	around Surroundings
	store  *Store
	jobs   *jobs
	prefs  Preferences
	keep   *study.Keep // of results
	shown  State       // as last drawn

	safe, writing turn // of the study's unsaved changes, of the preferences
	matching      matching
	drawing       turn // of slides, by maker
	maker         slideMaker
	reading       map[string]bool // runs whose captures are read for their markers

	welcome  *welcome
	main     fyne.CanvasObject // the page with a study
	title    *widget.Label
	screens  *choice
	save     *widget.Button
	write    *widget.Button
	runs     *runList
	swing    *swingScreen
	compare  *compareScreen
	data     *dataScreen
	deck     *slidesScreen
	bench    *benchScreen
	bay      *bayScreen
	taking   *taking     // nil without a fitting session
	worked   []workedOut // begun unasked, the latest last
	compared compareKey  // of what the clubs were last begun to be compared
	tour     *tourStrip
	status   *statusLine
	side     *container.Split // run list and screens
	top      fyne.CanvasObject
	menu     *menu
	playing  *fyne.Animation

	bringing *importPage
}

var screenNames = []string{"Swing", "Compare", "Data", "Slides", "Bench", "Bay"}

// New makes the window at the welcome page, without showing it.
func New(a fyne.App, around Surroundings) *Window {
	w := &Window{app: a, around: around, win: a.NewWindow("Bendline"),
		keep: study.NewKeep(around.Results), reading: map[string]bool{}}
	w.store = NewStore(w.present)
	w.jobs = &jobs{around: around, store: w.store}
	w.safe = turn{around: around, store: w.store}
	w.writing, w.drawing = w.safe, w.safe
	prefs, err := ReadPreferences(around.Preferences)
	w.prefs = prefs
	w.applySize()
	a.Settings().SetTheme(newTheme(prefs.Look))

	w.welcome = newWelcome(w)
	w.welcome.form.setRecent(prefs.Recent)
	w.runs = newRunList(w)
	w.swing = newSwingScreen(w)
	w.compare = newCompareScreen(w)
	w.data = newDataScreen(w)
	w.deck = newSlidesScreen(w)
	w.bench = newBenchScreen(w)
	w.bay = newBayScreen(w)
	w.tour = newTourStrip(w)
	w.bringing = newImportPage(w)
	w.status = newStatusLine(w.jobs.stop)
	w.main = w.layOut()
	w.menu = newMenu(w)
	w.menu.setRecent(w, prefs.Recent)
	w.playing = &fyne.Animation{
		Duration: time.Second, RepeatCount: fyne.AnimationRepeatForever, Curve: fyne.AnimationLinear,
		// The place follows from the clock, so that a late picture is not a slow one.
		Tick: func(float32) { w.store.Do(Tick{around.Now()}) },
	}

	// Before it is laid out: what is hidden asks for no room.
	w.present(w.store.State())
	pages := container.NewStack(w.welcome.root, w.main, w.bringing.object())
	w.win.SetContent(container.NewStack(newGround(), container.NewBorder(nil, w.status.root, nil, nil, pages)))
	w.win.SetMainMenu(w.menu.menu)
	w.win.Resize(fyne.NewSize(1280, 720))
	w.win.SetOnDropped(w.dropped)
	w.win.SetCloseIntercept(w.close)
	w.bindKeys()
	a.Lifecycle().SetOnEnteredForeground(w.checkCaptures)
	w.store.Do(SetHouse{prefs.House})
	if err != nil {
		w.store.Do(Say{Notice{"The preferences could not be read and start afresh: " + sentence(err), true}})
	}
	return w
}

// layOut arranges the page with a study.
func (w *Window) layOut() fyne.CanvasObject {
	w.title = widget.NewLabel("")
	w.title.TextStyle.Bold = true
	w.title.Truncation = fyne.TextTruncateEllipsis
	w.screens = newChoice(screenNames, func(i int) { w.store.Do(ShowScreen{Screen(i)}) })
	w.save = widget.NewButton("Save", func() { w.saveStudy(nil) })
	w.write = widget.NewButton("Export…", w.askExport)
	bar := container.NewBorder(nil, nil, nil, container.NewHBox(w.save, w.write),
		container.New(&topLayout{}, w.title, w.screens.root))

	screens := container.NewStack(w.swing.root, w.compare.root, w.data.root, w.deck.root, w.bench.root, w.bay.root)
	w.side = container.NewHSplit(w.runs.root, container.NewPadded(screens))
	w.side.Offset = 0.21
	w.top = container.NewVBox(bar, widget.NewSeparator())
	return container.NewBorder(container.NewVBox(w.top, w.tour.root), nil, nil, nil, w.side)
}

// topLayout puts the second object in the middle and gives the first what is
// left before it.
type topLayout struct{}

func (topLayout) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(a.Width+b.Width, max(a.Height, b.Height))
}

func (topLayout) Layout(o []fyne.CanvasObject, size fyne.Size) {
	b := o[1].MinSize()
	left := max(o[0].MinSize().Width, (size.Width-b.Width)/2)
	o[0].Resize(fyne.NewSize(left, size.Height))
	o[0].Move(fyne.NewPos(0, 0))
	o[1].Resize(fyne.NewSize(b.Width, b.Height))
	o[1].Move(fyne.NewPos(left, (size.Height-b.Height)/2))
}

var _ fyne.Layout = topLayout{}

// present draws a state. It is the only way anything reaches the screen.
func (w *Window) present(s State) {
	was := w.shown
	w.shown = s
	show(w.welcome.root, s.Study == nil)
	show(w.main, s.Study != nil && !s.Bringing)
	show(w.bringing.object(), s.Bringing)
	w.bringing.present(s)
	w.status.present(s)
	w.menu.present(s)
	w.followBay(s)
	if s.Study == nil {
		return
	}
	if title := studyTitle(s); title != w.title.Text {
		w.title.SetText(title)
		w.win.SetTitle(title + " – Bendline")
	}
	enable(w.save, s.Unsaved())
	enable(w.write, s.exportable() == "")
	w.screens.set(int(s.Screen))
	w.tour.present(s)
	show(w.top, s.Large == "")
	if alone := s.Large != "" || s.Screen == SlidesScreen || s.Screen == BayScreen; alone == w.runs.root.Visible() {
		show(w.runs.root, !alone)
		w.side.Refresh()
	}
	if s.Large == "" {
		w.runs.present(s)
	}
	show(w.swing.root, s.Screen == SwingScreen)
	show(w.compare.root, s.Screen == CompareScreen)
	show(w.data.root, s.Screen == DataScreen)
	show(w.deck.root, s.Screen == SlidesScreen)
	show(w.bench.root, s.Screen == BenchScreen)
	show(w.bay.root, s.Screen == BayScreen)
	switch s.Screen {
	case SwingScreen:
		w.swing.present(s)
	case CompareScreen:
		w.compare.present(s)
	case DataScreen:
		w.data.present(s)
	case BenchScreen:
		w.bench.present(s)
	case SlidesScreen:
		w.deck.present(s)
	case BayScreen:
		w.bay.present(s)
	}
	switch {
	case s.Playing && !was.Playing:
		w.playing.Start()
	case was.Playing && !s.Playing:
		w.playing.Stop()
	}
	w.match(w.store.State())
	w.preview(s)            // last: where jobs run in place it draws again
	w.work(w.store.State()) // which may be newer by now
}

// show shows or hides an object, and does nothing when it is so already.
func show(o fyne.CanvasObject, on bool) {
	switch {
	case on && !o.Visible():
		o.Show()
	case !on && o.Visible():
		o.Hide()
	}
}

// enable enables or disables, and does nothing when it is so already.
func enable(o fyne.Disableable, on bool) {
	switch {
	case on && o.Disabled():
		o.Enable()
	case !on && !o.Disabled():
		o.Disable()
	}
}

func studyTitle(s State) string {
	title := s.Study.Title
	if title == "" {
		title = s.Study.Path
	}
	if s.Unsaved() {
		title += " (not saved)"
	}
	return title
}

// togglePlay starts or stops playing.
func (w *Window) togglePlay() {
	w.store.Do(Play{On: !w.store.State().Playing, Now: w.around.Now()})
}

// dropped opens what was dropped on the window.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		paths = append(paths, u.Path())
	}
	if s := w.store.State(); s.Study != nil && !s.Bringing && s.Screen == BenchScreen && s.BenchPage == sheetPage {
		w.readBench(paths)
		return
	}
	w.Open(paths)
}

// close asks what to do with unsaved changes, and leaves.
func (w *Window) close() {
	w.escape()
	w.leaving(func() {
		if st := w.store.State().Study; st != nil {
			if err := study.DropAutosave(st.Path); err != nil {
				w.store.Do(Say{Notice{sentence(err), true}})
			}
		}
		w.jobs.stop()
		w.win.Close()
		w.app.Quit()
	})
}

// leaving runs then when nothing would be lost, neither of an import nor of the
// study, or the user has chosen.
func (w *Window) leaving(then func()) {
	w.leavingImport(func() { w.leavingStudy(then) })
}

// leavingStudy runs then when no change of the study would be lost, or the user
// has chosen.
func (w *Window) leavingStudy(then func()) {
	if !w.store.State().Unsaved() {
		then()
		return
	}
	if w.taking != nil { // it saves as it goes
		w.taking.settle(func() { w.askLeaving(then) })
		return
	}
	w.askLeaving(then)
}

// askLeaving asks what is to become of changes that are not saved, if there are
// any.
func (w *Window) askLeaving(then func()) {
	if !w.store.State().Unsaved() {
		then()
		return
	}
	w.ask("Save the changes to the study?", "The study was changed since it was last saved.",
		reply{"Go on without saving", w.giveUp(then)}, reply{"Stay", func() {}},
		reply{"Save", func() { w.saveStudy(then) }})
}

// giveUp returns what gives up the changes that are not saved, and then goes on.
func (w *Window) giveUp(then func()) func() {
	return func() {
		st := w.store.State().Study
		w.safe.do(func() error { return study.DropAutosave(st.Path) })
		then()
	}
}

// ShowAndRun shows the window and returns when it was closed.
func (w *Window) ShowAndRun() { w.win.ShowAndRun() }
