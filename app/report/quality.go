package report

import (
	"fmt"
	"slices"
	"strings"

	"bendline/app/study"
	"bendline/capture"
)

// runTable lists the values at impact of every analysed run.
func (m *material) runTable() []Slide {
	t := &table{columns: m.runColumns()}
	for _, me := range study.Measures {
		sign, _ := unit(me)
		t.columns = append(t.columns, column{head: me.Label, unit: sign + " ± u95"})
	}
	omitted := 0
	for _, r := range m.results {
		if !r.OK() {
			continue
		}
		row := m.naming(r.Run)
		for _, me := range study.Measures {
			e := me.AtImpact(r.Swing)
			row = append(row, cell{text: m.plusMinus(e.Value*me.Scale, e.U95*me.Scale, me.Digits)})
		}
		if m.omits(r.Run) {
			omitted++
			for i := range row {
				row[i].tone = aside
			}
		}
		t.rows = append(t.rows, row)
	}
	sub := "Value ± half width of its 95\u00a0% interval."
	if omitted > 0 {
		sub += " Grey: not used in means and comparisons."
	}
	t.note = m.byHand()
	return t.slides(Slide{Title: "Values at impact, run by run", Subtitle: sub})
}

// omits reports whether a run does not count.
func (m *material) omits(r study.Run) bool {
	return slices.ContainsFunc(m.omitted, func(o omission) bool { return o.run.ID == r.ID })
}

// quality lists what the data of each analysed run are worth.
func (m *material) quality() []Slide {
	t := &table{columns: append(m.runColumns(),
		column{head: "Frames"}, column{head: "Rate", unit: "1/s"}, column{head: "Markers"},
		column{head: "Residual rms", unit: "mm"}, column{head: "Impact", unit: "s ± u95"},
		column{head: "Flags", words: true, lines: 4})}
	t.note = strings.TrimSpace(m.byHand() + " " + m.legend())
	flagged, ok := 0, 0
	worst := 0.0
	for _, r := range m.results {
		if !r.OK() {
			continue
		}
		ok++
		if len(r.Flags) > 0 {
			flagged++
		}
		if v := r.Swing.RMS; v > worst {
			worst = v
		}
		text := flags(r.Flags)
		if text == "" {
			text = "none"
		}
		t.rows = append(t.rows, append(m.naming(r.Run),
			cell{text: m.number(float64(r.Capture.Frames), 0)},
			cell{text: m.number(r.Capture.Rate, 0)},
			cell{text: m.number(float64(r.Capture.Markers), 0)},
			cell{text: m.number(r.Swing.RMS*1e3, 2)},
			cell{text: m.plusMinus(r.Swing.Impact.Value, r.Swing.Impact.U95, 5)},
			words(text)))
	}
	title := "Data quality: no run failed"
	if failed := len(m.results) - ok; failed > 0 {
		title = fmt.Sprintf("Data quality: %d of %s failed", failed, count(len(m.results), "run"))
	}
	sub := fmt.Sprintf("%s analysed, %d with flags. Residual: distance of the markers from the fitted club, at most %s mm rms.",
		count(ok, "run"), flagged, m.number(worst*1e3, 2))
	return t.slides(Slide{Title: title, Subtitle: sub})
}

// common are the flags whose kind says enough; of the others the sentence is
// shown.
var common = map[capture.Code]string{
	capture.Gap:         "frames in which a marker was not seen",
	capture.UnitGuessed: "the file states no unit of length",
	capture.RateGuessed: "the frame rate was not stated for certain",
	capture.OutOfSpec:   "the club’s bench sheet is out of its spec",
}

// flags sums up a run's flags, kinds in the order of their first: the markers
// they concern, or the sentence.
func flags(all []capture.Flag) string {
	var order []capture.Code
	about := map[capture.Code][]string{}
	for _, f := range all {
		if !slices.Contains(order, f.Code) {
			order = append(order, f.Code)
		}
		what := f.Marker
		if _, ok := common[f.Code]; !ok && f.Detail != "" {
			what = strings.TrimSpace(f.Marker + " " + strings.TrimSuffix(f.Detail, "."))
		}
		if what != "" && !slices.Contains(about[f.Code], what) {
			about[f.Code] = append(about[f.Code], what)
		}
	}
	parts := make([]string, len(order))
	for i, code := range order {
		parts[i] = kind(code)
		if len(about[code]) > 0 {
			parts[i] += ": " + strings.Join(about[code], ", ")
		}
	}
	return strings.Join(parts, "; ")
}

func kind(c capture.Code) string { return strings.ReplaceAll(string(c), "_", " ") }

// legend explains the common flags that the runs have.
func (m *material) legend() string {
	var note []string
	for _, code := range []capture.Code{capture.Gap, capture.UnitGuessed, capture.RateGuessed, capture.OutOfSpec} {
		has := func(r *study.Result) bool {
			return slices.ContainsFunc(r.Flags, func(f capture.Flag) bool { return f.Code == code })
		}
		if slices.ContainsFunc(m.results, has) {
			note = append(note, kind(code)+": "+common[code])
		}
	}
	return strings.Join(note, "; ")
}

// leftOut lists the runs that do not count, with the reason.
func (m *material) leftOut() []Slide {
	t := &table{columns: append(m.runColumns(),
		column{head: "State", words: true}, column{head: "Why", words: true, lines: 4})}
	t.note = m.byHand()
	failed := 0
	for _, o := range m.omitted {
		if o.failed {
			failed++
		}
		t.rows = append(t.rows, append(m.naming(o.run), words(o.state()), words(o.why)))
	}
	return t.slides(Slide{
		Title:    "Runs not used",
		Subtitle: fmt.Sprintf("%d left out, %d failed", len(m.omitted)-failed, failed),
	})
}
