package report

import (
	"context"
	"math"
	"slices"
	"strings"

	"bendline/app/study"
)

// A sheet is a table for further work: names, units, and rows of text and
// numbers. Every number of the deck's tables and curves is in one.
type sheet struct {
	name    string // of the sheet, or of the file without its ending
	columns []sheetColumn
	rows    [][]any // string, int or float64; NaN is empty
}

type sheetColumn struct {
	head, unit string
	digits     int // decimals
}

// more is how many decimals more than are shown a number has: they lose nothing.
const more = 3

func textual(head string) sheetColumn { return sheetColumn{head: head} }

// of returns the column of a measure.
func of(me study.Measure, head string) sheetColumn {
	return sheetColumn{head, me.Unit, me.Digits + more}
}

// sheets returns all tables and curves.
func (m *material) sheets(ctx context.Context) ([]sheet, error) {
	all := []sheet{m.impactSheet()}
	if m.c != nil {
		all = append(all, m.viewSheet(), m.playerSheet(), m.choiceSheet())
		if m.c.Lot != nil {
			all = append(all, m.lotSheet())
		}
	}
	all = append(all, m.runSheet(), m.qualitySheet(), m.notUsedSheet(), m.byHandSheet())
	curves, err := m.curveSheets(ctx)
	if err != nil {
		return nil, err
	}
	all = append(all, curves...)
	all = append(all, m.profileSheet(), m.shapeSheet())
	bench, err := m.benchSheets()
	if err != nil {
		return nil, err
	}
	all = append(all, bench...)
	files, err := m.fileSheets()
	return append(all, files...), err
}

// summaryColumns are those of a mean and where it comes from.
func summaryColumns(club string) []sheetColumn {
	return []sheetColumn{{club + ": mean", "as unit", 5}, {club + ": SD", "as unit", 5}, {club + ": runs", "1", 0}, {club + ": players", "1", 0}}
}

func summary(s study.Summary) []any { return []any{s.Mean, s.SD, s.Runs, s.Players} }

func (m *material) impactSheet() sheet {
	s := sheet{name: "impact", columns: []sheetColumn{textual("measure"), textual("unit")}}
	if m.c != nil {
		s.columns = append(s.columns, summaryColumns(m.starred(m.c.Baseline))...)
		s.columns = append(s.columns, summaryColumns(m.starred(m.c.Prototype))...)
		s.columns = append(s.columns, sheetColumn{"difference", "as unit", 5}, sheetColumn{"95 % interval, low", "as unit", 5},
			sheetColumn{"95 % interval, high", "as unit", 5}, sheetColumn{"t", "1", 4}, sheetColumn{"degrees of freedom", "1", 3}, sheetColumn{"p", "1", 6}, sheetColumn{"p, Holm", "1", 6},
			// What the interval and p above count, and the test without it.
			sheetColumn{"u95 that all runs of a club share", "as unit", 5}, sheetColumn{"runs alone: low", "as unit", 5}, sheetColumn{"runs alone: high", "as unit", 5},
			sheetColumn{"runs alone: p", "1", 6}, sheetColumn{"runs alone: p, Holm", "1", 6})
		for _, d := range slices.Concat(m.c.Measures, m.c.Peaks) {
			row := append([]any{d.Measure.Label, d.Measure.Unit}, summary(d.Baseline)...)
			row = append(row, summary(d.Prototype)...)
			s.rows = append(s.rows, append(row, d.Value, d.Low, d.High, d.T, d.DF, d.P, d.Holm,
				d.SharedU95(), d.Alone.Low, d.Alone.High, d.Alone.P, d.HolmAlone))
		}
		return s
	}
	for _, g := range m.shown {
		s.columns = append(s.columns, summaryColumns(m.starred(g.club.ID))...)
	}
	for _, me := range study.Measures {
		row := []any{me.Label, me.Unit}
		for _, g := range m.shown {
			mean, sd := g.mean(1, atImpact(me))
			row = append(row, mean[0], sd[0], len(g.runs), len(g.players()))
		}
		s.rows = append(s.rows, row)
	}
	return s
}

func (m *material) playerSheet() sheet {
	s := sheet{name: "players", columns: []sheetColumn{textual("player"), textual("measure"), textual("unit")}}
	for _, club := range []string{m.c.Baseline, m.c.Prototype} {
		s.columns = append(s.columns, summaryColumns(m.starred(club))[:3]...)
	}
	s.columns = append(s.columns, sheetColumn{"difference", "as unit", 5}, sheetColumn{"95 % interval, low", "as unit", 5}, sheetColumn{"95 % interval, high", "as unit", 5})
	for _, d := range slices.Concat(m.c.Measures, m.c.Peaks) {
		for _, b := range d.ByPlayer {
			row := append([]any{playerName(m.study, b.Player), d.Measure.Label, d.Measure.Unit}, summary(b.Baseline)[:3]...)
			row = append(row, summary(b.Prototype)[:3]...)
			s.rows = append(s.rows, append(row, b.Value, b.Low, b.High))
		}
	}
	return s
}

// runNames are the columns that name a run.
func runNames() []sheetColumn {
	return []sheetColumn{textual("run"), textual("player"), textual("club")}
}

func (m *material) runCells(r study.Run) []any {
	return []any{runName(r), playerName(m.study, r.Player), m.name(r.Club)}
}

func (m *material) runSheet() sheet {
	s := sheet{name: "runs", columns: append(runNames(), textual("not used because"))}
	for _, me := range study.Measures {
		s.columns = append(s.columns, of(me, me.Label), of(me, me.Label+", u95"))
	}
	s.columns = append(s.columns, sheetColumn{"Peak lag, lead", "mm", 4}, sheetColumn{"Peak lag, u95", "mm", 4}, sheetColumn{"Peak lag, time to impact", "ms", 3})
	why := map[string]string{}
	for _, o := range m.omitted {
		why[o.run.ID] = o.why
	}
	for _, r := range m.results {
		row := append(m.runCells(r.Run), why[r.Run.ID])
		if r.OK() {
			for _, me := range study.Measures {
				e := me.AtImpact(r.Swing)
				row = append(row, e.Value*me.Scale, e.U95*me.Scale)
			}
			lag := r.Swing.PeakLag
			row = append(row, lag.Value*1e3, lag.U95*1e3, (lag.Time-r.Swing.Impact.Value)*1e3)
		}
		s.rows = append(s.rows, row)
	}
	return s
}

func (m *material) qualitySheet() sheet {
	s := sheet{name: "quality", columns: append(runNames(), sheetColumn{"frames", "1", 0}, sheetColumn{"rate", "1/s", 3}, sheetColumn{"markers", "1", 0},
		sheetColumn{"residual rms", "mm", 4}, sheetColumn{"impact", "s", 6}, sheetColumn{"impact, u95", "s", 6}, textual("flags"))}
	for _, r := range m.results {
		if r.OK() {
			s.rows = append(s.rows, append(m.runCells(r.Run), r.Capture.Frames, r.Capture.Rate, r.Capture.Markers,
				r.Swing.RMS*1e3, r.Swing.Impact.Value, r.Swing.Impact.U95, flags(r.Flags)))
		}
	}
	return s
}

func (m *material) notUsedSheet() sheet {
	s := sheet{name: "not_used", columns: append(runNames(), textual("state"), textual("why"))}
	for _, o := range m.omitted {
		s.rows = append(s.rows, append(m.runCells(o.run), o.state(), o.why))
	}
	return s
}

// byHandSheet lists what was set by hand: the star of names stands for the
// corrections of single runs.
func (m *material) byHandSheet() sheet {
	s := sheet{name: "by_hand", columns: append(runNames(), textual("set by hand"))}
	for _, what := range m.study.Settings.Words() {
		s.rows = append(s.rows, []any{"every run", "", "", what})
	}
	for _, r := range m.results {
		for _, what := range r.Run.Corrections() {
			s.rows = append(s.rows, append(m.runCells(r.Run), what))
		}
		if why := r.Run.Excluded; why != "" {
			s.rows = append(s.rows, append(m.runCells(r.Run), "left out: "+why))
		}
	}
	return s
}

// column adds a column of numbers to the rows.
func (s *sheet) column(c sheetColumn, v []float64) {
	for len(s.rows) < len(v) {
		s.rows = append(s.rows, make([]any, len(s.columns)))
	}
	s.columns = append(s.columns, c)
	for i := range s.rows {
		at := math.NaN()
		if i < len(v) {
			at = v[i]
		}
		s.rows[i] = append(s.rows[i], at)
	}
}

// curveSheets returns a sheet for each measure, and one of the intervals in
// which curves differ.
func (m *material) curveSheets(ctx context.Context) ([]sheet, error) {
	if len(m.shown) == 0 {
		return nil, nil
	}
	var differences []study.CurveDifference
	if m.c != nil {
		var err error
		if differences, err = m.c.Curves(ctx, study.ToImpact, nil); err != nil {
			return nil, err
		}
	}
	var all []sheet
	for i, me := range study.Measures {
		s := sheet{name: "curve_" + me.Key}
		s.column(sheetColumn{"time to impact", "ms", 1}, milliseconds(study.MeanCurve(nil, me).X))
		for _, g := range m.shown {
			c := study.MeanCurve(g.runs, me)
			name := m.starred(g.club.ID)
			s.column(of(me, name+": mean"), c.Mean)
			s.column(of(me, name+": mean − SD"), c.Low)
			s.column(of(me, name+": mean + SD"), c.High)
		}
		if i < len(differences) {
			v := differences[i].Told()
			s.column(of(me, "difference"), v.Value)
			s.column(of(me, "band of the whole difference, low"), v.Low)
			s.column(of(me, "band of the whole difference, high"), v.High)
			s.column(sheetColumn{"t", "1", 4}, v.T)
		}
		for _, g := range m.shown {
			for _, r := range g.runs {
				s.column(of(me, "run "+runName(r.Run)), study.MeanCurve([]*study.Result{r}, me).Mean)
			}
		}
		all = append(all, s)
	}
	if m.c == nil {
		return all, nil
	}
	differ := sheet{name: "curves_differ", columns: []sheetColumn{textual("measure"), textual("over"), {"from", "as over", 1}, {"to", "as over", 1}, {"p", "1", 6},
		{"threshold of |t|", "1", 4}, {"by random fields", "1", 4}, textual("about"), textual("in words")}}
	for _, axis := range study.Axes {
		differences, err := m.c.Curves(ctx, axis, nil)
		if err != nil {
			return nil, err
		}
		over, scale := axisColumn(axis)
		for _, d := range differences {
			v := d.Told()
			for _, i := range v.Intervals {
				differ.rows = append(differ.rows, []any{d.Measure.Label, over.head + ", " + over.unit, i.From * scale, i.To * scale, i.P, v.Threshold, v.Field, v.About, d.Words()})
			}
			if len(v.Intervals) == 0 {
				differ.rows = append(differ.rows, []any{d.Measure.Label, over.head + ", " + over.unit, nil, nil, nil, v.Threshold, v.Field, v.About, d.Words()})
			}
			if axis != study.ToImpact {
				all = append(all, axisSheet(d))
			}
		}
	}
	return append(all, differ), nil
}

// axisColumn returns the column of an axis, and what its values are multiplied by
// there.
func axisColumn(axis study.Axis) (c sheetColumn, scale float64) {
	switch axis {
	case study.Downswing:
		return sheetColumn{"downswing, top to impact", "%", 1}, 1
	case study.Station:
		return sheetColumn{"distance from the butt end", "mm", 2}, 1
	}
	return sheetColumn{"time to impact", "ms", 1}, 1e3
}

// axisSheet holds a difference of curves over the downswing or along the shaft.
func axisSheet(d study.CurveDifference) sheet {
	s := sheet{name: "downswing_" + d.Measure.Key}
	if d.Axis == study.Station {
		s.name = "shaft_" + d.Measure.Key
	}
	over, _ := axisColumn(d.Axis)
	v := d.Told()
	s.column(over, d.Baseline.X)
	for _, c := range []struct {
		head string
		v    []float64
	}{
		{"baseline: mean", d.Baseline.Mean}, {"baseline: mean − SD", d.Baseline.Low}, {"baseline: mean + SD", d.Baseline.High},
		{"prototype: mean", d.Prototype.Mean}, {"prototype: mean − SD", d.Prototype.Low}, {"prototype: mean + SD", d.Prototype.High},
		{"difference", v.Value}, {"band of the whole difference, low", v.Low}, {"band of the whole difference, high", v.High},
	} {
		s.column(of(d.Measure, c.head), c.v)
	}
	s.column(sheetColumn{"t", "1", 4}, v.T)
	return s
}

func (m *material) profileSheet() sheet {
	s := sheet{name: "profile"}
	if m.longest() == 0 {
		return s
	}
	x := m.stations(profilePoints)
	s.column(sheetColumn{"distance from the butt end", "mm", 2}, x)
	quantities := curvatures
	if m.stiffnessKnown() {
		quantities = append(quantities[:len(quantities):len(quantities)], moments...)
	}
	for _, g := range m.shown {
		for _, q := range quantities {
			mean, sd := g.mean(len(x), alongShaft(x, q.read))
			name, unit, _ := strings.Cut(q.head, ", ")
			name = m.starred(g.club.ID) + ": " + strings.ToLower(name[:1]) + name[1:]
			s.column(sheetColumn{name + ", mean", unit, 5}, mean)
			s.column(sheetColumn{name + ", SD", unit, 5}, sd)
		}
	}
	return s
}

func (m *material) shapeSheet() sheet {
	s := sheet{name: "shape"}
	if m.longest() == 0 {
		return s
	}
	x := m.stations(profilePoints)
	s.column(sheetColumn{"distance from the butt end", "mm", 2}, x)
	for _, g := range m.shown {
		for _, plane := range planes {
			for _, ms := range usualInstants {
				mean, sd := g.mean(len(x), centreline(x, plane, ms/1e3))
				name := m.starred(g.club.ID) + ": " + plane.measure + ", " + format{}.number(ms, 0) + " ms before impact"
				s.column(sheetColumn{name + ", mean", "mm", 4}, mean)
				s.column(sheetColumn{name + ", SD", "mm", 4}, sd)
			}
		}
	}
	return s
}

func (m *material) fileSheets() ([]sheet, error) {
	settings, err := m.settingRows()
	if err != nil {
		return nil, err
	}
	files := sheet{name: "files", columns: []sheetColumn{textual("what"), textual("file"), textual("SHA-256")}}
	for _, r := range append(m.fileRows(), settings.hashes...) {
		files.rows = append(files.rows, []any{r[0], r[1], r[2]})
	}
	values := sheet{name: "settings", columns: []sheetColumn{textual("setting"), textual("value")}}
	for _, r := range settings.values {
		values.rows = append(values.rows, []any{r[0], r[1]})
	}
	return []sheet{files, values}, nil
}
