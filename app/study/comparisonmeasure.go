package study

import "math"

// What compare.json holds of one measure.
type measureJSON struct {
	Measure     string          `json:"measure"`
	Baseline    summaryJSON     `json:"baseline"`
	Prototype   summaryJSON     `json:"prototype"`
	Difference  differenceJSON  `json:"difference"`
	Equivalence equivalenceJSON `json:"equivalence"`

	HolmP       number          `json:"holm_p"`
	HolmWith    number          `json:"holm_p_with_systematic"`
	Permutation permutationJSON `json:"permutation"`
	Within      permutationJSON `json:"permutation_within_players"`
	AtSpeed     atSpeedJSON     `json:"at_equal_head_speed"`
	Mixed       mixedJSON       `json:"mixed_model"`
	MixedSpeed  atSpeedJSON     `json:"mixed_model_at_equal_head_speed"`
	Power       powerJSON       `json:"power"`
	Spread      spreadJSON      `json:"run_to_run"`
	Outliers    []string        `json:"outliers"`
	ByPlayer    []playerRowJSON `json:"by_player"`
}

type differenceJSON struct {
	Value number     `json:"value"`
	CI95  *[2]number `json:"ci95"`
	T     number     `json:"t"`
	DF    number     `json:"df"`
	P     number     `json:"p"`
	About string     `json:"about,omitempty"`
	Why   string     `json:"why,omitempty"` // there is no interval

	Systematic *systematicJSON `json:"with_systematic,omitempty"`
}

// A systematicJSON is a difference with the errors that all runs of a club share.
type systematicJSON struct {
	U95  number     `json:"u95,omitzero"` // of those errors alone
	CI95 *[2]number `json:"ci95"`
	P    number     `json:"p"`
}

type equivalenceJSON struct {
	Margin number `json:"margin"`
	P      number `json:"p"`
	WithP  number `json:"p_with_systematic"`
	Source string `json:"margin_source"`
	Words  string `json:"words"`
}

type permutationJSON struct {
	P     number `json:"p"`
	SE    number `json:"p_standard_error"`
	Ways  int    `json:"ways"`
	Exact bool   `json:"exact"`
	Why   string `json:"why,omitempty"`
}

type atSpeedJSON struct {
	differenceJSON
	Slope   number `json:"slope_per_m_s"`
	SlopeSE number `json:"slope_standard_error"`
	Faster  number `json:"prototype_faster_m_s"`
}

type mixedJSON struct {
	differenceJSON
	PlayerSD number `json:"player_sd"`
	TasteSD  number `json:"player_by_club_sd"`
	RunSD    number `json:"run_sd"`
}

type powerJSON struct {
	Smallest    number `json:"smallest_difference"`
	Sought      number `json:"sought"`
	Runs        *int   `json:"runs_needed"`
	RunsMore    *int   `json:"runs_more"`
	Players     *int   `json:"players_needed"`
	PlayersMore *int   `json:"players_more"`
}

type spreadJSON struct {
	Runs        number `json:"sd"`
	Measurement number `json:"measurement_sd"`
	Player      number `json:"player_sd"`
	Share       number `json:"measurement_share_of_variance"`
	Words       string `json:"words"`
}

// A playerRowJSON is one player's own difference: by_player names the player,
// loading the measure.
type playerRowJSON struct {
	Player    string      `json:"player,omitempty"`
	Measure   string      `json:"measure,omitempty"`
	Baseline  summaryJSON `json:"baseline"`
	Prototype summaryJSON `json:"prototype"`
	Value     number      `json:"difference"`
	CI95      *[2]number  `json:"ci95"`
	With      *[2]number  `json:"ci95_with_systematic"`
}

func newMeasuresJSON(differences []Difference) []measureJSON {
	out := make([]measureJSON, len(differences))
	for i, d := range differences {
		out[i] = newMeasureJSON(d)
	}
	return out
}

func newMeasureJSON(d Difference) measureJSON {
	m := measureJSON{
		Measure:  d.Measure.Key,
		Baseline: newSummaryJSON(d.Baseline), Prototype: newSummaryJSON(d.Prototype),
		Difference:  newDifferenceJSON(View{d.Value, d.Low, d.High, d.T, d.DF, d.P, d.about(), d.Why, d.Alone}),
		Equivalence: equivalenceJSON{number(d.Equivalence.Margin.Value), number(d.Equivalence.Alone), number(d.Equivalence.P), d.Equivalence.Margin.Source, d.Sameness()},
		HolmP:       number(d.HolmAlone), HolmWith: number(d.Holm),
		Permutation: newPermutationJSON(d.Permutation), Within: newPermutationJSON(d.Within),
		AtSpeed: newAtSpeedJSON(d.AtSpeed), MixedSpeed: newAtSpeedJSON(d.MixedAtSpeed),
		Mixed:    mixedJSON{newDifferenceJSON(d.Mixed.View), number(d.Mixed.PlayerSD), number(d.Mixed.TasteSD), number(d.Mixed.RunSD)},
		Power:    newPowerJSON(d.Power),
		Spread:   spreadJSON{number(d.Spread.Runs), number(d.Spread.Measurement), number(d.Spread.Player), number(d.Spread.Share()), d.Spread.Sentence(d.Measure)},
		Outliers: append([]string{}, d.Outliers...),
		ByPlayer: make([]playerRowJSON, len(d.ByPlayer)),
	}
	if m.Difference.Systematic != nil {
		m.Difference.Systematic.U95 = number(d.SharedU95())
	}
	for i, p := range d.ByPlayer {
		m.ByPlayer[i] = newPlayerRowJSON("", p)
		m.ByPlayer[i].Player = p.Player
	}
	return m
}

// about says whom the difference tells about.
func (d Difference) about() string {
	if len(d.ByPlayer) > 1 {
		return Wide
	}
	return Single
}

func newDifferenceJSON(v View) differenceJSON {
	out := differenceJSON{number(v.Value), interval(v.Alone.Low, v.Alone.High), number(v.T), number(v.DF), number(v.Alone.P), v.About, v.Why, nil}
	if !math.IsNaN(v.Low) {
		out.Systematic = &systematicJSON{CI95: interval(v.Low, v.High), P: number(v.P)}
	}
	return out
}

// interval is null where there is none.
func interval(low, high float64) *[2]number {
	if math.IsNaN(low) {
		return nil
	}
	return &[2]number{number(low), number(high)}
}

func newPermutationJSON(p Permutation) permutationJSON {
	return permutationJSON{number(p.P), number(p.SE), p.Ways, p.Exact, p.Why}
}

func newAtSpeedJSON(a AtSpeed) atSpeedJSON {
	return atSpeedJSON{newDifferenceJSON(a.View), number(a.Slope), number(a.SlopeSE), number(a.Faster)}
}

func newPlayerRowJSON(measure string, p PlayerDifference) playerRowJSON {
	return playerRowJSON{
		Measure:  measure,
		Baseline: newSummaryJSON(p.Baseline), Prototype: newSummaryJSON(p.Prototype),
		Value: number(p.Value), CI95: interval(p.Alone.Low, p.Alone.High), With: interval(p.Low, p.High),
	}
}

// newPowerJSON has null where no number is enough.
func newPowerJSON(p Power) powerJSON {
	out := powerJSON{Smallest: number(p.Smallest), Sought: number(p.Sought)}
	if p.Runs > 0 {
		out.Runs, out.RunsMore = &p.Runs, &p.RunsMore
	}
	if p.Players > 0 {
		out.Players, out.PlayersMore = &p.Players, &p.PlayersMore
	}
	return out
}
