package app

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bendline/app/study"
	"bendline/widgets"
)

// A loadingPage tells where in the swing each player loads and releases.
type loadingPage struct {
	root    fyne.CanvasObject
	loading *widgets.ValueTable
}

func newLoadingPage(w *Window) *loadingPage {
	c := &loadingPage{loading: widgets.NewValueTable("player", "measure", "baseline mean", "SD", "prototype mean", "SD", "difference", "95 % interval", "baseline runs", "prototype runs")}
	c.root = container.NewBorder(w.copyable("Where each player loads and releases the shaft", c.loading), nil, nil, nil, c.loading)
	return c
}

func (c *loadingPage) object() fyne.CanvasObject { return c.root }

func (c *loadingPage) present(s State, cmp *study.Comparison) {
	if cmp == nil {
		c.loading.SetRows(nil)
		return
	}
	c.loading.SetRows(loadingRows(s.Study, cmp))
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
