package report

import (
	"fmt"
	"math"
	"strings"

	"bendline/app/study"
)

// against returns the bench held against the swings, worked out once.
func (m *material) against() *study.BenchSwings {
	if m.held == nil {
		held := study.HoldAgainstSwings(&study.Analysis{Study: m.study, Results: m.results}, m.c, m.study.SwingOptions())
		m.held = &held
	}
	return m.held
}

// swings holds what the bench predicts for impact against what was captured, club
// by club, and the stiffness on the bench against that which the captures imply.
func (m *material) swings() []Slide {
	means := m.against().ByClub()
	if len(means) == 0 {
		return nil
	}
	names := m.clubLabels()
	t := &table{columns: []column{{head: "Club", words: true, among: &names}, {head: "Runs"}, {head: "Head pull", unit: "N"},
		{head: "Droop by closed form / beam", unit: "mm"}, {head: "captured", unit: "mm"},
		{head: "Lead by closed form / beam", unit: "mm"}, {head: "captured", unit: "mm"},
		{head: "Most bent at", unit: "mm from the butt"}, {head: "Bend by thirds", unit: "butt, middle, tip %"}}}
	off := 0.0
	for _, c := range means {
		row := []cell{words(m.name(c.Club)), {text: m.number(float64(c.Runs), 0)}, {text: m.number(c.Force, 0)}}
		for _, p := range []study.PlanePrediction{c.Droop, c.Lead} {
			row = append(row, cell{text: m.number(p.ClosedForm*1e3, 1) + " / " + m.number(p.Beam*1e3, 1)}, cell{text: m.number(p.Captured.Value*1e3, 1)})
		}
		var thirds []string
		for _, v := range c.AtImpact.Thirds {
			thirds = append(thirds, m.number(v*100, 0))
		}
		t.rows = append(t.rows, append(row, cell{text: m.number(c.AtImpact.Station*1e3, 0)}, cell{text: strings.Join(thirds, ", ")}))
		off = math.Max(off, math.Abs(c.Droop.Beam-c.Droop.Captured.Value)) // NaN where one is not known
	}
	t.note = "Means over the runs of each club. The head’s pull, m v²/R at its centre of gravity, bends the shaft and stiffens it; closed form: on the mean EI; beam: on the club’s own. " +
		"It leaves out what the hands do to bend the shaft: most of the lead and little of the droop. " + m.softness()
	title := "What the head’s pull gives at impact, and what was captured"
	if !math.IsNaN(off) {
		title = fmt.Sprintf("The bench gives the droop at impact to within %s\u00a0mm", m.number(math.Ceil(off*1e4)/10, 1))
	}
	return t.slides(Slide{Title: title, Subtitle: "The bench held against the swings."})
}

// softness says in sentences what bench and captures say of the tip's stiffness.
func (m *material) softness() string {
	s := m.against().Softness
	if s == nil {
		return ""
	}
	tip := s.Thirds[2]
	if math.IsNaN(tip.Bench) && math.IsNaN(tip.Implied.Value) {
		return ""
	}
	text := fmt.Sprintf("EI of the tip third, prototype over baseline: %s on the bench, %s implied by the captures", m.number(tip.Bench, 2), m.number(tip.Implied.Value, 2))
	if !math.IsNaN(tip.Implied.Low + tip.Implied.High) {
		text += fmt.Sprintf(" (%s)", m.span(tip.Implied.Low, tip.Implied.High, 2))
	}
	return text + ". " + s.Seen.Sentence()
}
