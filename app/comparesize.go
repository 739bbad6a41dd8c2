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

// A sizePage tells what a study of this size can show, how many more runs would
// be needed, and draws it for one measure.
type sizePage struct {
	root              fyne.CanvasObject
	size              *widgets.ValueTable
	byRuns, byPlayers *widgets.Plot // the smallest difference shown, by their number
}

func newSizePage(w *Window) *sizePage {
	c := &sizePage{size: widgets.NewValueTable(), byRuns: widgets.NewPlot("", "runs of each player with each club", ""), byPlayers: widgets.NewPlot("", "players, with runs as they are", "")}
	c.size.OnSelect = func(row int) { w.store.Do(CompareMeasure{comparedMeasures()[row].Key}) }
	how := newWords("The smallest true difference that a study like this finds four times in five, at 5 % and two-sided, and how many it takes to find one as large as the margin: runs of each player with each club, or players with as many runs as now. The spread of runs is that found here, and how roughly few runs tell it counts: a plan, not a promise.")
	split := container.NewVSplit(c.size, container.New(sideBySide{}, c.byRuns, c.byPlayers))
	split.Offset = 0.48
	c.root = container.NewBorder(container.NewVBox(w.copyable("What this study can show", c.size), how), nil, nil, nil, split)
	return c
}

func (c *sizePage) object() fyne.CanvasObject { return c.root }

func (c *sizePage) present(s State, cmp *study.Comparison) {
	c.size.SetHeader("", "smallest shown", "found", "margin ±", "runs needed", "more", "or players", "more",
		"SD of a player's runs", "of it measurement", "player's own", "measurement, % of variance")
	if cmp == nil {
		c.size.SetRows(nil)
		c.byRuns.SetCurves(nil)
		c.byPlayers.SetCurves(nil)
		return
	}
	c.size.SetRows(sizeRows(cmp))
	c.size.Select(s.measureIndex())
	d := slices.Concat(cmp.Measures, cmp.Peaks)[s.measureIndex()]
	p := d.Power
	runs, players := p.Now()
	what := "Smallest difference of " + strings.ToLower(d.Measure.Label) + " that is found, by "
	c.byRuns.SetTitles(what+"runs", "runs of each player with each club", d.Measure.Unit)
	c.byPlayers.SetTitles(what+"players", "players, with runs as they are", d.Measure.Unit)
	showReach(c.byRuns, d, runs, p.Runs, p.WithRuns)
	showReach(c.byPlayers, d, players, p.Players, p.WithPlayers)
	show(c.byPlayers, cmp.Design == study.ManyPlayer)
}

// showReach draws the smallest difference that is found over how many there are,
// with the margin, and marks how many there are now and how many are needed for
// it, 0 where no number is enough.
func showReach(plot *widgets.Plot, d study.Difference, now, needed int, smallest func(n int) float64) {
	const fewest, most = 12, 60
	last := min(most, max(fewest, 2*now, needed+2))
	curve := widgets.Curve{Label: "found four times in five"}
	margin := widgets.Curve{Label: "margin", Dash: widgets.Dashed}
	for n := 1; n <= last; n++ {
		curve.X, curve.Y = append(curve.X, float64(n)), append(curve.Y, smallest(n))
		margin.X, margin.Y = append(margin.X, float64(n)), append(margin.Y, d.Power.Sought)
	}
	// With two players next to nothing is found, which would leave no room for the rest.
	top := 6 * d.Power.Sought
	if !math.IsNaN(d.Power.Smallest) {
		top = math.Max(top, 1.5*d.Power.Smallest)
	}
	for i, v := range curve.Y {
		if v > top {
			curve.Y[i] = math.NaN()
		}
	}
	plot.SetCurves([]widgets.Curve{curve, margin})
	marks := []widgets.Mark{{At: float64(now), Label: "now"}}
	if needed > now && needed <= last {
		marks = append(marks, widgets.Mark{At: float64(needed), Label: "needed"})
	}
	plot.SetMarks(marks)
	plot.SetSpan(0, 1.05*slices.Max(slices.DeleteFunc(slices.Concat(curve.Y, margin.Y), math.IsNaN)))
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
