package app

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// bayDownswing is how the player loads and releases each shaft: lead and droop
// on the way to impact, and when and where.
type bayDownswing struct {
	root        fyne.CanvasObject
	lead, droop *widgets.Plot
	table       *bayFigures
	words       *widget.Label
}

// looksNote says how the differences are judged.
const looksNote = "A difference counts as larger than the player’s own spread when its 99 % interval leaves out zero: one looks after every swing, and of two shafts that are the same, ten looks then show a difference once in 20 times. Each measure is judged by itself. These are measurements; they do not say which shaft to play."

func newBayDownswing() *bayDownswing {
	d := &bayDownswing{
		lead:  widgets.NewPlot("Lead on the way to impact", "ms to impact", "mm"),
		droop: widgets.NewPlot("Droop on the way to impact", "ms to impact", "mm"),
		table: newBayFigures(), words: newWords(""),
	}
	d.table.plain = true
	plots := container.NewGridWithRows(2, d.lead, d.droop)
	right := container.NewVSplit(d.table, container.NewVScroll(d.words))
	right.Offset = 0.58
	split := container.NewHSplit(plots, right)
	split.Offset = 0.4
	d.root = split
	return d
}

func (d *bayDownswing) present(s State, shafts []study.Shaft) {
	var lead, droop []widgets.Curve
	header := []figureCell{{text: "Load and release, mean ± sd"}}
	var swung []study.Shaft
	for _, f := range shafts {
		if len(f.Runs) == 0 {
			continue
		}
		swung = append(swung, f)
		name := clubLabel(s.Study, f.Club)
		slot := s.Bay.slotOf(f.Club)
		_, dash := widgets.Style(slot)
		colour := colourOf(slot)
		header = append(header, figureCell{text: fmt.Sprintf("%d %s", slot+1, name), color: colour})
		for k, list := range []*[]widgets.Curve{&lead, &droop} {
			c := study.MeanCurve(f.Runs, study.Measures[k])
			x := make([]float64, len(c.X))
			for i, t := range c.X {
				x[i] = t * milli
			}
			curve := widgets.Curve{Label: name, X: x, Y: c.Mean, Color: colour, Dash: dash}
			if c.N > 1 {
				curve.Low, curve.High = c.Low, c.High
			}
			*list = append(*list, curve)
		}
	}
	d.lead.SetCurves(lead)
	d.droop.SetCurves(droop)
	reference, other, two := pair(s.Bay, shafts)
	var stand []study.Standing
	if two {
		head := differenceHead(s.Bay, reference, other)
		header = append(header, figureCell{text: head.under}, figureCell{text: head.text})
		stand = standings(s.Study, shafts, reference, other, study.Release)
	}
	rows := [][]figureCell{header}
	for i, m := range study.Release {
		cells := []figureCell{{text: m.Label + ", " + m.Unit}}
		for _, f := range swung {
			cells = append(cells, spreadCell(f.Summary(m), m.Digits))
		}
		if two {
			c := differenceCell(stand[i], m.Digits)
			how := figureCell{text: c.under, ink: c.ink}
			c.under = ""
			cells = append(cells, c, how)
		}
		rows = append(rows, cells)
	}
	d.table.set(rows)
	d.words.SetText(d.say(s, swung, reference, other, two, stand))
}

// onePlace is the spread of where a shaft bends most up to which the mean is a
// place where it does, mm: a shaft that bends as much at two places jumps from one
// to the other. Common practice, no source.
const onePlace = 100

// bentMost says where along a shaft it bends most.
func bentMost(v study.Summary) string {
	if v.SD > onePlace {
		return ", at one place of the shaft in one swing and at another in the next"
	}
	return fmt.Sprintf(", most of all %s mm from the butt", decimal(v.Mean, 0))
}

// say tells in sentences how the player loads and releases each shaft, and then
// every difference.
func (d *bayDownswing) say(s State, swung []study.Shaft, reference, other study.Shaft, two bool, stand []study.Standing) string {
	player := playerLabel(s.Study, s.Bay.Player)
	var lines []string
	if len(swung) > 0 {
		lines = append(lines, "Lines are means, bands ± 1 standard deviation from swing to swing.")
	}
	for _, f := range swung {
		mean := func(i int) string { return decimal(f.Summary(study.Release[i]).Mean, study.Release[i].Digits) }
		lines = append(lines, fmt.Sprintf("%s: %s bends it back most, by %s mm, %s ms before impact%s; it is straight again %s ms before impact, and droops from %s ms before impact on.",
			clubLabel(s.Study, f.Club), player, mean(0), mean(1), bentMost(f.Summary(study.Release[6])), mean(5), mean(4)))
	}
	if two {
		a, b := clubLabel(s.Study, reference.Club), clubLabel(s.Study, other.Club)
		var all []study.Measure
		for _, m := range bayMeasures {
			all = append(all, m.Measure)
		}
		lines = append(lines, "")
		for _, x := range append(standings(s.Study, s.shafts(), reference, other, all), stand...) {
			lines = append(lines, x.Words(a, b))
		}
	}
	lines = append(lines, "", looksNote)
	return strings.Join(lines, "\n")
}
