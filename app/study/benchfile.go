package study

import (
	"io"
	"math"

	"bendline/capture"
	"bendline/kinematics"
)

type benchJSON struct {
	Format  string           `json:"format"`
	Version int              `json:"version"`
	Clubs   []clubBenchJSON  `json:"clubs"`
	Swings  *benchSwingsJSON `json:"swings,omitempty"`
}

type clubBenchJSON struct {
	ID              string            `json:"id"`
	Checks          []checkJSON       `json:"checks"`
	FromStiffness   fromStiffnessJSON `json:"from_stiffness"`
	ThreePoint      []stationEIJSON   `json:"ei_from_three_point"`
	SwingWeight     number            `json:"swing_weight_ozin"`
	SwingLetter     string            `json:"swing_weight_letter,omitempty"`
	SwingWeightZero number            `json:"swing_weight_d0_ozin"`
	Agreements      []agreementJSON   `json:"consistency"`
	Departures      []departureJSON   `json:"ei_off_smooth_taper"`
	SoftSpots       []softSpotJSON    `json:"soft_spots"`
	Flags           []benchFlagJSON   `json:"flags"`
}

type checkJSON struct {
	Item     string  `json:"item"`
	Station  *number `json:"station_mm,omitempty"`
	Source   string  `json:"source,omitempty"`
	Value    number  `json:"value"`
	Target   number  `json:"target"`
	Low      number  `json:"low"`
	High     number  `json:"high"`
	OK       *bool   `json:"ok"` // null where it is missing
	EI       *number `json:"ei_n_m2,omitempty"`
	TargetEI *number `json:"target_ei_n_m2,omitempty"`
}

type fromStiffnessJSON struct {
	Frequency           number         `json:"frequency_cpm"`
	Torque              number         `json:"torque_deg"`
	Butt                number         `json:"butt_deflection_mm"`
	Tip                 number         `json:"tip_deflection_mm"`
	BendPointCompressed number         `json:"bend_point_compressed_mm"`
	BendPointRatio      number         `json:"bend_point_ratio_percent"`
	SetUp               benchSetUpJSON `json:"setup"`
}

type benchSetUpJSON struct {
	Clamp       number `json:"frequency_clamp_mm"`
	TipMass     number `json:"frequency_tip_mass_g"`
	Moment      number `json:"torque_moment_n_m"`
	TorqueClamp number `json:"torque_clamp_mm"`
	TorqueBeam  number `json:"torque_beam_mm"`
}

type stationEIJSON struct {
	Station   number `json:"station_mm"`
	EI        number `json:"ei_n_m2"` // F S³/48y
	Bias      number `json:"taper_bias_percent"`
	Corrected number `json:"corrected_ei_n_m2"`
}

type agreementJSON struct {
	Item        string  `json:"item"`
	Station     *number `json:"station_mm,omitempty"`
	Measured    number  `json:"measured"`
	Computed    number  `json:"computed"`
	From        string  `json:"from"`
	Difference  number  `json:"difference"`
	Usual       number  `json:"usual"`
	Agrees      bool    `json:"agrees"`
	Explanation string  `json:"explanation,omitempty"`
}

type departureJSON struct {
	Station number `json:"station_mm"`
	Percent number `json:"percent"`
}

type softSpotJSON struct {
	From    number `json:"from_mm"`
	To      number `json:"to_mm"`
	Worst   number `json:"worst_mm"`
	Percent number `json:"percent"`
}

type benchFlagJSON struct {
	Code   capture.Code `json:"code"`
	Item   string       `json:"item,omitempty"`
	Detail string       `json:"detail"`
}

// WriteBench writes what the bench says as JSON (bendline-bench, version 1), and
// what it says of the swings, where swings is not nil. What is not known is
// null; a check that could not be made has ok null.
func WriteBench(w io.Writer, clubs []ClubBench, swings *BenchSwings) error {
	out := benchJSON{"bendline-bench", 1, make([]clubBenchJSON, len(clubs)), nil}
	for i := range clubs {
		out.Clubs[i] = newClubBenchJSON(&clubs[i])
	}
	if swings != nil {
		out.Swings = newBenchSwingsJSON(swings)
	}
	return writeJSON(w, out)
}

// optionalNumber returns nil for NaN.
func optionalNumber(v float64) *number {
	if math.IsNaN(v) {
		return nil
	}
	n := number(v)
	return &n
}

func newClubBenchJSON(b *ClubBench) clubBenchJSON {
	f := b.FromStiffness
	out := clubBenchJSON{
		ID: b.Club, Checks: []checkJSON{}, ThreePoint: []stationEIJSON{}, Agreements: []agreementJSON{}, Departures: []departureJSON{}, SoftSpots: []softSpotJSON{}, Flags: []benchFlagJSON{},
		SwingWeight: number(b.SwingWeightOzIn), SwingLetter: b.SwingWeightLetter, SwingWeightZero: number(b.SwingWeightZero),
		FromStiffness: fromStiffnessJSON{
			number(f.FrequencyCPM), number(f.TorqueDeg), number(f.ButtDeflectionMM), number(f.TipDeflectionMM),
			number(f.BendPointCompressedMM), number(f.BendPointRatio),
			benchSetUpJSON{number(f.ClampMM), number(f.TipMassG), number(f.MomentNM), number(f.TorqueClampMM), number(f.TorqueBeamMM)},
		},
	}
	for _, c := range b.Checks {
		k := checkJSON{Item: c.Item, Station: optionalNumber(c.StationMM), Source: c.Source,
			Value: number(c.Value), Target: number(c.Target), Low: number(c.Low), High: number(c.High)}
		if c.Verdict != Missing {
			ok := c.Verdict == Passed
			k.OK = &ok
		}
		if k.Station != nil {
			k.EI, k.TargetEI = optionalNumber(c.EI.Value), optionalNumber(c.EI.Target)
		}
		out.Checks = append(out.Checks, k)
	}
	for _, r := range b.Readings {
		out.ThreePoint = append(out.ThreePoint, stationEIJSON{number(r.StationMM), number(r.Formula), number(r.Bias * 100), number(r.EI)})
	}
	for _, a := range b.Agreements {
		out.Agreements = append(out.Agreements, agreementJSON{a.Item, optionalNumber(a.StationMM), number(a.Measured), number(a.Computed), a.From,
			number(a.Difference()), number(a.Usual), a.Agrees(), a.Explanation()})
	}
	for _, d := range b.Departures {
		out.Departures = append(out.Departures, departureJSON{number(millimetres(d.Station)), number(d.Share * 100)})
	}
	for _, x := range b.SoftSpots {
		out.SoftSpots = append(out.SoftSpots, softSpotJSON{number(millimetres(x.From)), number(millimetres(x.To)), number(millimetres(x.Worst.Station)), number(x.Worst.Share * 100)})
	}
	for _, x := range b.Flags {
		out.Flags = append(out.Flags, benchFlagJSON(x))
	}
	return out
}

type benchSwingsJSON struct {
	Clubs    []clubSwingsJSON `json:"clubs"` // means of the runs that are not excluded
	Runs     []runBenchJSON   `json:"runs"`
	Softness *softnessJSON    `json:"softness"`
	Wear     []wearJSON       `json:"wear"`
	LeftOut  []string         `json:"left_out"`
}

type clubSwingsJSON struct {
	ID     string    `json:"id"`
	Runs   int       `json:"runs"`
	Pull   number    `json:"pull_n"`
	Droop  planeJSON `json:"droop_mm"`
	Lead   planeJSON `json:"lead_mm"`
	Impact siteJSON  `json:"bend_at_impact"`
	Lag    siteJSON  `json:"bend_at_peak_lag"`
}

type runBenchJSON struct {
	ID        string         `json:"id"`
	Club      string         `json:"club"`
	From      predictionFrom `json:"from"`
	Droop     planeJSON      `json:"droop_mm"`
	Lead      planeJSON      `json:"lead_mm"`
	Impact    siteJSON       `json:"bend_at_impact"`
	Lag       siteJSON       `json:"bend_at_peak_lag"`
	Station   []number       `json:"station_mm"`
	LeadBend  *momentJSON    `json:"lead_moment_n_m"`
	DroopBend *momentJSON    `json:"droop_moment_n_m"`
}

type predictionFrom struct {
	HeadMass  number   `json:"head_g"`
	Speed     number   `json:"head_speed_m_s"`
	Radius    number   `json:"radius_m"`
	Force     number   `json:"pull_n"`
	PullAngle number   `json:"pull_to_shaft_deg"`
	Clamp     number   `json:"hands_mm"`
	MeanEI    number   `json:"mean_ei_n_m2"`
	Assumed   []string `json:"assumed"`
}

type planeJSON struct {
	Offset      number        `json:"cg_offset"`
	ClosedForm  number        `json:"closed_form"`
	Beam        number        `json:"beam"`
	BeyondClamp number        `json:"captured_beyond_hands"`
	Captured    *estimateJSON `json:"captured"`
}

type siteJSON struct {
	Time    number    `json:"time_s"`
	Station number    `json:"largest_at_mm"`
	Most    number    `json:"largest_per_m"`
	Thirds  [3]number `json:"share_butt_middle_tip"`
}

type momentJSON struct {
	Value []number `json:"value"`
	U95   []number `json:"u95"`
}

type softnessJSON struct {
	Baseline  string               `json:"baseline"`
	Prototype string               `json:"prototype"`
	Thirds    []thirdStiffnessJSON `json:"ei_ratio"`
	TipShare  contrastJSON         `json:"tip_share_difference"`
	Seen      Seen                 `json:"softer_tip_seen_in"`
}

type thirdStiffnessJSON struct {
	Third   string       `json:"third"`
	Bench   number       `json:"bench"`
	Implied contrastJSON `json:"implied_by_captures"`
}

type contrastJSON struct {
	Value number    `json:"value"`
	CI95  [2]number `json:"ci95"`
}

func newContrastJSON(c Contrast) contrastJSON {
	return contrastJSON{number(c.Value), [2]number{number(c.Low), number(c.High)}}
}

type wearJSON struct {
	Club    string           `json:"club"`
	Caution string           `json:"caution"`
	Peaks   []peakStrainJSON `json:"peaks"`
	Station number           `json:"station_mm"`
	Around  number           `json:"around_deg"`
	Cycles  int              `json:"half_and_full_cycles"`
	Rig     rigJSON          `json:"rig"`
}

type peakStrainJSON struct {
	Run     string `json:"run"`
	Strain  number `json:"microstrain"`
	Station number `json:"station_mm"`
	Time    number `json:"time_s"`
	After   number `json:"after_impact_s"`
}

type rigJSON struct {
	Swings number `json:"swings"`
	Slope  number `json:"slope"`
	Range  number `json:"range_microstrain"`
	Cycles number `json:"cycles"`
}

func newBenchSwingsJSON(s *BenchSwings) *benchSwingsJSON {
	out := &benchSwingsJSON{Clubs: []clubSwingsJSON{}, Runs: []runBenchJSON{}, Wear: []wearJSON{}, LeftOut: s.LeftOut}
	for _, m := range s.ByClub() {
		out.Clubs = append(out.Clubs, clubSwingsJSON{m.Club, m.Runs, number(m.Force), newPlaneJSON(m.Droop), newPlaneJSON(m.Lead), newSiteJSON(m.AtImpact), newSiteJSON(m.AtLag)})
	}
	for _, r := range s.Runs {
		out.Runs = append(out.Runs, newRunBenchJSON(r))
	}
	if k := s.Softness; k != nil {
		out.Softness = &softnessJSON{Baseline: k.Baseline, Prototype: k.Prototype, TipShare: newContrastJSON(k.TipShare), Seen: k.Seen}
		for _, t := range k.Thirds {
			out.Softness.Thirds = append(out.Softness.Thirds, thirdStiffnessJSON{t.Third, number(t.Bench), newContrastJSON(t.Implied)})
		}
	}
	for _, w := range s.Wear {
		j := wearJSON{w.Club, w.Caution, nil, number(millimetres(w.Worst.Station)), number(w.Around * degree), len(w.Cycles),
			rigJSON{number(w.Swings), number(w.Slope), number(w.RigRange * 1e6), number(w.RigCycles)}}
		for _, p := range w.Peaks {
			j.Peaks = append(j.Peaks, peakStrainJSON{p.Run, number(p.Strain * 1e6), number(millimetres(p.Station)), number(p.Time), number(p.Time - p.Impact)})
		}
		out.Wear = append(out.Wear, j)
	}
	return out
}

func newPlaneJSON(q PlanePrediction) planeJSON {
	return planeJSON{number(millimetres(q.Offset)), number(q.ClosedForm * 1e3), number(q.Beam * 1e3), number(q.BeyondClamp * 1e3), newEstimateJSON(q.Captured, 1e3)}
}

func newSiteJSON(b BendSite) siteJSON {
	return siteJSON{number(b.Time), number(millimetres(b.Station)), number(b.Most), [3]number(numbers(b.Thirds[:]))}
}

func newRunBenchJSON(r RunBench) runBenchJSON {
	p := r.Prediction
	moment := func(m *kinematics.Series) *momentJSON {
		if m == nil {
			return nil
		}
		return &momentJSON{numbers(m.Value), numbers(m.U95)}
	}
	out := runBenchJSON{ID: p.Run, Club: p.Club, Droop: newPlaneJSON(p.Droop), Lead: newPlaneJSON(p.Lead), Impact: newSiteJSON(r.AtImpact), Lag: newSiteJSON(r.AtLag),
		LeadBend: moment(r.Moments.LeadMoment), DroopBend: moment(r.Moments.DroopMoment),
		From: predictionFrom{number(p.HeadMass * 1e3), number(p.Speed), number(p.Radius), number(p.Force), number(p.PullAngle * degree),
			number(millimetres(p.Clamp)), number(p.MeanEI), append([]string{}, p.Assumed...)}}
	for _, s := range r.Moments.Station {
		out.Station = append(out.Station, number(millimetres(s)))
	}
	return out
}
