package app

import (
	"context"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// benchScreen shows what the bench says of every club: whether it is in spec,
// whether its sheet agrees with itself, and whether it explains the swings.
type benchScreen struct {
	root     fyne.CanvasObject
	answer   *widget.Label
	again    *widget.Button
	pages    *choice
	stack    []fyne.CanvasObject
	limits   *limitsPage
	ei, gj   *widgets.Plot
	soft     *widget.Label
	agree    *widgets.ValueTable
	tests    *widgets.ValueTable
	predict  *widgets.ValueTable
	left     *widget.Label
	lead     *widgets.Plot
	droop    *widgets.Plot
	wear     *widgets.ValueTable
	strain   *widgets.Plot
	rig      *settingsSheet
	entry    *benchSheet
	panes    []string // whose moments are drawn
	found    *BenchFound
	of       *study.Study
	club     string // whose limits are drawn
	job      string
	complete bool
}

// benchPages are the pages of the bench.
var benchPages = []string{"Spec", "Sheet", "Stiffness", "Consistency", "Swings", "Wear"}

// sheetPage is the page on which the sheet is typed.
const sheetPage = 1

func newBenchScreen(w *Window) *benchScreen {
	c := &benchScreen{answer: newWords(""), limits: newLimitsPage(w), soft: newWords(""), left: newWords(""),
		agree: widgets.NewValueTable("club", "item", "measured", "computed", "difference", "usual up to ±", "unit", "verdict", "from", "what could explain it"),
		tests: widgets.NewValueTable("club", "clamp, tip", "cpm", "measured", "torque, deg", "measured", "bend point, mm", "by ratio, %", "swing weight"),
		predict: widgets.NewValueTable("run", "club",
			"droop: closed form", "beam", "captured", "lead: closed form", "beam", "captured",
			"most bent at", "by thirds, %", "pull, N"),
		lead: widgets.NewPlot("Moment in the lead plane at impact", "mm from the butt end", "N m"), droop: widgets.NewPlot("Moment in the droop plane at impact", "mm from the butt end", "N m"),
		wear:   widgets.NewValueTable("club", "runs", "largest strain, µm/m", "at, mm", "run", "at, ms", "rig cycles", "amplitude, µm/m", "exponent", "swings"),
		strain: widgets.NewPlot("Largest strain along the shaft; dashed: up to impact", "mm from the butt end", "µm/m"),
		ei:     widgets.NewPlot("EI", "mm from the butt end", "N m²"), gj: widgets.NewPlot("GJ", "mm from the butt end", "N m²")}
	c.answer.TextStyle.Bold = true
	c.left.Importance = widget.LowImportance
	c.again = widget.NewButton("Work it out", w.workBench)
	c.entry = newBenchSheet(w)
	c.rig = newSettingsSheet(w, "slope", "swings", "rig_amplitude_microstrain")
	c.pages = newChoice(benchPages, func(i int) { w.store.Do(ShowBenchPage{i}) })

	caution := newWords(study.WearCaution)
	how := newWords("Rig cycles is how many cycles of the rig do the damage of that many swings, if damage goes with the strain range, twice the amplitude, to the power of the exponent. Times are from impact; what comes after it is the shaft's answer to the blow.")
	how.Importance = widget.LowImportance
	caution.TextStyle.Bold = true
	part := func(top, bottom fyne.CanvasObject, share float64) fyne.CanvasObject {
		split := container.NewVSplit(top, bottom)
		split.Offset = share
		return split
	}
	table := func(text string, t *widgets.ValueTable) fyne.CanvasObject {
		return container.NewBorder(w.copyable(text, t), nil, nil, nil, t)
	}
	plots := container.NewHSplit(c.ei, c.gj)
	rig := container.NewHSplit(c.strain, container.NewBorder(heading("The rig test"), nil, nil, nil, c.rig.sheet))
	rig.Offset = 0.56
	c.stack = []fyne.CanvasObject{
		c.limits.root,
		c.entry.root,
		part(plots, container.NewVScroll(c.soft), 0.72),
		part(table("What stiffness and mass give, beside what was measured", c.tests), table("The sheet against itself", c.agree), 0.43),
		part(table("What the head's pull alone gives at impact, and what was captured, mm", c.predict),
			container.NewBorder(c.left, nil, nil, nil, container.NewHSplit(c.lead, c.droop)), 0.45),
		container.NewBorder(container.NewVBox(caution, how), nil, nil, nil,
			part(table("How hard the swings worked each shaft", c.wear), rig, 0.4)),
	}
	c.root = container.NewBorder(container.NewVBox(c.answer, container.NewHBox(c.pages.root, c.again)), nil, nil, nil, container.NewStack(c.stack...))
	return c
}

func (c *benchScreen) present(s State) {
	c.pages.set(s.BenchPage)
	for i, page := range c.stack {
		show(page, i == s.BenchPage)
	}
	if s.BenchPage == sheetPage {
		c.entry.present(s, false)
	}
	c.rig.present(s)
	found := s.bench()
	if found != nil && found.Swings != nil && (found != c.found || !slices.Equal(c.panes, s.Panes)) {
		c.panes = s.Panes
		lead, droop := momentCurves(s, found.Swings)
		c.lead.SetCurves(lead)
		c.droop.SetCurves(droop)
	}
	if found != nil && found.Err == nil && s.BenchClub != c.club {
		c.club = s.BenchClub
		c.limits.mark(s, found.Clubs)
	}
	if found == c.found && s.Study == c.of && s.Job.Title == c.job && s.Complete() == c.complete {
		return
	}
	c.found, c.of, c.job, c.complete = found, s.Study, s.Job.Title, s.Complete()
	show(c.again, found == nil && s.Job.Title == "")
	if found == nil || found.Err != nil {
		c.limits.present(s, nil)
		for _, t := range []*widgets.ValueTable{c.agree, c.tests, c.predict, c.wear} {
			t.SetRows(nil)
		}
		for _, l := range []*widget.Label{c.soft, c.left} {
			l.SetText("")
		}
		for _, p := range []*widgets.Plot{c.ei, c.gj, c.lead, c.droop, c.strain} {
			p.SetCurves(nil)
		}
		switch {
		case found != nil:
			c.answer.SetText(sentence(found.Err))
		case s.Job.Title != "":
			c.answer.SetText("What the bench says follows.")
		default:
			c.answer.SetText("The bench is not worked out yet.")
		}
		return
	}
	c.answer.SetText(benchAnswer(s.Study, found.Clubs))
	c.limits.present(s, found.Clubs)
	ei, gj := stiffness(s.Study, found)
	c.ei.SetCurves(ei)
	c.gj.SetCurves(gj)
	c.soft.SetText(softWords(s.Study, found))
	c.tests.SetRows(testRows(s.Study, found.Clubs))
	c.agree.SetRows(agreementRows(s.Study, found.Clubs))
	if found.Swings == nil {
		c.predict.SetRows(nil)
		c.wear.SetRows(nil)
		c.strain.SetCurves(nil)
		c.left.SetText("The swings follow when every run is analysed.")
		return
	}
	c.predict.SetRows(predictionRows(s.Study, found.Swings))
	c.wear.SetRows(wearRows(s.Study, found.Swings))
	c.strain.SetCurves(strainCurves(s.Study, found.Swings))
	c.left.SetText("The prediction leaves out all that the hands do to bend the shaft: the difference is theirs, most of the lead and little of the droop. Moment is captured curvature times EI, with its 95 % band, of the runs that are ticked." +
		lines(assumedWords(s.Study, found.Swings)) + lines(found.Swings.LeftOut))
}

// lines returns sentences, each on a line of its own.
func lines(list []string) string {
	text := ""
	for _, s := range list {
		text += "\n" + capital(strings.TrimRight(study.Plain(s), ".")) + "."
	}
	return text
}

// ShowBenchPage turns to a page of the bench.
type ShowBenchPage struct{ Page int }

func (c ShowBenchPage) apply(s State) State { s.BenchPage = c.Page; return s }

// BenchFound is what the bench says of the clubs of a study, and of the swings
// with them.
type BenchFound struct {
	Of     *study.Study
	Under  *study.Comparison // the comparison that the swings were held against
	Clubs  []study.ClubBench
	Swings *study.BenchSwings // nil where not every run is analysed
	Err    error
}

func (c *BenchFound) apply(s State) State { s.Bench = c; return s }

// bench returns what the bench says of the study as it is, nil where that is not
// worked out.
func (s State) bench() *BenchFound {
	if s.Bench == nil || s.Bench.Of != s.Study || s.Bench.Under != s.Comparison || s.Complete() != (s.Bench.Swings != nil) && s.Bench.Err == nil {
		return nil
	}
	return s.Bench
}

const benchAndSwings = "Holding the bench against the swings"

// workBench works the bench out, as a job.
func (w *Window) workBench() {
	s := w.store.State()
	if s.Study == nil {
		return
	}
	w.jobs.start(benchAndSwings, func(ctx context.Context, post func(Command)) error {
		found := &BenchFound{Of: s.Study, Under: s.Comparison}
		found.Clubs, found.Err = study.Bench(s.Study, s.Study.BenchOptions())
		if found.Err == nil && s.Complete() && ctx.Err() == nil {
			swings := study.HoldAgainstSwings(s.analysis(), s.Comparison, s.Study.SwingOptions())
			found.Swings = &swings
		}
		if ctx.Err() == nil {
			post(found)
		}
		return ctx.Err()
	}, nil)
}

// A workedOut is what the last work begun unasked was about: it is not begun
// twice, so that work that was stopped stays stopped.
type workedOut struct {
	screen     Screen
	study      *study.Study
	comparison *study.Comparison
	complete   bool
}

// work begins what is lacking: the comparison, before which other work on the
// results gives way, and then what the screen that is shown needs, when nothing
// else is under way.
func (w *Window) work(s State) {
	if s.Bay.On() && s.Screen == BayScreen {
		return // the next capture is not to wait
	}
	if of := s.compareKey(); s.pending() && s.Job.givesWay() && !(s.Job.Title == comparing && w.compared == of) {
		w.compared = of
		w.compareClubs()
		return
	}
	now := workedOut{s.Screen, s.Study, s.Comparison, s.Complete()}
	if s.Job.Title != "" || slices.Contains(w.worked, now) {
		return
	}
	switch {
	case s.Screen == CompareScreen && s.ComparePage == curvesPageIndex && s.Comparison != nil && s.curves() == nil:
		w.begins(now)
		w.compareCurves()
	case s.Screen == BenchScreen && s.bench() == nil:
		w.begins(now)
		w.workBench()
	}
}

// begins keeps what work begun unasked was about, the latest of each screen.
func (w *Window) begins(now workedOut) {
	w.worked = append(slices.DeleteFunc(w.worked, func(o workedOut) bool { return o.screen == now.screen }), now)
}
