package app

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// compareScreen says whether the prototype differs: the answer, and below it a
// page of what the answer rests on.
type compareScreen struct {
	root                fyne.CanvasObject
	clubs               fyne.CanvasObject
	baseline, prototype *widget.Select
	answer, basis       *widget.Label
	measure             *pick
	measures            fyne.CanvasObject
	pages               *choice
	stack               []fyne.CanvasObject
	leaveOut            []*widget.Check // one for each of study.Doubtful

	margin       *entry
	marginOf     *widget.Label
	forest       *widgets.Forest
	words        *widget.Label
	between      *widgets.ValueTable
	byPlayer     *widgets.ValueTable // what the forest draws, to copy
	curve        *widgets.Plot
	curveWords   *widget.Label
	again        *widget.Button
	loading      *widgets.ValueTable
	runs         *widgets.ValueTable
	state        State
	shownMeasure int
}

// comparePages are the pages under the answer.
var comparePages = []string{"Difference", "Curves", "Load and release", "Every run"}

// comparedMeasures returns the measures that are compared.
func comparedMeasures() []study.Measure { return slices.Concat(study.Measures, study.Peaks) }

// byRole stands in the selects for the clubs of a role, whatever their hand.
const byRole = "as the study has it"

func newCompareScreen(w *Window) *compareScreen {
	c := &compareScreen{answer: newWords(""), basis: newWords(""), words: newWords(""), curveWords: newWords(""),
		between: widgets.NewValueTable(), byPlayer: widgets.NewValueTable(), loading: widgets.NewValueTable(), runs: widgets.NewValueTable(),
		forest: widgets.NewForest(), marginOf: widget.NewLabel("")}
	c.answer.TextStyle.Bold = true
	c.basis.Importance, c.marginOf.Importance = widget.LowImportance, widget.LowImportance
	choose := func(string) {
		w.store.Do(CompareClubs{c.clubID(c.baseline.Selected), c.clubID(c.prototype.Selected)})
		w.win.Canvas().Unfocus()
	}
	c.baseline, c.prototype = widget.NewSelect(nil, choose), widget.NewSelect(nil, choose)
	c.runs.OnSelect = func(row int) { w.store.Do(SelectRun{c.state.Study.Runs[row].ID}) }
	c.between.OnSelect = func(row int) { w.store.Do(CompareMeasure{comparedMeasures()[row].Key}) }
	var names []string
	for _, m := range comparedMeasures() {
		names = append(names, m.Label)
	}
	c.measure = newPick(w, names, func(i int) { w.store.Do(CompareMeasure{comparedMeasures()[i].Key}) })
	c.pages = newChoice(comparePages, func(i int) { w.store.Do(ShowComparePage{i}) })
	flagged := container.NewHBox()
	for _, code := range study.Doubtful {
		check := widget.NewCheck("leave out “"+flagWord(capture.Flag{Code: code})+"”", func(on bool) {
			w.win.Canvas().Unfocus()
			w.store.Do(LeaveOut{code, on})
		})
		c.leaveOut = append(c.leaveOut, check)
		flagged.Add(check)
	}
	c.margin = newEntry(func() { w.win.Canvas().Unfocus() })
	c.margin.OnSubmitted = func(text string) {
		w.win.Canvas().Unfocus()
		w.setMargin(c.state.measure(), text)
	}

	wide := func(o fyne.CanvasObject, width float32) fyne.CanvasObject {
		return container.NewGridWrap(fyne.NewSize(width, o.MinSize().Height), o)
	}
	c.clubs = container.NewHBox(labelled("Prototype", wide(c.prototype, 250)), labelled("against baseline", wide(c.baseline, 250)))
	copyPlayers := widget.NewButtonWithIcon("Copy by player", theme.ContentCopyIcon(), func() {
		w.copyText(c.byPlayer.Text(), "The differences by player are on the clipboard, with tabs between the columns.")
	})
	copyPlayers.Importance = widget.LowImportance
	c.measures = container.NewHBox(wide(c.measure, 300), labelled("the same within ±", wide(c.margin, 64)), c.marginOf, copyPlayers)
	copyAnswer := widget.NewButtonWithIcon("Copy", theme.ContentCopyIcon(), func() {
		w.copyText(c.answer.Text+"\n"+c.basis.Text+"\n"+c.words.Text, "The answer and what it rests on are on the clipboard.")
	})
	copyAnswer.Importance = widget.LowImportance

	between := container.NewBorder(w.copyable("At impact and at peaks", c.between), nil, nil, nil, c.between)
	split := container.NewHSplit(container.NewVScroll(c.forest), container.NewVScroll(c.words))
	split.Offset = 0.6
	difference := container.NewVSplit(split, between)
	difference.Offset = 0.42
	c.curve = widgets.NewPlot("", "", "")
	c.again = widget.NewButton("Compare the curves", w.compareCurves)
	curves := container.NewHSplit(c.curve, container.NewBorder(container.NewHBox(c.again), nil, nil, nil, container.NewVScroll(c.curveWords)))
	curves.Offset = 0.6
	c.stack = []fyne.CanvasObject{
		difference,
		curves,
		container.NewBorder(w.copyable("Where each player loads and releases the shaft", c.loading), nil, nil, nil, c.loading),
		container.NewBorder(w.copyable("Every run at impact", c.runs), nil, nil, nil, c.runs),
	}
	top := container.NewVBox(
		container.NewBorder(nil, nil, nil, container.NewVBox(copyAnswer), c.answer), c.basis, c.clubs,
		container.NewHBox(c.pages.root, flagged), c.measures)
	c.root = container.NewBorder(top, nil, nil, nil, container.NewStack(c.stack...))
	return c
}

// copyText puts a text on the clipboard, and says so.
func (w *Window) copyText(text, said string) {
	w.app.Clipboard().SetContent(strings.TrimSpace(text))
	w.store.Do(Say{Notice{Text: said}})
}

// clubID returns the club a name in the selects stands for, "" for the role.
func (c *compareScreen) clubID(name string) string {
	for _, club := range c.state.Study.Clubs {
		if clubLabel(c.state.Study, club.ID) == name {
			return club.ID
		}
	}
	return ""
}

func (c *compareScreen) present(s State) {
	was := c.state
	c.state = s
	c.pages.set(s.ComparePage)
	for i, page := range c.stack {
		show(page, i == s.ComparePage)
	}
	show(c.measures, s.ComparePage < 2)
	if i := s.measureIndex(); i != c.shownMeasure || s.Study != was.Study || s.Comparison != was.Comparison || s.Curves != was.Curves ||
		s.Job.Title != was.Job.Title || !slices.Equal(s.LeaveOut, was.LeaveOut) || !slices.Equal(s.Results, was.Results) {
		c.shownMeasure = i
		c.measure.set(i)
		for k, check := range c.leaveOut {
			if on := slices.Contains(s.LeaveOut, study.Doubtful[k]); on != check.Checked {
				check.Checked = on
				check.Refresh()
			}
		}
		c.presentClubs(s)
		c.presentComparison(s)
		c.presentCurves(s)
		c.presentRuns(s)
		if s.Comparison != nil && c.between.Selected() != i {
			c.between.Select(i)
		}
	}
	if i := s.RunIndex(s.Selected); i >= 0 && c.runs.Selected() != i {
		c.runs.Select(i)
	}
}

// presentClubs fills the selects; with one club of each role there is nothing
// to choose.
func (c *compareScreen) presentClubs(s State) {
	var baselines, prototypes []string
	for _, club := range s.Study.Clubs {
		name := clubLabel(s.Study, club.ID)
		if club.Role == study.Baseline {
			baselines = append(baselines, name)
		} else {
			prototypes = append(prototypes, name)
		}
	}
	fill := func(sel *widget.Select, names []string, id string) {
		sel.Options = append([]string{byRole}, names...)
		sel.Selected = byRole
		if id != "" {
			sel.Selected = clubLabel(s.Study, id)
		}
		sel.Refresh()
	}
	fill(c.baseline, baselines, s.Baseline)
	fill(c.prototype, prototypes, s.Prototype)
	show(c.clubs, len(baselines) > 1 || len(prototypes) > 1)
}

// presentComparison shows the answer, the forest of the chosen measure and the
// tables.
func (c *compareScreen) presentComparison(s State) {
	cmp := s.Comparison
	if cmp == nil {
		for _, t := range []*widgets.ValueTable{c.between, c.byPlayer, c.loading} {
			t.SetRows(nil)
		}
		c.basis.SetText("")
		c.words.SetText("")
		c.margin.SetText("")
		c.marginOf.SetText("")
		c.forest.SetEffects("", nil, 0)
		switch {
		case s.CompareErr != nil:
			c.answer.SetText(sentence(s.CompareErr))
		case s.Job.Title != "":
			c.answer.SetText("The answer follows when every run is analysed.")
		default:
			c.answer.SetText("Not every run is analysed, so nothing is compared. Choose “Analyse again” in the menu.")
		}
		return
	}
	c.answer.SetText(answer(cmp))
	c.basis.SetText(basis(s.Study, cmp))
	d := s.difference()
	margin := d.Equivalence.Margin
	c.margin.SetText(decimal(margin.Value, -1))
	c.marginOf.SetText(d.Measure.Unit + " (" + margin.Source + ")")
	c.words.SetText(measureWords(cmp, d))
	c.forest.SetEffects("difference of "+strings.ToLower(d.Measure.Label)+", "+d.Measure.Unit+", prototype minus baseline; the band is ±"+
		decimal(margin.Value, -1)+" "+d.Measure.Unit, effects(s.Study, cmp, d), margin.Value)
	c.byPlayer.SetHeader(playerHeader(d.Measure)...)
	c.byPlayer.SetRows(playerRows(s.Study, cmp, d))
	c.between.SetHeader(differenceHeader...)
	c.between.SetRows(differenceRows(cmp))
	c.loading.SetHeader("player", "measure", "baseline mean", "SD", "prototype mean", "SD", "difference", "95 % interval")
	c.loading.SetRows(loadingRows(s.Study, cmp))
}

// presentCurves shows where the curve of the chosen measure differs.
func (c *compareScreen) presentCurves(s State) {
	found := s.curves()
	show(c.again, found == nil && s.Comparison != nil && s.Job.Title == "")
	switch {
	case found == nil && s.Job.Title != "":
		c.curveWords.SetText("The curves follow.")
	case found == nil:
		c.curveWords.SetText("The curves are not compared yet.")
	case found.Err != nil:
		c.curveWords.SetText(sentence(found.Err))
	default:
		c.curveWords.SetText(curveWords(found))
	}
	title, x, y, curves := curveOf(found, s.measure())
	c.curve.SetTitles(title, x, y)
	c.curve.SetCurves(curves)
}

// presentRuns lists the runs with what is apart or doubtful about each.
func (c *compareScreen) presentRuns(s State) {
	header := []string{"run"}
	for _, m := range study.Measures {
		header = append(header, m.Label+", "+m.Unit)
	}
	c.runs.SetHeader(append(header, "compared", "player", "club", "by hand")...)
	var rows []widgets.Row
	for i, run := range s.Study.Runs {
		row := widgets.Row{Cells: []string{run.ID}}
		for _, m := range study.Measures {
			text := "–"
			if r := s.Results[i]; r != nil && r.OK() {
				text = shownEstimate(m, m.AtImpact(r.Swing))
			}
			row.Cells = append(row.Cells, text)
		}
		how, doubtful := inComparison(s.Comparison, run.ID)
		row.Cells = append(row.Cells, how, playerLabel(s.Study, run.Player), clubLabel(s.Study, run.Club), strings.Join(run.Corrections(), ", "))
		switch r := s.Results[i]; {
		case s.Waits(i) || run.Excluded != "":
			row.Tone = widgets.Muted
		case doubtful || !r.OK():
			row.Tone = widgets.Warn
		}
		rows = append(rows, row)
	}
	c.runs.SetRows(rows)
}
