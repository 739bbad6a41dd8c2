package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"bendline/app/study"
)

// bench holds the bench sheets of the clubs against their specs: a row for each
// item, a column for each club that has a spec.
func (m *material) bench() ([]Slide, error) {
	all, err := study.Bench(m.study, study.DefaultBenchOptions())
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(b study.ClubBench) bool { return len(b.Checks) == 0 })
	if len(all) == 0 {
		return nil, nil
	}
	t := &table{size: 11, columns: []column{{head: "Item", words: true, lines: 2}, {head: "Unit", words: true}}}
	var items []string
	row := map[string][]cell{}
	failed, missing := 0, 0
	for k, b := range all {
		t.columns = append(t.columns, column{head: m.shortClub(bold(10.2, ink), b.Club, 660/vg.Length(len(all))), unit: "value (limits)"})
		failed, missing = failed+len(b.OutOfSpec()), missing+len(b.Missing())
		for _, c := range b.Checks {
			item := itemOf(c)
			if row[item] == nil {
				items = append(items, item)
				row[item] = []cell{words(item), words(strings.ReplaceAll(c.Unit, "deg", "°"))}
			}
			for len(row[item]) < k+2 {
				row[item] = append(row[item], cell{})
			}
			row[item] = append(row[item], m.checked(t, c))
		}
	}
	for _, item := range items {
		for len(row[item]) < len(t.columns) {
			row[item] = append(row[item], cell{})
		}
		t.rows = append(t.rows, row[item])
	}
	t.note = "Bold: out of spec. – : the bench sheet lacks the value, which has not passed. Items and limits are those of each club’s spec."
	title := "Every shaft is in spec on the bench"
	switch {
	case failed > 0:
		title = fmt.Sprintf("On the bench %s out of spec", verbed(failed, "value"))
	case missing > 0:
		title = fmt.Sprintf("On the bench nothing is out of spec, but %s missing", verbed(missing, "value"))
	}
	return t.slides(Slide{Title: title, Subtitle: "Bench sheet held against the spec."}), nil
}

// verbed returns "1 value is", "3 values are".
func verbed(n int, noun string) string {
	if n == 1 {
		return count(n, noun) + " is"
	}
	return count(n, noun) + " are"
}

// itemOf names what a check is of.
func itemOf(c study.Check) string {
	name := strings.ToUpper(c.Label[:1]) + c.Label[1:]
	if math.IsNaN(c.StationMM) {
		return name
	}
	return fmt.Sprintf("%s at %.0f\u00a0mm (%s)", name, c.StationMM, strings.ReplaceAll(c.Source, "_", " "))
}

// checked is the cell of a check.
func (m *material) checked(t *table, c study.Check) cell {
	text := fmt.Sprintf("%s (%s to %s)", m.number(c.Value, c.Digits), m.number(c.Low, c.Digits), m.number(c.High, c.Digits))
	sty := t.style()
	switch c.Verdict {
	case study.Failed:
		sty = bold(t.size, ink)
	case study.Missing:
		sty = sans(t.size, muted)
	}
	return cell{text: text, ink: &sty}
}

// strain shows how hard the swings work each shaft whose diameters are known.
func (m *material) strain() ([]Slide, error) {
	t := &table{size: 11, columns: []column{
		{head: "Club", words: true}, {head: "Runs"}, {head: "Peak, median", unit: "µm/m"}, {head: "Largest", unit: "µm/m"},
		{head: "Place", unit: "mm from the butt"}, {head: "Time", unit: "ms after impact"}, {head: "Run", words: true},
		{head: "Rig range", unit: "µm/m"}, {head: "Rig cycles"},
	}}
	o := study.DefaultSwingOptions()
	a := &study.Analysis{Study: m.study, Results: m.results}
	for i := range m.study.Clubs {
		c := &m.study.Clubs[i]
		if c.ButtDiameter == 0 || c.TipDiameter == 0 || !m.swung(c.ID) {
			continue
		}
		w, err := study.ShaftWear(a, c.ID, o)
		if err != nil {
			return nil, err
		}
		peaks := make([]float64, len(w.Peaks))
		for k, p := range w.Peaks {
			peaks[k] = p.Strain * 1e6
		}
		t.rows = append(t.rows, []cell{
			words(m.shortClub(t.style(), c.ID, 170)), {text: m.number(float64(len(peaks)), 0)},
			{text: m.number(median(peaks), 0)}, {text: m.number(w.Worst.Strain*1e6, 0)},
			{text: m.number(w.Worst.Station*1e3, 0)}, {text: m.signed((w.Worst.Time-w.Worst.Impact)*1e3, 1)}, words(w.Worst.Run),
			{text: m.number(w.RigRange*1e6, 0)}, {text: m.number(w.RigCycles, 0)},
		})
	}
	t.note = fmt.Sprintf("Surface strain is curvature times radius. Rig cycles of the rig range count as much as %s swings like these (slope %s). %s",
		m.number(o.WearSwings, 0), m.number(o.WearSlope, 0), study.WearCaution)
	return t.slides(Slide{Title: "How hard the swings work the shafts", Subtitle: "Every analysed run counts, also those left out of comparisons: the shaft bore it."}), nil
}

// swung reports whether a run with the club was analysed.
func (m *material) swung(club string) bool {
	return slices.ContainsFunc(m.results, func(r *study.Result) bool { return r.Run.Club == club && r.OK() })
}
