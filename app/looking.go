package app

import (
	"maps"
	"slices"

	"bendline/app/study"
)

// Grouping is what the curves are of.
type Grouping int

// The groupings.
const (
	EachRun Grouping = iota
	ByClub
	ByPlayer
)

var groupingNames = []string{"each run", "by club", "by player"}

// SetGrouping shows curves of the runs side by side or means over all runs.
type SetGrouping struct{ Grouping Grouping }

func (c SetGrouping) apply(s State) State { s.Grouping = c.Grouping; return s }

// SetChart chooses what a chart shows.
type SetChart struct {
	Chart   int
	Content string // key
}

func (c SetChart) apply(s State) State { s.Charts[c.Chart] = c.Content; return s }

// ShowBand draws the uncertainty of the bend, or not.
type ShowBand struct{ On bool }

func (c ShowBand) apply(s State) State { s.Band = c.On; return s }

// ShowMarkers draws the markers and the residuals, or not.
type ShowMarkers struct{ On bool }

func (c ShowMarkers) apply(s State) State { s.Markers = c.On; return s }

// Enlarge lets one pane fill the window; "" puts all side by side again.
type Enlarge struct{ Run string }

func (c Enlarge) apply(s State) State {
	s.Large = c.Run
	if c.Run != "" {
		s.Screen = SwingScreen
	}
	return s
}

// TakeTour shows a step of the tour, on its screen; 0 ends it.
type TakeTour struct{ Step int }

func (c TakeTour) apply(s State) State {
	s.Tour = c.Step
	if c.Step > 0 {
		s.Screen = tour[c.Step-1].screen
	}
	return s
}

// A sight is what the cameras saw in a run, as it was when it was read.
type sight struct {
	run  study.Run
	seen *study.Sighting
}

// Sighted brings what the cameras saw in a run.
type Sighted struct {
	Run  study.Run
	Seen *study.Sighting
}

func (c Sighted) apply(s State) State {
	s.sights = maps.Clone(s.sights)
	if s.sights == nil {
		s.sights = map[string]sight{}
	}
	s.sights[c.Run.ID] = sight{c.Run, c.Seen}
	// Captures are large: only those side by side are kept.
	maps.DeleteFunc(s.sights, func(id string, _ sight) bool { return !s.isPane(id) })
	return s
}

func (s State) isPane(id string) bool { return slices.Contains(s.Panes, id) }

// Sight returns what the cameras saw in a run, nil while it is not read.
func (s State) Sight(id string) *study.Sighting {
	seen, ok := s.sights[id]
	i := s.RunIndex(id)
	if !ok || i < 0 {
		return nil
	}
	if !seen.run.Alike(s.Study.Runs[i]) {
		return nil
	}
	return seen.seen
}
