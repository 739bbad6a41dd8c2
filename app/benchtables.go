package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// benchAnswer says in a sentence whether the clubs are in spec. What is missing
// has not passed.
func benchAnswer(st *study.Study, clubs []study.ClubBench) string {
	var failed, missing, passed, none []string
	for _, b := range clubs {
		name := clubLabel(st, b.Club)
		switch out, lacks := b.OutOfSpec(), b.Missing(); {
		case len(b.Checks) == 0:
			none = append(none, name)
		case len(out) > 0:
			failed = append(failed, fmt.Sprintf("%s in %d of %s", name, len(out), plural(len(b.Checks), "item")))
		case len(lacks) > 0:
			missing = append(missing, fmt.Sprintf("%s, with %s missing,", name, plural(len(lacks), "item")))
		default:
			passed = append(passed, name)
		}
	}
	var parts []string
	for _, p := range []struct {
		says  string
		names []string
	}{{"out of spec: ", failed}, {"not shown to be in spec: ", missing}, {"in spec: ", passed}, {"without a spec: ", none}} {
		if len(p.names) > 0 {
			parts = append(parts, p.says+strings.TrimRight(listed(p.names), ","))
		}
	}
	if len(parts) == 0 {
		return "The study has no clubs."
	}
	text := capital(strings.Join(parts, "; ")) + "."
	if len(none) == len(clubs) {
		text += " Type, paste or read bench sheets and their limits on the page Sheet."
	}
	return text
}

// benchFlags returns what is worth knowing of each sheet, a line each.
func benchFlags(st *study.Study, clubs []study.ClubBench) string {
	var list []string
	for _, b := range clubs {
		for _, f := range b.Flags {
			list = append(list, clubLabel(st, b.Club)+": "+strings.TrimRight(study.Plain(f.Detail), ".")+".")
		}
	}
	return strings.Join(list, "\n")
}

// testRows returns frequency, torque and bend points as computed, beside what
// was measured.
func testRows(st *study.Study, clubs []study.ClubBench) []widgets.Row {
	var rows []widgets.Row
	for _, b := range clubs {
		cpm, torque := math.NaN(), math.NaN()
		if f := b.Sheet.Frequency; f != nil && f.CPM != nil {
			cpm = *f.CPM
		}
		if t := b.Sheet.Torque; t != nil && t.Deg != nil {
			torque = *t.Deg
		}
		f := b.FromStiffness
		setUp := "–"
		if !math.IsNaN(f.ClampMM) {
			setUp = decimal(f.ClampMM, 0) + " mm, " + decimal(f.TipMassG, 0) + " g"
		}
		letter := b.SwingWeightLetter
		if letter == "" {
			letter = "–"
		}
		rows = append(rows, widgets.Row{Cells: []string{clubLabel(st, b.Club), setUp,
			decimal(f.FrequencyCPM, 1), decimal(cpm, 1), decimal(f.TorqueDeg, 2), decimal(torque, 2),
			decimal(f.BendPointCompressedMM, 0), decimal(f.BendPointRatio, 1), letter}})
	}
	return rows
}

// agreementRows returns every measured value that others of the sheet give too,
// first those that differ.
func agreementRows(st *study.Study, clubs []study.ClubBench) []widgets.Row {
	var rows []widgets.Row
	for _, b := range clubs {
		for _, a := range b.Agreements {
			label := a.Label
			if !math.IsNaN(a.StationMM) {
				label = "at " + decimal(a.StationMM, 0) + " mm: " + label
			}
			row := widgets.Row{Cells: []string{clubLabel(st, b.Club), label, decimal(a.Measured, a.Digits), decimal(a.Computed, a.Digits),
				signed(a.Difference(), a.Digits), decimal(a.Usual, a.Digits), a.Unit, "agree", a.From, a.Explanation()}}
			if !a.Agrees() {
				row.Cells[7], row.Tone = "differ", widgets.Warn
			}
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b widgets.Row) int { return int(b.Tone) - int(a.Tone) })
	return rows
}

// predictionRows returns the means of each club, and the bench held against each
// run.
func predictionRows(st *study.Study, swings *study.BenchSwings) []widgets.Row {
	var rows []widgets.Row
	mm := func(si float64) string { return decimal(si*1e3, 1) }
	row := func(name, club string, force float64, droop, lead study.PlanePrediction, captured [2]string, at study.BendSite) {
		rows = append(rows, widgets.Row{Cells: []string{name, clubLabel(st, club), mm(droop.ClosedForm), mm(droop.Beam), captured[0], mm(lead.ClosedForm), mm(lead.Beam), captured[1],
			decimal(at.Station*1e3, 0), fmt.Sprintf("%s, %s, %s", decimal(at.Thirds[0]*100, 0), decimal(at.Thirds[1]*100, 0), decimal(at.Thirds[2]*100, 0)),
			decimal(force, 0)}})
	}
	for _, m := range swings.ByClub() {
		row("mean of "+plural(m.Runs, "run"), m.Club, m.Force, m.Droop, m.Lead, [2]string{mm(m.Droop.Captured.Value), mm(m.Lead.Captured.Value)}, m.AtImpact)
	}
	for _, r := range swings.Runs {
		p := r.Prediction
		captured := func(e kinematics.Estimate) string { return mm(e.Value) + " ± " + mm(e.U95) }
		row(p.Run, p.Club, p.Force, p.Droop, p.Lead, [2]string{captured(p.Droop.Captured), captured(p.Lead.Captured)}, r.AtImpact)
		if r.Excluded != "" {
			rows[len(rows)-1].Tone = widgets.Muted
		}
	}
	return rows
}

// assumedWords says what the sheets of which clubs do not say and was taken
// instead, a line for each.
func assumedWords(st *study.Study, swings *study.BenchSwings) []string {
	var taken []string
	clubs := map[string][]string{}
	for _, r := range swings.Runs {
		text, name := strings.Join(r.Prediction.Assumed, "; "), clubLabel(st, r.Prediction.Club)
		if text == "" || slices.Contains(clubs[text], name) {
			continue
		}
		if clubs[text] == nil {
			taken = append(taken, text)
		}
		clubs[text] = append(clubs[text], name)
	}
	for i, text := range taken {
		taken[i] = "not on the sheet of " + listed(clubs[text]) + ", and taken to be " + text
	}
	return taken
}

// strainCurves returns the largest strain along the shaft of each club: in the
// whole swing, and up to impact.
func strainCurves(st *study.Study, swings *study.BenchSwings) []widgets.Curve {
	var list []widgets.Curve
	for i, w := range swings.Wear {
		x := make([]float64, len(w.Station))
		micro := func(strain []float64) []float64 {
			y := make([]float64, len(strain))
			for k, v := range strain {
				x[k], y[k] = w.Station[k]*1e3, v*1e6
			}
			return y
		}
		colour, _ := widgets.Style(i)
		list = append(list, widgets.Curve{Label: clubLabel(st, w.Club), X: x, Y: micro(w.Most), Color: colour},
			widgets.Curve{X: x, Y: micro(w.ToImpact), Color: colour, Dash: widgets.Dashed})
	}
	return list
}

// momentCurves returns the moment along the shaft at impact in the lead and the
// droop plane, with its band, of the runs side by side.
func momentCurves(s State, swings *study.BenchSwings) (lead, droop []widgets.Curve) {
	for _, r := range swings.Runs {
		m := r.Moments
		i := slices.Index(s.Panes, r.Prediction.Run)
		if i < 0 || m.LeadMoment == nil || m.DroopMoment == nil {
			continue
		}
		x := make([]float64, len(m.Station))
		for k, at := range m.Station {
			x[k] = at * 1e3
		}
		curve := func(of *kinematics.Series) widgets.Curve {
			c := widgets.Curve{Label: r.Prediction.Run, X: x, Y: of.Value, Low: make([]float64, len(x)), High: make([]float64, len(x))}
			c.Color, c.Dash = widgets.Style(i)
			for k, v := range of.Value {
				c.Low[k], c.High[k] = v-of.U95[k], v+of.U95[k]
			}
			return c
		}
		lead, droop = append(lead, curve(m.LeadMoment)), append(droop, curve(m.DroopMoment))
	}
	return lead, droop
}

// wearRows returns how hard the shaft of each club was worked.
func wearRows(st *study.Study, swings *study.BenchSwings) []widgets.Row {
	var rows []widgets.Row
	for _, w := range swings.Wear {
		rows = append(rows, widgets.Row{Cells: []string{clubLabel(st, w.Club), fmt.Sprint(len(w.Peaks)), decimal(w.Worst.Strain*1e6, 0),
			decimal(w.Worst.Station*1e3, 0), w.Worst.Run, signed((w.Worst.Time-w.Worst.Impact)*1e3, 0), decimal(w.RigCycles, 0),
			decimal(w.RigRange/2*1e6, 0), decimal(w.Slope, -1), decimal(w.Swings, 0)}})
	}
	return rows
}

// A stiffnessTable is a table of stiffness and the clubs that have it.
type stiffnessTable struct {
	shaft kinematics.Shaft
	clubs []string // ids
}

// stiffnessTables returns the tables of the study's clubs, each once.
func stiffnessTables(st *study.Study) []stiffnessTable {
	var tables []stiffnessTable
	for i := range st.Clubs {
		shaft, id := st.Clubs[i].Shaft, st.Clubs[i].ID
		if !shaft.Known() {
			continue
		}
		if k := slices.IndexFunc(tables, func(t stiffnessTable) bool {
			return slices.Equal(t.shaft.Station, shaft.Station) && slices.Equal(t.shaft.EI, shaft.EI) && slices.Equal(t.shaft.GJ, shaft.GJ)
		}); k >= 0 {
			tables[k].clubs = append(tables[k].clubs, id)
			continue
		}
		tables = append(tables, stiffnessTable{shaft, []string{id}})
	}
	return tables
}

// stiffness returns EI and GJ along the shaft, clubs with the same tables as one,
// and before EI what the captures imply for the prototype: the baseline's, times
// how much less the prototype bent in each third of the length.
func stiffness(st *study.Study, found *BenchFound) (ei, gj []widgets.Curve) {
	tables := stiffnessTables(st)
	for i, t := range tables {
		shaft, name := t.shaft, clubLabel(st, t.clubs[0])
		if n := len(t.clubs); n > 1 {
			name += fmt.Sprintf(" and %d more", n-1)
		}
		x := make([]float64, len(shaft.Station))
		for k, s := range shaft.Station {
			x[k] = s * 1e3
		}
		colour, dash := widgets.Style(i)
		ei = append(ei, widgets.Curve{Label: name, X: x, Y: shaft.EI, Color: colour, Dash: dash})
		gj = append(gj, widgets.Curve{Label: name, X: x, Y: shaft.GJ, Color: colour, Dash: dash})
	}
	if found.Swings == nil || found.Swings.Softness == nil {
		return ei, gj
	}
	soft := found.Swings.Softness
	base := st.Club(soft.Baseline)
	if base == nil || !base.Shaft.Known() {
		return ei, gj
	}
	implied := widgets.Curve{Label: "as the captures imply: " + clubLabel(st, soft.Prototype), Dash: widgets.Dashed}
	of := slices.IndexFunc(tables, func(t stiffnessTable) bool { return slices.Contains(t.clubs, soft.Prototype) })
	if of < 0 { // its own stiffness is not known
		of = len(tables)
	}
	implied.Color, _ = widgets.Style(of)
	measured := base.Shaft.Station
	const steps = 20 // in a third of the length
	for i, third := range soft.Thirds {
		for k := range steps + 1 {
			at := base.Shaft.Length * (float64(i) + float64(k)/steps) / 3
			own, _ := base.Shaft.Stiffness(at)
			if at < measured[0] || at > measured[len(measured)-1] {
				own = math.NaN() // what lies beyond the table was not measured
			}
			implied.X = append(implied.X, at*1e3)
			implied.Y = append(implied.Y, own*third.Implied.Value)
			implied.Low = append(implied.Low, own*third.Implied.Low)
			implied.High = append(implied.High, own*third.Implied.High)
		}
	}
	return append([]widgets.Curve{implied}, ei...), gj
}

// softWords says where the shafts are soft, on the bench and in the captures, and
// which clubs share their stiffness.
func softWords(st *study.Study, found *BenchFound) string {
	var list []string
	sound := true
	var looked, not []string // clubs whose EI is known at enough stations to look, and others
	for _, b := range found.Clubs {
		to := &not
		if len(b.Departures) > 0 {
			to = &looked
		}
		*to = append(*to, clubLabel(st, b.Club))
		for _, f := range b.Flags {
			if f.Code == study.Soft {
				sound = false
				list = append(list, clubLabel(st, b.Club)+": "+f.Detail+".")
			}
		}
	}
	switch {
	case len(looked) == 0:
		list = append(list, "Soft spots are not looked for: no sheet has EI at four stations.")
	case sound:
		list = append(list, fmt.Sprintf("No soft spot of %s %% or more shows on %s.", decimal(100*st.BenchOptions().SoftSpot, -1), listed(looked)))
	}
	if len(looked) > 0 && len(not) > 0 {
		list = append(list, fmt.Sprintf("Soft spots are not looked for on %s: EI is not known at four stations.", listed(not)))
	}
	if found.Swings != nil && found.Swings.Softness != nil {
		soft := found.Swings.Softness
		list = append(list, soft.Seen.Sentence())
		for _, t := range soft.Thirds {
			text := fmt.Sprintf("EI of the %s third, %s over %s: %s on the bench, %s implied by the captures", t.Third,
				clubLabel(st, soft.Prototype), clubLabel(st, soft.Baseline), decimal(t.Bench, 2), decimal(t.Implied.Value, 2))
			if !math.IsNaN(t.Implied.Low + t.Implied.High) {
				text += " (" + decimal(t.Implied.Low, 2) + " to " + decimal(t.Implied.High, 2) + ")"
			}
			list = append(list, text+".")
		}
	}
	for _, t := range stiffnessTables(st) {
		if len(t.clubs) > 1 {
			var names []string
			for _, id := range t.clubs {
				names = append(names, clubLabel(st, id))
			}
			list = append(list, "Same stiffness: "+listed(names)+".")
		}
	}
	return strings.Join(list, "\n")
}
