package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/app/study"
)

// benchClubs is the most clubs that have room beside each other.
const benchClubs = 4

// bench holds the bench sheets of the clubs against their specs: a row for each
// item, and on slides of their own one for each station of the stiffness, with
// a column for each club that has a spec.
func (m *material) bench() ([]Slide, error) {
	all, err := study.Bench(m.study, m.study.BenchOptions())
	if err != nil {
		return nil, err
	}
	var items, stiffness []benchClub
	for _, b := range all {
		at := slices.IndexFunc(b.Checks, isEI)
		if at < 0 {
			at = len(b.Checks)
		}
		if at > 0 {
			items = append(items, benchClub{b.Club, b.Checks[:at]})
		}
		if at < len(b.Checks) {
			stiffness = append(stiffness, benchClub{b.Club, b.Checks[at:]})
		}
	}
	slides := m.benchSlides(items, m.benchTable, benchTitle(items, "Every shaft is in spec on the bench", "On the bench"))
	slides = append(slides, m.benchSlides(stiffness, m.stiffnessTable, benchTitle(stiffness, "Along every shaft the stiffness is in spec", "Along the shafts"))...)
	return append(slides, m.swings()...), nil
}

// A benchClub is a club and some of the checks of its bench sheet.
type benchClub struct {
	club   string
	checks []study.Check
}

func isEI(c study.Check) bool { return !math.IsNaN(c.StationMM) }

// benchSlides makes the slides of some clubs, as many beside each other as have
// room.
func (m *material) benchSlides(clubs []benchClub, tabled func([]benchClub) *table, title string) []Slide {
	var slides []Slide
	for some := range slices.Chunk(clubs, benchClubs) {
		slides = append(slides, tabled(some).slides(Slide{Title: title, Subtitle: "Bench sheet held against the spec of each club. Bold: out of spec."})...)
	}
	if len(clubs) > benchClubs {
		for i := range slides {
			slides[i].sheet, slides[i].sheets = i+1, len(slides)
		}
	}
	return slides
}

// benchTitle says whether the checks hold.
func benchTitle(clubs []benchClub, passed, where string) string {
	failed, missing := 0, 0
	for _, b := range clubs {
		for _, c := range b.checks {
			switch c.Verdict {
			case study.Failed:
				failed++
			case study.Missing:
				missing++
			}
		}
	}
	switch {
	case failed > 0:
		return fmt.Sprintf("%s %s out of spec", where, verbed(failed, "value"))
	case missing > 0:
		return fmt.Sprintf("%s nothing is out of spec, but %s missing", where, verbed(missing, "value"))
	}
	return passed
}

// missingNote explains the dash, where there is one.
func missingNote(clubs []benchClub) string {
	for _, b := range clubs {
		if slices.ContainsFunc(b.checks, func(c study.Check) bool { return c.Verdict == study.Missing }) {
			return "–\u00a0: the bench sheet lacks the value, which has not passed."
		}
	}
	return ""
}

// benchTable has a row for each item, with the limits beside the value.
func (m *material) benchTable(clubs []benchClub) *table {
	names := m.clubLabels()
	t := &table{columns: []column{{head: "Item", words: true}, {head: "Unit", words: true}}, note: missingNote(clubs)}
	var items []string
	rows := map[string][]cell{}
	for k, b := range clubs {
		t.columns = append(t.columns, column{head: m.name(b.club), heads: &names, unit: "value (limits)"})
		for _, c := range b.checks {
			if rows[c.Item] == nil {
				items = append(items, c.Item)
				rows[c.Item] = make([]cell, 2+len(clubs))
				rows[c.Item][0] = words(strings.ToUpper(c.Label[:1]) + c.Label[1:])
				rows[c.Item][1] = words(strings.ReplaceAll(c.Unit, "deg", "°"))
			}
			rows[c.Item][2+k] = cell{text: m.number(c.Value, c.Digits) + "\u00a0(" + m.span(c.Low, c.High, c.Digits) + ")", tone: loudness[c.Verdict]}
		}
	}
	for _, item := range items {
		t.rows = append(t.rows, rows[item])
	}
	return t
}

// loudness is how loud a verdict is.
var loudness = map[study.Verdict]tone{study.Failed: strong, study.Missing: aside}

// stiffnessTable has a row for each station, with the readings of all sources
// in a cell.
func (m *material) stiffnessTable(clubs []benchClub) *table {
	names := m.clubLabels()
	t := &table{columns: []column{{head: "Station", unit: "mm from the butt"}}}
	var stations []float64
	for _, b := range clubs {
		for _, c := range b.checks {
			if !slices.Contains(stations, c.StationMM) {
				stations = append(stations, c.StationMM)
			}
		}
	}
	slices.Sort(stations)
	for _, s := range stations {
		t.rows = append(t.rows, []cell{{text: m.number(s, 0)}})
	}
	var sources []string
	for k, b := range clubs {
		limits := b.checks[0]
		for _, c := range b.checks {
			if source := strings.ReplaceAll(c.Source, "_", " "); !slices.Contains(sources, source) {
				sources = append(sources, source)
			}
			row := &t.rows[slices.Index(stations, c.StationMM)]
			for len(*row) < k+2 {
				*row = append(*row, cell{})
			}
			at := &(*row)[k+1]
			if at.text != "" {
				at.text += " / "
			}
			at.text += m.signed(c.Value, c.Digits)
			if loud := loudness[c.Verdict]; at.tone != strong {
				at.tone = loud
			}
		}
		t.columns = append(t.columns, column{head: m.name(b.club), heads: &names,
			unit: "% (" + m.span(limits.Low, limits.High, limits.Digits) + ")"})
	}
	for i, row := range t.rows {
		for len(row) < len(t.columns) {
			row = append(row, cell{})
		}
		t.rows[i] = row
	}
	t.note = "EI off its target: " + strings.Join(sources, " / ") + ". Three point: worked out from three-point bending; stiffness: the profile that the swings are fitted with. " +
		"In brackets: the limits. " + missingNote(clubs)
	return t
}

// verbed returns "1 value is", "3 values are".
func verbed(n int, noun string) string {
	if n == 1 {
		return count(n, noun) + " is"
	}
	return count(n, noun) + " are"
}

// strain shows how hard the swings work each shaft whose diameters are known.
func (m *material) strain() []Slide {
	names := m.clubLabels()
	t := &table{columns: []column{
		{head: "Club", words: true, among: &names}, {head: "Runs"}, {head: "Peak, median", unit: "µm/m"}, {head: "Largest", unit: "µm/m"},
		{head: "Place", unit: "mm from the butt"}, {head: "Time", unit: "ms after impact"}, {head: "Run", words: true},
		{head: "Rig range", unit: "µm/m"}, {head: "Rig cycles"},
	}}
	var largest study.StrainPeak
	hardest := ""
	o := m.study.SwingOptions()
	for _, w := range m.against().Wear {
		if w.Worst.Strain > largest.Strain {
			largest, hardest = w.Worst, w.Club
		}
		peaks := make([]float64, len(w.Peaks))
		for k, p := range w.Peaks {
			peaks[k] = p.Strain * 1e6
		}
		t.rows = append(t.rows, []cell{
			words(m.name(w.Club)), {text: m.number(float64(len(peaks)), 0)},
			{text: m.number(median(peaks), 0)}, {text: m.number(w.Worst.Strain*1e6, 0)},
			{text: m.number(w.Worst.Station*1e3, 0)}, {text: m.signed((w.Worst.Time-w.Worst.Impact)*1e3, 1)}, words(w.Worst.Run),
			{text: m.number(w.RigRange*1e6, 0)}, {text: m.number(w.RigCycles, 0)},
		})
	}
	if len(t.rows) == 0 {
		return nil
	}
	t.note = fmt.Sprintf("Surface strain is curvature times radius. Rig cycles of the rig range count as much as %s swings like these (slope %s). %s",
		m.number(o.WearSwings, 0), m.number(o.WearSlope, 0), study.WearCaution)
	title := fmt.Sprintf("The largest strain is %s\u00a0µm/m, in %s", m.number(largest.Strain*1e6, 0), m.shortClub(bold(titleSize, ink), hardest, 400))
	return t.slides(Slide{Title: title, Subtitle: "Every analysed run counts, also those left out of comparisons: the shaft bore it."})
}
