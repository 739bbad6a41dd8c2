package study

import (
	"encoding/json"
	"fmt"
	"strconv"

	"bendline/capture"
	"bendline/kinematics"
)

// The study file, version 1.
const (
	studyFormat  = "bendline-study"
	studyVersion = 1
)

type studyJSON struct {
	Format   string             `json:"format"`
	Version  float64            `json:"version"`
	Title    string             `json:"title"`
	World    node[worldJSON]    `json:"world,omitzero"`
	Settings node[settingsJSON] `json:"settings,omitzero"`
	Clubs    list[clubJSON]     `json:"clubs"`
	Players  list[playerJSON]   `json:"players"`
	Runs     list[runJSON]      `json:"runs"`

	Margins    map[string]float64    `json:"margins,omitempty"`
	Comparison node[keptChoicesJSON] `json:"comparison,omitzero"`
	Slides     json.RawMessage       `json:"slides,omitempty"`

	BenchSettings node[BenchSettings] `json:"bench_settings,omitzero"`
}

// Choices about comparisons, but for the margins.
type keptChoicesJSON struct {
	Baseline  string         `json:"baseline,omitempty"`
	Prototype string         `json:"prototype,omitempty"`
	LeaveOut  []capture.Code `json:"leave_out,omitempty"`
	Lot       []string       `json:"lot,omitempty"`
}

type worldJSON struct {
	Up     string `json:"up"`
	Target string `json:"target"`
}

type clubJSON struct {
	ID        string              `json:"id"`
	Label     string              `json:"label,omitempty"`
	Role      string              `json:"role"`
	Hand      string              `json:"hand"`
	Shaft     node[shaftJSON]     `json:"shaft"`
	Markers   node[markersJSON]   `json:"markers"`
	Aliases   map[string]string   `json:"aliases,omitempty"`
	Reference string              `json:"reference"`
	Import    node[capture.Hints] `json:"import,omitzero"`
	Bench     json.RawMessage     `json:"bench,omitempty"`
	Spec      json.RawMessage     `json:"spec,omitempty"`
}

type shaftJSON struct {
	Length       float64             `json:"length_mm"`
	ButtDiameter float64             `json:"butt_diameter_mm,omitzero"`
	TipDiameter  float64             `json:"tip_diameter_mm,omitzero"`
	Stiffness    list[stiffnessJSON] `json:"stiffness,omitempty"`
}

type stiffnessJSON struct {
	Station float64 `json:"station_mm"`
	EI      float64 `json:"ei_n_m2"`
	GJ      float64 `json:"gj_n_m2"`
}

type markersJSON struct {
	Grip  []string              `json:"grip"`
	Shaft list[shaftMarkerJSON] `json:"shaft"`
	Head  []string              `json:"head"`
	Heel  string                `json:"heel"`
	Toe   string                `json:"toe"`
}

type shaftMarkerJSON struct {
	Name    string  `json:"name"`
	Station float64 `json:"station_mm"`
	Offset  float64 `json:"offset_mm"`
}

type playerJSON struct {
	ID    string `json:"id"`
	Label string `json:"label,omitempty"`
}

type runJSON struct {
	ID       string              `json:"id"`
	File     string              `json:"file"`
	Club     string              `json:"club"`
	Player   string              `json:"player,omitempty"`
	Import   node[capture.Hints] `json:"import,omitzero"`
	Swaps    list[swapJSON]      `json:"swaps,omitempty"`
	Events   node[eventsJSON]    `json:"events,omitzero"`
	Excluded string              `json:"excluded,omitempty"`
}

type swapJSON struct {
	A    string   `json:"a"`
	B    string   `json:"b"`
	From *float64 `json:"from_s,omitempty"`
	To   *float64 `json:"to_s,omitempty"`
}

type eventsJSON struct {
	Top    *float64 `json:"top_s,omitempty"`
	Impact *float64 `json:"impact_s,omitempty"`
}

// millimetres returns x metres in mm. Rounding to 15 digits gives back the
// decimal that was divided by 1000 to get x: any of up to 15 digits survives.
func millimetres(x float64) float64 {
	mm, err := strconv.ParseFloat(strconv.FormatFloat(x*1e3, 'g', 15, 64), 64)
	if err != nil {
		panic(err) // what FormatFloat wrote, ParseFloat reads
	}
	return mm
}

// newStudy returns the study that f tells of. It fails only on words that have
// no place in a Study: Validate does the rest.
func newStudy(f node[studyJSON]) (*Study, error) {
	k := f.Known
	s := &Study{Title: capture.Shown(k.Title), World: World{k.World.Known.Up, k.World.Known.Target},
		Settings: Settings(k.Settings.Known), Slides: k.Slides, BenchSettings: k.BenchSettings.Known, file: f}
	kept := k.Comparison.Known
	s.Choices = Choices{kept.Baseline, kept.Prototype, k.Margins, kept.LeaveOut, kept.Lot}
	for _, c := range k.Clubs {
		club, err := newClub(c)
		if err != nil {
			return nil, err
		}
		s.Clubs = append(s.Clubs, club)
	}
	for _, p := range k.Players {
		s.Players = append(s.Players, Player{ID: p.Known.ID, Label: capture.Shown(p.Known.Label), file: p})
	}
	for _, r := range k.Runs {
		s.Runs = append(s.Runs, Run{
			ID: r.Known.ID, File: r.Known.File, Club: r.Known.Club, Player: r.Known.Player,
			Import:   r.Known.Import.Known,
			Swaps:    newSwaps(r.Known.Swaps),
			Events:   Events(r.Known.Events.Known),
			Excluded: r.Known.Excluded,
			file:     r,
		})
	}
	return s, nil
}

func newClub(f node[clubJSON]) (Club, error) {
	k, shaft := f.Known, f.Known.Shaft.Known
	c := Club{
		ID: k.ID, Label: capture.Shown(k.Label), Role: Role(k.Role),
		Shaft:        kinematics.Shaft{Length: shaft.Length / 1e3},
		ButtDiameter: shaft.ButtDiameter / 1e3,
		TipDiameter:  shaft.TipDiameter / 1e3,
		Markers:      newMarkers(k.Markers.Known),
		Aliases:      k.Aliases,
		Reference:    k.Reference, Import: k.Import.Known, Bench: k.Bench, Spec: k.Spec,
		file: f,
	}
	switch k.Hand {
	case kinematics.Right.String():
		c.Hand = kinematics.Right
	case kinematics.Left.String():
		c.Hand = kinematics.Left
	default:
		return Club{}, fmt.Errorf("club %q: hand is %q; it must be right or left", k.ID, k.Hand)
	}
	for _, row := range shaft.Stiffness {
		c.Shaft.Station = append(c.Shaft.Station, row.Known.Station/1e3)
		c.Shaft.EI = append(c.Shaft.EI, row.Known.EI)
		c.Shaft.GJ = append(c.Shaft.GJ, row.Known.GJ)
	}
	return c, nil
}

// encode returns the study as it is written. What was read and is not known to
// this version comes from the nodes it was read into.
func (s *Study) encode() node[studyJSON] {
	f := s.file
	f.Known.Format, f.Known.Version, f.Known.Title = studyFormat, studyVersion, s.Title
	f.Known.World.Known = worldJSON(s.World)
	f.Known.Settings.Known = settingsJSON(s.Settings)
	c := s.Choices
	f.Known.Margins = c.Margins
	f.Known.Comparison.Known = keptChoicesJSON{c.Baseline, c.Prototype, c.LeaveOut, c.Lot}
	f.Known.Slides = s.Slides
	f.Known.BenchSettings.Known = s.BenchSettings
	f.Known.Clubs = make(list[clubJSON], len(s.Clubs))
	for i, c := range s.Clubs {
		f.Known.Clubs[i] = c.encode()
	}
	f.Known.Players = make(list[playerJSON], len(s.Players))
	for i, p := range s.Players {
		f.Known.Players[i] = node[playerJSON]{playerJSON{p.ID, p.Label}, p.file.Unknown}
	}
	f.Known.Runs = make(list[runJSON], len(s.Runs))
	for i, r := range s.Runs {
		n := r.file
		n.Known.ID, n.Known.File, n.Known.Club, n.Known.Player = r.ID, r.File, r.Club, r.Player
		n.Known.Import.Known, n.Known.Events.Known = r.Import, eventsJSON(r.Events)
		n.Known.Swaps = encodeSwaps(r.Swaps, r.file.Known.Swaps)
		n.Known.Excluded = r.Excluded
		f.Known.Runs[i] = n
	}
	return f
}

func (c *Club) encode() node[clubJSON] {
	n := c.file
	n.Known.ID, n.Known.Label, n.Known.Role, n.Known.Hand = c.ID, c.Label, string(c.Role), c.Hand.String()
	n.Known.Reference, n.Known.Import.Known, n.Known.Bench, n.Known.Spec = c.Reference, c.Import, c.Bench, c.Spec
	n.Known.Aliases = c.Aliases

	shaft := &n.Known.Shaft.Known
	was := shaft.Stiffness
	shaft.Length, shaft.ButtDiameter, shaft.TipDiameter = millimetres(c.Shaft.Length), millimetres(c.ButtDiameter), millimetres(c.TipDiameter)
	shaft.Stiffness = make(list[stiffnessJSON], len(c.Shaft.Station))
	for i, station := range c.Shaft.Station {
		row := stiffnessJSON{millimetres(station), c.Shaft.EI[i], c.Shaft.GJ[i]}
		old := was.find(func(k stiffnessJSON) bool { return k.Station == row.Station })
		shaft.Stiffness[i] = node[stiffnessJSON]{row, old.Unknown}
	}

	markers := &n.Known.Markers.Known
	named := markers.Shaft
	*markers = newMarkersJSON(c.Markers)
	for i := range markers.Shaft {
		m := &markers.Shaft[i]
		m.Unknown = named.find(func(k shaftMarkerJSON) bool { return k.Name == m.Known.Name }).Unknown
	}
	return n
}
