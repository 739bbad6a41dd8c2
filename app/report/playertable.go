package report

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"

	"bendline/app/study"
)

const milePerHour = 0.44704 // m/s, exactly (NIST SP 811, 2008, appendix B.8)

// table has a row for each shaft and one for what a single swing is known to.
func (l *sheetLayout) table() *table {
	lead, droop, twist, speed := study.Measures[0], study.Measures[1], study.Measures[2], study.Measures[5]
	t := &table{size: 9.8, columns: []column{
		{head: "Shaft", words: true}, {head: "Swings"}, {head: "Head speed", unit: "m/s"}, {head: "", unit: "mph"},
		{head: "Forward", unit: "mm"}, {head: "Down", unit: "mm"}, {head: "Closed", unit: "°"}, {head: "Bent back", unit: "at most, mm"},
	}}
	labels := l.clubLabels()
	t.columns[0].among = &labels
	spread := func(g group, digits int, read reading) cell {
		mean, sd := g.mean(1, read)
		return cell{text: l.plusMinus(mean[0], sd[0], digits)}
	}
	lag := func(r *study.Result) []float64 { return []float64{-r.Swing.PeakLag.Value * 1e3} }
	for _, g := range l.groups {
		t.rows = append(t.rows, []cell{
			words(clubName(g.club) + g.star()), {text: l.number(float64(len(g.runs)), 0)},
			spread(g, 1, atImpact(speed)), {text: l.number(l.mean(g, 5)/milePerHour, 0)},
			spread(g, 1, atImpact(lead)), spread(g, 1, atImpact(droop)), spread(g, 2, atImpact(twist)), spread(g, 1, lag),
		})
	}
	known := func(me study.Measure) cell { return l.plusOrMinus(l.typicalU95(me), me.Digits) }
	row := []cell{words("One swing"), {}, known(speed), {}, known(lead), known(droop), known(twist), l.lagKnown()}
	for i := range row {
		row[i].tone = aside
	}
	t.rows = append(t.rows, row)
	return t
}

// lagKnown is what the peak lag of one swing is known to.
func (l *sheetLayout) lagKnown() cell {
	var u []float64
	for _, g := range l.groups {
		for _, r := range g.runs {
			if v := r.Swing.PeakLag.U95; !math.IsNaN(v) {
				u = append(u, v*1e3)
			}
		}
	}
	if len(u) == 0 {
		return cell{text: absent}
	}
	return l.plusOrMinus(median(u), 1)
}

// plusOrMinus returns a cell with "± v".
func (l *sheetLayout) plusOrMinus(v float64, digits int) cell {
	if math.IsNaN(v) {
		return cell{text: absent}
	}
	return cell{text: "±\u00a0" + l.number(v, digits)}
}

func (l *sheetLayout) tableHeight(t *table) vg.Length {
	f := t.pages(vg.Rectangle{Max: vg.Point{X: l.wide(), Y: l.size.Y}})[0]
	return f.Size().Y + 6
}

// differs says how this player's means differ between the clubs compared, and
// whether these swings resolve it.
func (l *sheetLayout) differs() []string {
	var all []string
	words := []string{"forward bend", "downward bend", "closing"}
	for i, d := range l.differences[:min(len(words), len(l.differences))] {
		for _, b := range d.ByPlayer {
			if b.Player != l.player || math.IsNaN(b.Value) {
				continue
			}
			_, suffix := unit(d.Measure)
			text := words[i] + " " + l.signed(b.Value, d.Measure.Digits) + suffix
			switch {
			case math.IsNaN(b.Low + b.High):
				text += " (too few swings for an interval)"
			default:
				text += fmt.Sprintf(" (95\u00a0%% interval %s%s)", l.span(b.Low, b.High, d.Measure.Digits), suffix)
				if !(b.Low > 0 || b.High < 0) {
					text += ", which these swings do not tell from none"
				}
			}
			all = append(all, text)
		}
	}
	if len(all) == 0 {
		return nil
	}
	return []string{"At impact, prototype minus baseline: " + strings.Join(all, "; ") + "."}
}
