package app

import (
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// A limitsPage holds each club against its spec: a table of all, and a picture of
// where one club's values lie between their limits.
type limitsPage struct {
	root   fyne.CanvasObject
	checks *widgets.ValueTable
	rowOf  []string // clubs
	whose  *widget.Label
	limits *widgets.Forest
	flags  *widget.Label
}

func newLimitsPage(w *Window) *limitsPage {
	c := &limitsPage{checks: widgets.NewValueTable("club", "item", "measured", "target", "lowest", "highest", "unit", "verdict"),
		limits: widgets.NewForest(), whose: widget.NewLabel(""), flags: newWords("")}
	c.checks.OnSelect = func(row int) { w.store.Do(ShowBenchClub{c.rowOf[row]}) }
	c.whose.TextStyle.Bold = true
	c.whose.Truncation = fyne.TextTruncateEllipsis
	side := container.NewHSplit(c.checks, container.NewBorder(c.whose, nil, nil, nil, container.NewVScroll(c.limits)))
	side.Offset = 0.62
	split := container.NewVSplit(side, container.NewVScroll(c.flags))
	split.Offset = 0.78
	c.root = container.NewBorder(w.copyable("Each club against its spec", c.checks), nil, nil, nil, split)
	return c
}

// present shows what the bench says of clubs, nil where that is not known.
func (c *limitsPage) present(s State, clubs []study.ClubBench) {
	rows, of := checkRows(s.Study, clubs)
	c.rowOf = of
	c.checks.SetRows(rows)
	c.flags.SetText(benchFlags(s.Study, clubs))
	c.mark(s, clubs)
}

// mark draws the limits of the club that is chosen, else of the first in the
// table.
func (c *limitsPage) mark(s State, clubs []study.ClubBench) {
	club := s.BenchClub
	if !slices.Contains(c.rowOf, club) {
		if club = ""; len(c.rowOf) > 0 {
			club = c.rowOf[0]
		}
	}
	i := slices.IndexFunc(clubs, func(b study.ClubBench) bool { return b.Club == club })
	if i < 0 {
		c.checks.Select(-1)
		c.whose.SetText("")
		c.limits.SetEffects("", nil, 0)
		return
	}
	if at := c.checks.Selected(); at < 0 || c.rowOf[at] != club {
		c.checks.Select(slices.Index(c.rowOf, club))
	}
	c.whose.SetText(clubLabel(s.Study, club))
	c.limits.SetEffects("−1: lowest allowed, 1: highest", limitEffects(clubs[i].Checks), 1)
}

// limitEffects places the values of a sheet between their limits. Of an EI that
// was measured in two ways there are two.
func limitEffects(checks []study.Check) []widgets.Effect {
	var list []widgets.Effect
	nan := math.NaN()
	for _, k := range checks {
		half := (k.High - k.Low) / 2
		e := widgets.Effect{Label: checkLabel(k), Value: (k.Value - k.Low - half) / half, Low: nan, High: nan,
			Text: decimal(k.Value, k.Digits) + " " + k.Unit, Warn: k.Verdict == study.Failed}
		if math.IsNaN(k.Value) || k.Verdict == study.Missing {
			e.Value, e.Text = nan, k.Verdict.String()
		}
		list = append(list, e)
	}
	return list
}

// checkLabel names an item of the spec, an EI by its station and its source: what
// is held against the spec is how far it is off its target, %.
func checkLabel(k study.Check) string {
	if math.IsNaN(k.StationMM) {
		return k.Label
	}
	return "EI at " + decimal(k.StationMM, 0) + " mm, " + strings.ReplaceAll(k.Source, "_", " ")
}

// checkRows returns every item that a spec names, and the club of each: first
// those out of spec, then those that are missing.
func checkRows(st *study.Study, clubs []study.ClubBench) (rows []widgets.Row, of []string) {
	for _, want := range []study.Verdict{study.Failed, study.Missing, study.Passed} {
		for _, b := range clubs {
			for _, k := range b.Checks {
				if k.Verdict != want {
					continue
				}
				target := k.Target
				if !math.IsNaN(k.StationMM) {
					target = 0
				}
				row := widgets.Row{Cells: []string{clubLabel(st, b.Club), checkLabel(k), decimal(k.Value, k.Digits), decimal(target, k.Digits),
					decimal(k.Low, k.Digits), decimal(k.High, k.Digits), k.Unit, k.Verdict.String()}}
				switch k.Verdict {
				case study.Failed:
					row.Tone = widgets.Warn
				case study.Missing:
					row.Tone = widgets.Muted
				}
				rows, of = append(rows, row), append(of, b.Club)
			}
		}
	}
	return rows, of
}
