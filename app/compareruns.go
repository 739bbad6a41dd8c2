package app

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// A loadingPage tells where in the swing a player loads and releases.
type loadingPage struct {
	root     fyne.CanvasObject
	whose    *widget.Select
	loading  *widgets.ValueTable
	everyone *widgets.ValueTable // the tables of all players, to copy
	lead     *widgets.Plot
	droop    *widgets.Plot
	players  []string // ids, "" for all together
}

func newLoadingPage(w *Window) *loadingPage {
	c := &loadingPage{loading: widgets.NewValueTable(loadingHeader...), everyone: widgets.NewValueTable(append([]string{"player"}, loadingHeader...)...),
		lead: widgets.NewPlot("Lead on the way to impact, mean ± SD", "ms to impact", "mm"), droop: widgets.NewPlot("Droop on the way to impact, mean ± SD", "ms to impact", "mm")}
	c.whose = widget.NewSelect(nil, func(string) {
		w.win.Canvas().Unfocus()
		if i := c.whose.SelectedIndex(); i >= 0 {
			w.store.Do(LookAtLoading{c.players[i]})
		}
	})
	head := container.NewHBox(heading("Where the shaft is loaded and released"), wide(c.whose, 330),
		w.copyButton("Copy", c.loading.Text, "The table is on the clipboard, with tabs between its columns."),
		w.copyButton("Copy every player", c.everyone.Text, "The tables of every player are on the clipboard, with tabs between the columns."))
	split := container.NewVSplit(c.loading, container.New(sideBySide{}, c.lead, c.droop))
	split.Offset = 0.46
	c.root = container.NewBorder(head, nil, nil, nil, split)
	return c
}

func (c *loadingPage) object() fyne.CanvasObject { return c.root }

func (c *loadingPage) present(s State, cmp *study.Comparison) {
	c.players, c.whose.Options = nil, nil
	if cmp == nil {
		c.loading.SetRows(nil)
		c.everyone.SetRows(nil)
		c.lead.SetCurves(nil)
		c.droop.SetCurves(nil)
		c.whose.ClearSelected()
		return
	}
	tables := cmp.Loading()
	if len(tables) > 1 {
		tables = append([]study.Loading{cmp.LoadingOfAll()}, tables...)
	}
	shown := 0
	var all []widgets.Row
	for i, l := range tables {
		name := allPlayers
		if l.Player != "" || len(tables) == 1 {
			name = playerLabel(s.Study, l.Player)
		}
		if l.Player == s.Loader {
			shown = i
		}
		c.players, c.whose.Options = append(c.players, l.Player), append(c.whose.Options, name)
		for _, r := range loadingRows(l) {
			all = append(all, widgets.Row{Cells: append([]string{name}, r.Cells...)})
		}
	}
	c.whose.Selected = c.whose.Options[shown]
	c.whose.Refresh()
	c.loading.SetRows(loadingRows(tables[shown]))
	c.everyone.SetRows(all)
	c.lead.SetCurves(loadingCurves(cmp, tables[shown].Player, study.Measures[0]))
	c.droop.SetCurves(loadingCurves(cmp, tables[shown].Player, study.Measures[1]))
}

// loadingCurves returns the mean course of a measure with each club, of a player
// or, for "", of all.
func loadingCurves(cmp *study.Comparison, player string, m study.Measure) []widgets.Curve {
	curve := func(label string, dash widgets.Dash, runs []*study.Result) widgets.Curve {
		if player != "" {
			runs = slices.DeleteFunc(slices.Clone(runs), func(r *study.Result) bool { return r.Run.Player != player })
		}
		set := study.MeanCurve(runs, m)
		c := widgets.Curve{Label: label, Dash: dash, X: make([]float64, len(set.X)), Y: set.Mean, Low: set.Low, High: set.High, Filled: set.Filled}
		for i, x := range set.X {
			c.X[i] = x * milli
		}
		return c
	}
	return []widgets.Curve{curve("baseline", widgets.Solid, cmp.BaselineRuns), curve("prototype", widgets.Dashed, cmp.PrototypeRuns)}
}

// A comparedRunsPage lists the runs with what is apart or doubtful about each.
type comparedRunsPage struct {
	root  fyne.CanvasObject
	runs  *widgets.ValueTable
	rowOf []string // run ids
}

func newComparedRunsPage(w *Window) *comparedRunsPage {
	c := &comparedRunsPage{runs: widgets.NewValueTable()}
	c.runs.OnSelect = func(row int) { w.store.Do(SelectRun{c.rowOf[row]}) }
	c.root = container.NewBorder(w.copyable("Every run at impact", c.runs), nil, nil, nil, c.runs)
	return c
}

func (c *comparedRunsPage) object() fyne.CanvasObject { return c.root }

func (c *comparedRunsPage) present(s State, cmp *study.Comparison) {
	header := []string{"run"}
	for _, m := range study.Measures {
		header = append(header, m.Label+", "+m.Unit)
	}
	var rows []widgets.Row
	c.rowOf = nil
	for i, run := range s.Study.Runs {
		row := widgets.Row{Cells: []string{run.ID}}
		for _, m := range study.Measures {
			text := "–"
			if r := s.Results[i]; r != nil && r.OK() {
				text = shownEstimate(m, m.AtImpact(r.Swing))
			}
			row.Cells = append(row.Cells, text)
		}
		how, doubtful := inComparison(cmp, run.ID)
		row.Cells = append(row.Cells, how, playerLabel(s.Study, run.Player), clubLabel(s.Study, run.Club), strings.Join(run.Corrections(), ", "))
		switch r := s.Results[i]; {
		case s.Waits(i) || run.Excluded != "":
			row.Tone = widgets.Muted
		case doubtful || !r.OK():
			row.Tone = widgets.Warn
		}
		rows = append(rows, row)
		c.rowOf = append(c.rowOf, run.ID)
	}
	c.runs.SetHeader(append(header, "compared", "player", "club", "by hand")...)
	c.runs.SetRows(rows)
	c.mark(s)
}

// mark shows which run is selected.
func (c *comparedRunsPage) mark(s State) {
	if i := s.RunIndex(s.Selected); i >= 0 && i < len(c.rowOf) && c.runs.Selected() != i {
		c.runs.Select(i)
	}
}
