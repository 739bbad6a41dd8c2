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
	checks   *widgets.ValueTable
	flags    *widget.Label
	ei, gj   *widgets.Plot
	soft     *widget.Label
	agree    *widgets.ValueTable
	tests    *widgets.ValueTable
	predict  *widgets.ValueTable
	left     *widget.Label
	wear     *widgets.ValueTable
	found    *BenchFound
	of       *study.Study
	job      string
	complete bool
}

// benchPages are the pages of the bench.
var benchPages = []string{"Spec", "Stiffness", "Sheet", "Swings", "Wear"}

func newBenchScreen(w *Window) *benchScreen {
	c := &benchScreen{answer: newWords(""), flags: newWords(""), soft: newWords(""), left: newWords(""),
		checks:  widgets.NewValueTable("club", "item", "measured", "target", "lowest", "highest", "unit", "verdict"),
		agree:   widgets.NewValueTable("club", "item", "measured", "computed", "difference", "usual up to ±", "unit", "", "from", "what could explain it"),
		tests:   widgets.NewValueTable("club", "clamp, mm", "tip mass, g", "frequency computed, cpm", "measured, cpm", "torque computed, deg", "measured, deg", "bend point, compressed, mm", "bend point, by ratio, %", "swing weight"),
		predict: widgets.NewValueTable("run", "club", "head pull, N", "droop predicted, mm", "captured, mm", "lead predicted, mm", "captured, mm", "most bent at, mm", "bend in butt, middle, tip third, %", "assumed"),
		wear:    widgets.NewValueTable("club", "runs", "largest strain, %", "at, mm", "in run", "ms after impact", "rig range, %", "exponent", "swings", "rig cycles"),
		ei:      widgets.NewPlot("EI", "mm from the butt end", "N m²"), gj: widgets.NewPlot("GJ", "mm from the butt end", "N m²")}
	c.answer.TextStyle.Bold = true
	c.flags.Importance, c.left.Importance = widget.LowImportance, widget.LowImportance
	c.again = widget.NewButton("Work it out", w.workBench)
	c.pages = newChoice(benchPages, func(i int) { w.store.Do(ShowBenchPage{i}) })

	caution := newWords(study.WearCaution)
	how := newWords("Rig cycles is how many cycles of the rig range do the damage of that many swings, if damage goes with the strain range to the power of the exponent. What comes after impact is the shaft's answer to the blow.")
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
	c.stack = []fyne.CanvasObject{
		part(table("Each club against its spec", c.checks), container.NewVScroll(c.flags), 0.7),
		part(plots, container.NewVScroll(c.soft), 0.78),
		part(table("What stiffness and mass give, beside what was measured", c.tests), table("The sheet against itself", c.agree), 0.4),
		part(table("What the head's pull alone gives at impact, and what was captured", c.predict), container.NewVScroll(c.left), 0.72),
		container.NewBorder(container.NewVBox(caution, how), nil, nil, nil, table("How hard the swings worked each shaft", c.wear)),
	}
	c.root = container.NewBorder(container.NewVBox(c.answer, container.NewHBox(c.pages.root, c.again)), nil, nil, nil, container.NewStack(c.stack...))
	return c
}

func (c *benchScreen) present(s State) {
	c.pages.set(s.BenchPage)
	for i, page := range c.stack {
		show(page, i == s.BenchPage)
	}
	found := s.bench()
	if found == c.found && s.Study == c.of && s.Job.Title == c.job && s.Complete() == c.complete {
		return
	}
	c.found, c.of, c.job, c.complete = found, s.Study, s.Job.Title, s.Complete()
	show(c.again, found == nil && s.Job.Title == "")
	if found == nil || found.Err != nil {
		for _, t := range []*widgets.ValueTable{c.checks, c.agree, c.tests, c.predict, c.wear} {
			t.SetRows(nil)
		}
		for _, l := range []*widget.Label{c.flags, c.soft, c.left} {
			l.SetText("")
		}
		c.ei.SetCurves(nil)
		c.gj.SetCurves(nil)
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
	c.checks.SetRows(checkRows(s.Study, found.Clubs))
	c.flags.SetText(benchFlags(s.Study, found.Clubs))
	ei, gj := stiffness(s.Study, found)
	c.ei.SetCurves(ei)
	c.gj.SetCurves(gj)
	c.soft.SetText(softWords(s.Study, found))
	c.tests.SetRows(testRows(s.Study, found.Clubs))
	c.agree.SetRows(agreementRows(s.Study, found.Clubs))
	if found.Swings == nil {
		c.predict.SetRows(nil)
		c.wear.SetRows(nil)
		c.left.SetText("The swings follow when every run is analysed.")
		return
	}
	c.predict.SetRows(predictionRows(s.Study, found.Swings))
	c.wear.SetRows(wearRows(s.Study, found.Swings))
	c.left.SetText("The prediction leaves out all that the hands do to bend the shaft: the difference is theirs, most of the lead and little of the droop." +
		lines(found.Swings.LeftOut))
}

// lines returns sentences, each on a line of its own.
func lines(list []string) string {
	text := ""
	for _, s := range list {
		text += "\n" + capital(strings.TrimRight(plain(s), ".")) + "."
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
		w.worked = append(w.worked[max(0, len(w.worked)-1):], now)
		w.compareCurves()
	case s.Screen == BenchScreen && s.bench() == nil:
		w.worked = append(w.worked[max(0, len(w.worked)-1):], now)
		w.workBench()
	}
}
