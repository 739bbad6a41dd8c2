package app

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// flagWord returns a flag in a word or two: "gap S06".
func flagWord(f capture.Flag) string {
	return strings.TrimSpace(strings.ReplaceAll(string(f.Code), "_", " ") + " " + f.Marker)
}

// dataScreen shows how good the data of each run are.
type dataScreen struct {
	root     fyne.CanvasObject
	table    *widgets.ValueTable
	settings *widget.Label
	state    State
}

func newDataScreen(w *Window) *dataScreen {
	c := &dataScreen{settings: newWords(""), table: widgets.NewValueTable("run", "state", "to know and by hand", "frames", "per second",
		"markers", "residual, mm", "player", "club")}
	c.table.OnSelect = func(row int) { w.store.Do(SelectRun{c.state.Study.Runs[row].ID}) }
	about := newWords("Residual is the root mean square distance of the markers from the fitted club, from top to impact. Select a run to read its flags in full at the left.")
	about.Importance = widget.LowImportance
	set := container.NewBorder(nil, nil, nil, widget.NewButton("Filter and window…", w.askSettings), c.settings)
	c.root = container.NewBorder(container.NewVBox(w.copyable("Data of every run", c.table), set, about), nil, nil, nil, c.table)
	return c
}

func (c *dataScreen) present(s State) {
	was := c.state
	c.state = s
	if s.Study != was.Study || !slices.Equal(s.Results, was.Results) {
		var rows []widgets.Row
		for i, run := range s.Study.Runs {
			rows = append(rows, dataRow(s.Study, run, s.Results[i]))
		}
		c.table.SetRows(rows)
		c.settings.SetText(settingsSentence(s))
	}
	if i := s.RunIndex(s.Selected); i >= 0 && c.table.Selected() != i {
		c.table.Select(i)
	}
}

// dataRow returns the line of a run.
func dataRow(st *study.Study, run study.Run, r *study.Result) widgets.Row {
	word, _ := status(run, r)
	row := widgets.Row{Cells: []string{run.ID, word, "", "", "", "", "", playerLabel(st, run.Player), clubLabel(st, run.Club)}}
	if r == nil {
		row.Tone = widgets.Muted
		return row
	}
	if r.Capture.Frames > 0 {
		row.Cells[3] = fmt.Sprint(r.Capture.Frames)
		row.Cells[4] = fmt.Sprintf("%.0f", r.Capture.Rate)
		row.Cells[5] = fmt.Sprint(r.Capture.Markers)
	}
	what := run.Corrections()
	if r.Changed {
		what = append(what, "capture changed")
	}
	if run.Excluded != "" {
		row.Tone = widgets.Muted
		what = append(what, "left out")
	}
	if !r.OK() {
		row.Tone = widgets.Warn
		what = append(what, "see left for the reason")
	} else {
		row.Cells[6] = decimal(r.Swing.RMS*1e3, 2)
	}
	for _, f := range r.Flags {
		if word := flagWord(f); !slices.Contains(what, word) {
			what = append(what, word)
		}
	}
	if slices.ContainsFunc(r.Flags, serious) && row.Tone == widgets.Normal {
		row.Tone = widgets.Warn
	}
	row.Cells[2] = strings.Join(what, ", ")
	return row
}
