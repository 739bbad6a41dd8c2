package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bendline/app/study"
	"bendline/widgets"
)

// A sizePage tells what a study of this size can show, and how many more runs
// would be needed.
type sizePage struct {
	root fyne.CanvasObject
	size *widgets.ValueTable
}

func newSizePage(w *Window) *sizePage {
	c := &sizePage{size: widgets.NewValueTable()}
	how := newWords("The smallest true difference that a study like this finds four times in five, at 5 % and two-sided, and how many it takes to find one as large as the margin: runs of each player with each club, or players with as many runs as now. The spread of runs is that found here: a plan, not a promise.")
	c.root = container.NewBorder(container.NewVBox(w.copyable("What this study can show", c.size), how), nil, nil, nil, c.size)
	return c
}

func (c *sizePage) object() fyne.CanvasObject { return c.root }

func (c *sizePage) present(_ State, cmp *study.Comparison) {
	c.size.SetHeader("", "smallest shown", "found", "margin ±", "runs needed", "more", "or players", "more",
		"SD of a player's runs", "of it measurement", "player's own", "measurement, % of variance")
	if cmp == nil {
		c.size.SetRows(nil)
		return
	}
	c.size.SetRows(sizeRows(cmp))
}

func sizeRows(cmp *study.Comparison) []widgets.Row {
	var rows []widgets.Row
	for _, d := range slices.Concat(cmp.Measures, cmp.Peaks) {
		n, p := d.Measure.Digits, d.Power
		need := func(all, more int, applies bool) (string, string) {
			switch {
			case math.IsNaN(p.Smallest) || !applies:
				return "–", "–"
			case all == 0:
				return ">1000", "–"
			}
			return fmt.Sprint(all), fmt.Sprint(more)
		}
		runs, runsMore := need(p.Runs, p.RunsMore, true)
		players, playersMore := need(p.Players, p.PlayersMore, cmp.Design == study.ManyPlayer)
		share := d.Spread.Share() * 100
		if math.IsNaN(d.Spread.Player) {
			share = math.NaN()
		}
		rows = append(rows, widgets.Row{Cells: []string{d.Measure.Label + ", " + d.Measure.Unit,
			decimal(p.Smallest, n), signed(d.Value, n), decimal(p.Sought, -1), runs, runsMore, players, playersMore,
			decimal(d.Spread.Runs, n+1), decimal(d.Spread.Measurement, n+1), decimal(d.Spread.Player, n+1), decimal(share, 0)}})
	}
	return rows
}

// powerWords says what the study can show of a measure, and what more it takes.
func powerWords(cmp *study.Comparison, d study.Difference) string {
	m, p := d.Measure, d.Power
	if math.IsNaN(p.Smallest) {
		return "What a study like this can show is not known: " + strings.TrimRight(study.Plain(d.Why), ".") + "."
	}
	margin := decimal(p.Sought, -1) + " " + m.Unit
	text := fmt.Sprintf("A study like this finds a difference of %s %s four times in five", decimal(p.Smallest, m.Digits), m.Unit)
	if p.Smallest <= p.Sought {
		return text + ", which is less than the margin of " + margin + "."
	}
	var ways []string
	switch {
	case p.RunsMore > 0:
		ways = append(ways, "each player needs "+plural(p.RunsMore, "more run")+" with each club")
	case p.Runs == 0:
		ways = append(ways, "no number of runs up to 1000 is enough with these players")
	}
	switch {
	case cmp.Design == study.OnePlayer:
	case p.PlayersMore > 0:
		ways = append(ways, "it needs "+plural(p.PlayersMore, "more player"))
	case p.Players == 0:
		ways = append(ways, "no number of players up to 1000 is enough with these runs")
	}
	if len(ways) == 0 {
		return text + "."
	}
	return text + "; to find " + margin + ", " + strings.Join(ways, ", or ") + "."
}
