package app

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// impactScreen shows the values at impact: what the comparison says, and the
// runs it rests on.
type impactScreen struct {
	root                fyne.CanvasObject
	clubs               fyne.CanvasObject
	baseline, prototype *widget.Select
	answer, basis       *widget.Label
	between, runs       *widgets.ValueTable
	state               State
}

// byRole stands in the selects for the clubs of a role, whatever their hand.
const byRole = "as the study has it"

func newImpactScreen(w *Window) *impactScreen {
	c := &impactScreen{answer: newWords(""), basis: newWords(""), runs: widgets.NewValueTable(),
		between: widgets.NewValueTable()}
	c.basis.Importance = widget.LowImportance
	pick := func(string) {
		w.store.Do(CompareClubs{c.clubID(c.baseline.Selected), c.clubID(c.prototype.Selected)})
		w.win.Canvas().Unfocus()
	}
	c.baseline, c.prototype = widget.NewSelect(nil, pick), widget.NewSelect(nil, pick)
	c.runs.OnSelect = func(row int) { w.store.Do(SelectRun{c.state.Study.Runs[row].ID}) }

	wide := func(o fyne.CanvasObject) fyne.CanvasObject {
		return container.NewGridWrap(fyne.NewSize(270, o.MinSize().Height), o)
	}
	c.clubs = container.NewHBox(labelled("Prototype", wide(c.prototype)), labelled("against baseline", wide(c.baseline)))
	between := container.New(&rowsLayout{len(study.Measures) + 1}, c.between)
	c.root = container.NewBorder(
		container.NewVBox(w.copyable("Does the prototype differ at impact?", c.between), c.clubs, c.answer, c.basis, between, w.copyable("Every run at impact", c.runs)),
		nil, nil, nil, c.runs)
	return c
}

// rowsLayout gives a table the height of so many lines, so that none is hidden.
type rowsLayout struct{ rows int }

func (l *rowsLayout) MinSize(o []fyne.CanvasObject) fyne.Size {
	line := widget.NewLabel("").MinSize().Height - theme.Padding()
	return fyne.NewSize(o[0].MinSize().Width, float32(l.rows)*line)
}

func (l *rowsLayout) Layout(o []fyne.CanvasObject, size fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(size)
}

// clubID returns the club a name in the selects stands for, "" for the role.
func (c *impactScreen) clubID(name string) string {
	for _, club := range c.state.Study.Clubs {
		if clubLabel(c.state.Study, club.ID) == name {
			return club.ID
		}
	}
	return ""
}

func (c *impactScreen) present(s State) {
	was := c.state
	c.state = s
	if s.Study != was.Study || s.Comparison != was.Comparison || s.Job.Title != was.Job.Title || !slices.Equal(s.Results, was.Results) {
		c.presentClubs(s)
		c.presentComparison(s)
		c.presentRuns(s)
	}
	if i := s.RunIndex(s.Selected); i >= 0 && c.runs.Selected() != i {
		c.runs.Select(i)
	}
}

// presentClubs fills the selects; with one club of each role there is nothing
// to choose.
func (c *impactScreen) presentClubs(s State) {
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

func (c *impactScreen) presentComparison(s State) {
	cmp := s.Comparison
	if cmp == nil {
		c.between.SetRows(nil)
		c.basis.SetText("")
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
	header := []string{"", "baseline mean", "SD", "prototype mean", "SD", "difference", "95 % interval", "p"}
	byPlayer := cmp.Design == study.ManyPlayer
	if byPlayer {
		for _, p := range cmp.Measures[0].ByPlayer {
			header = append(header, playerLabel(s.Study, p.Player))
		}
	}
	c.between.SetHeader(append(header, "")...)
	var rows []widgets.Row
	for _, d := range cmp.Measures {
		n := d.Measure.Digits
		cells := []string{
			d.Measure.Label + ", " + d.Measure.Unit,
			decimal(d.Baseline.Mean, n), decimal(d.Baseline.SD, n),
			decimal(d.Prototype.Mean, n), decimal(d.Prototype.SD, n),
			signed(d.Value, n), interval(d.Low, d.High, n), probability(d.P),
		}
		if byPlayer {
			for _, p := range d.ByPlayer {
				cells = append(cells, signed(p.Value, n)+" ("+interval(p.Low, p.High, n)+")")
			}
		}
		rows = append(rows, widgets.Row{Cells: append(cells, verdict(d))})
	}
	c.between.SetRows(rows)
}

func (c *impactScreen) presentRuns(s State) {
	header := []string{"run"}
	for _, m := range study.Measures {
		header = append(header, m.Label+", "+m.Unit)
	}
	c.runs.SetHeader(append(header, "player", "club", "by hand")...)
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
		row.Cells = append(row.Cells, playerLabel(s.Study, run.Player), clubLabel(s.Study, run.Club), strings.Join(run.Corrections(), ", "))
		switch r := s.Results[i]; {
		case s.Waits(i) || run.Excluded != "":
			row.Tone = widgets.Muted
		case !r.OK():
			row.Tone = widgets.Warn
		}
		rows = append(rows, row)
	}
	c.runs.SetRows(rows)
}
