package report

import (
	"bendline/app/study"
)

// benchSheets are the tables of the bench: spec, consistency, prediction and
// strain.
func (m *material) benchSheets() ([]sheet, error) {
	clubs, err := study.Bench(m.study, m.study.BenchOptions())
	if err != nil {
		return nil, err
	}
	spec := sheet{name: "bench", columns: []sheetColumn{textual("club"), textual("item"), {"station", "mm", 1}, textual("source"),
		{"value", "as unit", 4}, {"target", "as unit", 4}, {"lowest", "as unit", 4}, {"highest", "as unit", 4}, textual("unit"), textual("verdict")}}
	agree := sheet{name: "bench_consistency", columns: []sheetColumn{textual("club"), textual("item"), {"station", "mm", 1},
		{"measured", "as unit", 4}, {"computed", "as unit", 4}, {"difference", "as unit", 4}, {"usual up to", "as unit", 4}, textual("unit"), textual("from"), textual("what could explain it")}}
	for _, b := range clubs {
		for _, c := range b.Checks {
			spec.rows = append(spec.rows, []any{b.Club, c.Item, c.StationMM, c.Source, c.Value, c.Target, c.Low, c.High, c.Unit, c.Verdict.String()})
		}
		for _, a := range b.Agreements {
			agree.rows = append(agree.rows, []any{b.Club, a.Item, a.StationMM, a.Measured, a.Computed, a.Difference(), a.Usual, a.Unit, a.From, a.Explanation()})
		}
	}
	swings := sheet{name: "bench_swings", columns: []sheetColumn{textual("run"), textual("club"), {"head pull", "N", 2}, {"hands", "mm", 1}, {"mean EI", "N m²", 3}}}
	for _, plane := range []string{"droop", "lead"} {
		swings.columns = append(swings.columns, sheetColumn{plane + ": closed form", "mm", 3}, sheetColumn{plane + ": beam", "mm", 3},
			sheetColumn{plane + ": captured", "mm", 3}, sheetColumn{plane + ": u95", "mm", 3}, sheetColumn{plane + ": captured beyond the hands", "mm", 3})
	}
	swings.columns = append(swings.columns, sheetColumn{"most bent at", "mm", 1}, sheetColumn{"largest curvature", "1/m", 5},
		sheetColumn{"bend in butt third", "%", 2}, sheetColumn{"in middle third", "%", 2}, sheetColumn{"in tip third", "%", 2})
	held := m.against()
	for _, r := range held.Runs {
		p, at := r.Prediction, r.AtImpact
		row := []any{p.Run, p.Club, p.Force, p.Clamp * 1e3, p.MeanEI}
		for _, q := range []study.PlanePrediction{p.Droop, p.Lead} {
			row = append(row, q.ClosedForm*1e3, q.Beam*1e3, q.Captured.Value*1e3, q.Captured.U95*1e3, q.BeyondClamp*1e3)
		}
		swings.rows = append(swings.rows, append(row, at.Station*1e3, at.Most, at.Thirds[0]*100, at.Thirds[1]*100, at.Thirds[2]*100))
	}
	strain := sheet{name: "strain", columns: []sheetColumn{textual("club"), textual("run"), {"largest strain", "µm/m", 2}, {"at", "mm", 1}, {"time after impact", "ms", 2},
		{"rig amplitude", "µm/m", 2}, {"exponent", "1", 2}, {"swings", "1", 0}, {"rig cycles", "1", 1}, textual("caution")}}
	for _, w := range held.Wear {
		for i, p := range w.Peaks {
			row := []any{w.Club, p.Run, p.Strain * 1e6, p.Station * 1e3, (p.Time - p.Impact) * 1e3, "", "", "", "", ""}
			if i == 0 { // of the club
				copy(row[5:], []any{w.RigRange / 2 * 1e6, w.Slope, w.Swings, w.RigCycles, w.Caution})
			}
			strain.rows = append(strain.rows, row)
		}
	}
	return []sheet{spec, agree, swings, strain}, nil
}
