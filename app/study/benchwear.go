package study

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendline/kinematics"
	"bendline/kinematics/beam"
)

// WearCaution goes with every figure of a Wear.
const WearCaution = "Planning help, not proof of durability: damage is taken to add up linearly and to follow a power of the strain range, which composites keep only roughly. On the rig, follow the rig's own safety rules and qualified practice."

// A StrainPeak is the largest surface strain of a swing.
type StrainPeak struct {
	Run     string
	Strain  float64 // curvature × radius
	Station float64 // m
	Time    float64 // s
	Impact  float64 // s: what is later is the shaft's answer to the blow
}

// A Wear is how hard the swings of a study work the shaft of one club.
type Wear struct {
	Club   string
	Peaks  []StrainPeak // one for each run that was analysed, excluded or not: the shaft bore it
	Worst  StrainPeak
	Around float64      // direction around the shaft that is worked hardest at the worst peak's station, rad from lead towards droop
	Cycles []beam.Cycle // of the strain there, over all runs one by one

	// The largest strain of all runs at each station, m from the butt: up to
	// impact, and in all; NaN where no frame has one.
	Station, ToImpact, Most []float64

	// The rig test that counts as much as Swings swings like these.
	Slope, Swings float64
	RigRange      float64 // strain from lowest to highest
	RigCycles     float64

	Caution string
}

// ShaftWear returns how hard the runs of a club worked its shaft. It returns an
// error where the study lacks the shaft's diameters or no run was analysed.
//
// The station looked at is that of the largest strain. The strain there is
// followed through each swing in directions all around the shaft, its cycles
// are counted (beam.Rainflow), and the direction of most damage is taken.
func ShaftWear(a *Analysis, club string, o SwingOptions) (Wear, error) {
	c := a.Study.Club(club)
	switch {
	case c == nil:
		return Wear{}, fmt.Errorf("study: there is no club %q in the study", club)
	case c.ButtDiameter == 0 || c.TipDiameter == 0:
		return Wear{}, fmt.Errorf("study: club %q has no butt_diameter_mm and tip_diameter_mm, which strain needs", club)
	}
	w := Wear{Club: club, Slope: o.WearSlope, Swings: o.WearSwings, RigRange: o.WearRigRange, Caution: WearCaution}
	var strains []strainHistory
	for _, r := range a.Results {
		if r.Run.Club == club && r.OK() {
			h := newStrainHistory(r.Swing, c)
			peak := h.peak()
			if math.IsNaN(peak.Strain) {
				continue
			}
			peak.Run = r.Run.ID
			w.Peaks = append(w.Peaks, peak)
			strains = append(strains, h)
			w.envelope(&h)
			if !(peak.Strain <= w.Worst.Strain) {
				w.Worst = peak
			}
		}
	}
	if len(strains) == 0 {
		return Wear{}, errors.New("study: no run of the club was analysed, so there is no strain to count")
	}
	const directions = 12 // every 15°
	most := math.Inf(-1)
	for d := range directions {
		around := math.Pi * float64(d) / directions
		var cycles []beam.Cycle
		for _, h := range strains {
			cycles = append(cycles, beam.Rainflow(h.along(w.Worst.Station, around))...)
		}
		if damage := beam.RigCycles(cycles, w.Worst.Strain, w.Slope); damage > most {
			most, w.Around, w.Cycles = damage, around, cycles
		}
	}
	if w.RigRange == 0 {
		for _, k := range w.Cycles {
			w.RigRange = math.Max(w.RigRange, k.Range)
		}
	}
	w.RigCycles = beam.RigCycles(w.Cycles, w.RigRange, w.Slope) / float64(len(strains)) * w.Swings
	return w, nil
}

// envelope takes the strain of a swing into the largest at each station.
func (w *Wear) envelope(h *strainHistory) {
	if w.Station == nil {
		nan := slices.Repeat([]float64{math.NaN()}, len(h.station))
		w.Station, w.ToImpact, w.Most = h.station, slices.Clone(nan), nan
	}
	for i := range h.lead {
		for k := range min(len(w.Station), len(h.station)) { // a club's runs have the same stations
			e := math.Hypot(h.lead[i][k], h.droop[i][k])
			if math.IsNaN(e) {
				continue
			}
			if !(e <= w.Most[k]) {
				w.Most[k] = e
			}
			if h.swing.Time(i) <= h.swing.Impact.Value && !(e <= w.ToImpact[k]) {
				w.ToImpact[k] = e
			}
		}
	}
}

// A strainHistory is the surface strain of a swing in the lead and the droop
// plane, by frame and station.
type strainHistory struct {
	swing       *kinematics.Swing
	station     []float64
	lead, droop [][]float64
}

func newStrainHistory(s *kinematics.Swing, c *Club) strainHistory {
	h := strainHistory{swing: s, lead: make([][]float64, s.Frames()), droop: make([][]float64, s.Frames())}
	for i := range s.Frames() {
		p := s.ProfileAt(i)
		h.station = p.Station
		h.lead[i], h.droop[i] = p.LeadCurvature.Value, p.DroopCurvature.Value
		for k, at := range p.Station {
			radius := (c.ButtDiameter + (c.TipDiameter-c.ButtDiameter)*at/s.Length) / 2
			h.lead[i][k] *= radius
			h.droop[i][k] *= radius
		}
	}
	return h
}

// peak returns the largest strain of all frames; NaN if none was fitted.
func (h *strainHistory) peak() StrainPeak {
	p := StrainPeak{Strain: math.NaN(), Impact: h.swing.Impact.Value}
	for i := range h.lead {
		for k, at := range h.station {
			if e := math.Hypot(h.lead[i][k], h.droop[i][k]); !math.IsNaN(e) && !(e <= p.Strain) {
				p.Strain, p.Station, p.Time = e, at, h.swing.Time(i)
			}
		}
	}
	return p
}

// along returns the strain at the station nearest to at, in a direction around
// the shaft, by frame.
func (h *strainHistory) along(at, around float64) []float64 {
	k := 0
	for i, s := range h.station {
		if math.Abs(s-at) < math.Abs(h.station[k]-at) {
			k = i
		}
	}
	sin, cos := math.Sincos(around)
	out := make([]float64, len(h.lead))
	for i := range out {
		out[i] = cos*h.lead[i][k] + sin*h.droop[i][k]
	}
	return out
}
