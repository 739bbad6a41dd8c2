package study

import (
	"context"
	"io"
	"math"

	"bendline/capture"
)

type comparisonJSON struct {
	Format    string        `json:"format"`
	Version   int           `json:"version"`
	Baseline  string        `json:"baseline"`
	Prototype string        `json:"prototype"`
	Design    Design        `json:"design"`
	Measures  []measureJSON `json:"measures"`
	Curves    []curveJSON   `json:"curves"`
	LeftOut   []leftOutJSON `json:"left_out"`

	Settings        *settingsJSON `json:"settings,omitempty"` // by hand
	Choices         choicesJSON   `json:"choices"`
	Flagged         []flaggedJSON `json:"flagged"`
	Peaks           []measureJSON `json:"peaks"`
	Loading         []loadingJSON `json:"loading"`
	DownswingCurves []curveJSON   `json:"downswing_curves"`
	ShaftCurves     []curveJSON   `json:"shaft_curves"`
	Lot             *lotJSON      `json:"lot,omitempty"`
}

type choicesJSON struct {
	Level    float64        `json:"level"`
	Power    float64        `json:"power"`
	LeaveOut []capture.Code `json:"leave_out_flagged"`
	Words    []string       `json:"words"`
}

type flaggedJSON struct {
	Run   string         `json:"run"`
	Codes []capture.Code `json:"codes"`
	In    bool           `json:"in"`
}

type summaryJSON struct {
	Runs    int    `json:"runs"`
	Players int    `json:"players"`
	Mean    number `json:"mean"`
	SD      number `json:"sd"`
}

type curveJSON struct {
	Measure       string   `json:"measure"`
	Axis          Axis     `json:"axis"`
	X             []number `json:"x"`
	BaselineMean  []number `json:"baseline_mean"`
	PrototypeMean []number `json:"prototype_mean"`
	BaselineSD    []number `json:"baseline_sd"`
	PrototypeSD   []number `json:"prototype_sd"`
	curveViewJSON
	Within *curveViewJSON `json:"these_players,omitempty"`
	Words  string         `json:"words"`
}

type curveViewJSON struct {
	About          string         `json:"about"`
	T              []number       `json:"t"`
	Threshold      *float64       `json:"threshold,omitempty"`
	Intervals      []intervalJSON `json:"intervals,omitzero"`
	Difference     []number       `json:"difference"`
	Low            []number       `json:"low"`
	High           []number       `json:"high"`
	FieldThreshold number         `json:"field_threshold"`
	Ways           int            `json:"ways"`
	Exact          bool           `json:"exact"`
}

type intervalJSON struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
	P    float64 `json:"p"`
}

type leftOutJSON struct {
	Run string `json:"run"`
	Why string `json:"why"`
}

type loadingJSON struct {
	Player   string          `json:"player"`
	Measures []playerRowJSON `json:"measures"`
}

type lotJSON struct {
	Clubs    []string         `json:"clubs"`
	Measures []lotMeasureJSON `json:"measures"`
	LeftOut  []leftOutJSON    `json:"left_out"`
}

type lotMeasureJSON struct {
	Measure         string `json:"measure"`
	Mean            number `json:"mean"`
	Repeatability   number `json:"repeatability_sd"`
	Between         number `json:"between_clubs_sd"`
	Reproducibility number `json:"reproducibility_sd"`
	Limit           number `json:"repeatability_limit"`
	F               number `json:"f"`
	DF1             number `json:"df1"`
	DF2             number `json:"df2"`
	P               number `json:"p"`
	Holm            number `json:"holm_p"`
	SharedSD        number `json:"systematic_sd"`
	WithBetween     number `json:"between_clubs_sd_with_systematic"`
	WithP           number `json:"p_with_systematic"`
	WithHolm        number `json:"holm_p_with_systematic"`
	Clubs           int    `json:"clubs"`
	Players         int    `json:"players"`
	Runs            int    `json:"runs"`
	Why             string `json:"why,omitempty"`
}

// WriteComparison writes a comparison with its curves as JSON
// (bendline-comparison, version 1; the package documentation lists the keys). A
// value that is not known is null. Where too few curves allow no threshold,
// threshold and intervals are absent.
// The curves take a moment; a cancelled ctx ends it with nothing written.
func WriteComparison(ctx context.Context, w io.Writer, c *Comparison) error {
	out := comparisonJSON{
		Format: "bendline-comparison", Version: 1,
		Baseline: c.Baseline, Prototype: c.Prototype, Design: c.Design,
		Measures: newMeasuresJSON(c.Measures), Peaks: newMeasuresJSON(c.Peaks),
		LeftOut: newLeftOutJSON(c.LeftOut), Settings: c.study.Settings.json(),
		Choices: choicesJSON{level, power, append([]capture.Code{}, c.Choices.LeaveOut...), c.ChoiceWords()},
		Flagged: make([]flaggedJSON, len(c.Flagged)),
	}
	for i, f := range c.Flagged {
		out.Flagged[i] = flaggedJSON(f)
	}
	for _, l := range c.Loading() {
		of := loadingJSON{Player: l.Player}
		for _, r := range l.Rows {
			of.Measures = append(of.Measures, newPlayerRowJSON(r.Measure.Key, r.PlayerDifference))
		}
		out.Loading = append(out.Loading, of)
	}
	for axis, curves := range map[Axis]*[]curveJSON{ToImpact: &out.Curves, Downswing: &out.DownswingCurves, Station: &out.ShaftCurves} {
		differences, err := c.Curves(ctx, axis, nil)
		if err != nil {
			return err
		}
		*curves = make([]curveJSON, len(differences))
		for i, d := range differences {
			(*curves)[i] = newCurveJSON(d)
		}
	}
	if c.Lot != nil {
		out.Lot = newLotJSON(c.Lot)
	}
	return writeJSON(w, out)
}

func newLeftOutJSON(left []LeftOut) []leftOutJSON {
	out := make([]leftOutJSON, len(left))
	for i, l := range left {
		out[i] = leftOutJSON(l)
	}
	return out
}

func newSummaryJSON(s Summary) summaryJSON {
	return summaryJSON{s.Runs, s.Players, number(s.Mean), number(s.SD)}
}

func newCurveJSON(d CurveDifference) curveJSON {
	out := curveJSON{
		Measure: d.Measure.Key, Axis: d.Axis,
		X:            numbers(d.Baseline.X),
		BaselineMean: numbers(d.Baseline.Mean), PrototypeMean: numbers(d.Prototype.Mean),
		BaselineSD: d.Baseline.sd(), PrototypeSD: d.Prototype.sd(),
		curveViewJSON: newCurveViewJSON(d.CurveView), Words: d.Words(),
	}
	if d.Within != nil {
		within := newCurveViewJSON(*d.Within)
		out.Within = &within
	}
	return out
}

func newCurveViewJSON(v CurveView) curveViewJSON {
	out := curveViewJSON{
		About: v.About, T: numbers(v.T), Difference: numbers(v.Value), Low: numbers(v.Low), High: numbers(v.High),
		FieldThreshold: number(v.Field), Ways: v.Ways, Exact: v.Exact,
	}
	if !math.IsNaN(v.Threshold) {
		out.Threshold = &v.Threshold
		out.Intervals = make([]intervalJSON, len(v.Intervals))
		for i, in := range v.Intervals {
			out.Intervals[i] = intervalJSON(in)
		}
	}
	return out
}

// sd returns the standard deviation at each point.
func (c CurveSet) sd() []number {
	out := make([]number, len(c.Mean))
	for i := range out {
		out[i] = number((c.High[i] - c.Low[i]) / 2)
	}
	return out
}

func newLotJSON(l *Lot) *lotJSON {
	out := &lotJSON{Clubs: l.Clubs, LeftOut: newLeftOutJSON(l.LeftOut)}
	for _, m := range l.Measures {
		p := m.Alone
		row := lotMeasureJSON{Measure: m.Measure.Key, Clubs: p.Units, Players: p.Blocks, Runs: p.N, Why: m.Why}
		for _, v := range []struct {
			to *number
			is float64
		}{
			{&row.Mean, p.Mean}, {&row.Repeatability, p.Repeatability}, {&row.Between, p.Between},
			{&row.Reproducibility, p.Reproducibility}, {&row.Limit, p.Limit()},
			{&row.F, p.F}, {&row.DF1, p.DF1}, {&row.DF2, p.DF2}, {&row.P, p.P}, {&row.Holm, m.HolmAlone},
			{&row.SharedSD, m.Shared}, {&row.WithBetween, m.Between}, {&row.WithP, m.P}, {&row.WithHolm, m.Holm},
		} {
			if *v.to = number(v.is); m.Why != "" {
				*v.to = number(math.NaN())
			}
		}
		out.Measures = append(out.Measures, row)
	}
	return out
}
