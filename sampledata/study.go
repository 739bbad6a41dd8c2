package sampledata

import "math"

// The study file, as other packages read it. Millimetres and degrees live here
// and in truth.json alone.
type studyFile struct {
	Format  string       `json:"format"`
	Version int          `json:"version"`
	Title   string       `json:"title"`
	World   worldFile    `json:"world"`
	Clubs   []clubFile   `json:"clubs"`
	Players []playerFile `json:"players"`
	Runs    []runEntry   `json:"runs"`
}

type worldFile struct {
	Up     string `json:"up"`
	Target string `json:"target"`
}

type clubFile struct {
	ID        string      `json:"id"`
	Label     string      `json:"label"`
	Role      string      `json:"role"`
	Hand      string      `json:"hand"`
	Shaft     shaftFile   `json:"shaft"`
	Markers   markersFile `json:"markers"`
	Reference string      `json:"reference"`
	Bench     *Bench      `json:"bench,omitempty"`
	Spec      *Spec       `json:"spec,omitempty"`
}

type shaftFile struct {
	LengthMM       float64         `json:"length_mm"`
	ButtDiameterMM float64         `json:"butt_diameter_mm"`
	TipDiameterMM  float64         `json:"tip_diameter_mm"`
	Stiffness      []stiffnessFile `json:"stiffness"`
}

type stiffnessFile struct {
	StationMM float64 `json:"station_mm"`
	EINM2     float64 `json:"ei_n_m2"`
	GJNM2     float64 `json:"gj_n_m2"`
}

type markersFile struct {
	Grip  []string          `json:"grip"`
	Shaft []shaftMarkerFile `json:"shaft"`
	Head  []string          `json:"head"`
	Heel  string            `json:"heel"`
	Toe   string            `json:"toe"`
}

type shaftMarkerFile struct {
	Name      string  `json:"name"`
	StationMM float64 `json:"station_mm"`
	OffsetMM  float64 `json:"offset_mm"`
}

type playerFile struct {
	ID    string `json:"id"`
	Label string `json:"label"`
}

type runEntry struct {
	ID       string `json:"id"`
	File     string `json:"file"`
	Club     string `json:"club"`
	Player   string `json:"player"`
	Excluded string `json:"excluded,omitempty"`
}

func referenceFile(c Club) string { return c.ID + "-reference.csv" }

func runFile(r Run) string {
	if r.Layout == Stacked {
		return r.ID + ".txt"
	}
	return r.ID + ".csv"
}

// study returns the content of the scenario's study file.
func (s Scenario) study() studyFile {
	f := studyFile{Format: "bendline-study", Version: 1, Title: s.Title, World: worldFile{Up: "+z", Target: "+x"}}
	for _, c := range s.Clubs {
		f.Clubs = append(f.Clubs, newClubFile(c))
	}
	for _, p := range s.Players {
		f.Players = append(f.Players, playerFile(p))
	}
	for _, r := range s.Runs {
		f.Runs = append(f.Runs, runEntry{r.ID, runFile(r), r.Config.Club.ID, r.Player, r.Excluded})
	}
	return f
}

func newClubFile(c Club) clubFile {
	f := clubFile{
		ID: c.ID, Label: c.Label, Role: c.Role, Hand: c.Hand.String(),
		Shaft:     shaftFile{LengthMM: mm(c.Shaft.Length), ButtDiameterMM: mm(c.ButtDiameter), TipDiameterMM: mm(c.TipDiameter)},
		Markers:   markersFile{Grip: c.Markers.Grip, Head: c.Markers.Head, Heel: c.Markers.Heel, Toe: c.Markers.Toe},
		Reference: referenceFile(c),
		Bench:     c.Bench,
		Spec:      c.Spec,
	}
	for i, s := range c.Shaft.Station {
		f.Shaft.Stiffness = append(f.Shaft.Stiffness, stiffnessFile{mm(s), c.Shaft.EI[i], c.Shaft.GJ[i]})
	}
	for _, m := range c.Markers.Shaft {
		f.Markers.Shaft = append(f.Markers.Shaft, shaftMarkerFile{m.Name, mm(m.Station), mm(m.Offset)})
	}
	return f
}

// truthFile is a run's entry in truth.json.
type truthFile struct {
	LeadMM        float64    `json:"lead_mm"`
	DroopMM       float64    `json:"droop_mm"`
	TwistDeg      float64    `json:"twist_deg"`
	LeadAngleDeg  float64    `json:"lead_angle_deg"`
	DroopAngleDeg float64    `json:"droop_angle_deg"`
	ImpactS       float64    `json:"impact_s"`
	TopS          float64    `json:"top_s"`
	HeadSpeed     float64    `json:"head_speed_m_s"`
	KickSpeed     float64    `json:"kick_speed_m_s"`
	PeakLagMM     float64    `json:"peak_lag_mm"`
	PeakLagS      float64    `json:"peak_lag_s"`
	Series        seriesFile `json:"series"`
}

// seriesFile is the downswing, one entry for each instant.
type seriesFile struct {
	TimeS    []float64 `json:"time_s"`
	LeadMM   []float64 `json:"lead_mm"`
	DroopMM  []float64 `json:"droop_mm"`
	TwistDeg []float64 `json:"twist_deg"`
}

func newTruthFile(t Truth) truthFile {
	f := truthFile{
		LeadMM: t.Lead * 1e3, DroopMM: t.Droop * 1e3,
		TwistDeg: degrees(t.Twist), LeadAngleDeg: degrees(t.LeadAngle), DroopAngleDeg: degrees(t.DroopAngle),
		ImpactS: t.Impact, TopS: t.Top,
		HeadSpeed: t.HeadSpeed, KickSpeed: t.KickSpeed,
		PeakLagMM: t.PeakLag * 1e3, PeakLagS: t.PeakLagTime,
	}
	for _, s := range t.Downswing {
		f.Series.TimeS = append(f.Series.TimeS, round(s.Time, 1e-6))
		f.Series.LeadMM = append(f.Series.LeadMM, round(s.Lead*1e3, 1e-4))
		f.Series.DroopMM = append(f.Series.DroopMM, round(s.Droop*1e3, 1e-4))
		f.Series.TwistDeg = append(f.Series.TwistDeg, round(degrees(s.Twist), 1e-4))
	}
	return f
}

// mm returns a length of the club in millimetres, without the last bits that
// the change of unit leaves.
func mm(x float64) float64 { return round(x*1e3, 1e-4) }

func degrees(x float64) float64 { return x * 180 / math.Pi }
