package study

import (
	"encoding/json"

	"bendline/capture"
	"bendline/kinematics"
)

// A Study is the content of a study file. It is a value: a command on it
// returns a changed copy and leaves the old one alone.
type Study struct {
	Path     string // of the study file; capture paths are relative to its folder
	Title    string
	World    World
	Settings Settings
	Clubs    []Club
	Players  []Player
	Runs     []Run
	Choices  Choices         // about comparisons
	Slides   json.RawMessage // which slides its deck has, as in the file; read by the deck

	BenchSettings BenchSettings // conventions of the bench, where they are not the usual ones

	file node[studyJSON] // as read, for the keys this version does not know
}

// World names the axes of the capture files: "+x" … "-z". Both are "" where
// the file does not say.
type World struct{ Up, Target string }

// Role tells prototypes from the baseline.
type Role string

// The roles of a club.
const (
	Baseline  Role = "baseline"
	Prototype Role = "prototype"
)

// A Club is one shaft, assembled, with its markers.
type Club struct {
	ID, Label                 string
	Role                      Role
	Hand                      kinematics.Hand
	Shaft                     kinematics.Shaft
	ButtDiameter, TipDiameter float64 // m, 0 where not given
	Markers                   capture.MarkerSet
	Aliases                   map[string]string // names in captures of the club → marker
	Reference                 string            // file of the club hanging unloaded
	Import                    capture.Hints     // with which Reference is read
	Bench                     json.RawMessage   // as in the file; read by the bench sheet
	Spec                      json.RawMessage

	file node[clubJSON]
}

// A Player swings the clubs.
type Player struct {
	ID, Label string

	file node[playerJSON]
}

// A Run is one captured swing.
type Run struct {
	ID, File, Club, Player string // Player is "" where the study names none
	Import                 capture.Hints
	Swaps                  []Swap // labels that changed places, in the order they are put right
	Events                 Events
	Excluded               string // why the run is left out of comparisons, "" when it is in

	file node[runJSON]
}

// Events are times set by hand, s; nil where the program finds them.
type Events struct{ Top, Impact *float64 }

// Club returns the club with the id, nil if there is none.
func (s *Study) Club(id string) *Club {
	for i := range s.Clubs {
		if s.Clubs[i].ID == id {
			return &s.Clubs[i]
		}
	}
	return nil
}

// Player returns the player with the id, nil if there is none.
func (s *Study) Player(id string) *Player {
	for i := range s.Players {
		if s.Players[i].ID == id {
			return &s.Players[i]
		}
	}
	return nil
}

// PlayerCalled returns the id of the player that is called so: by id or, where no
// id is, by the label of one player alone. It returns the name itself where there
// is no such player.
func (s *Study) PlayerCalled(name string) string {
	if s.Player(name) != nil {
		return name
	}
	found := name
	for _, p := range s.Players {
		switch {
		case p.Label != name:
		case found != name:
			return name // two of them
		default:
			found = p.ID
		}
	}
	return found
}

// Run returns the run with the id, nil if there is none.
func (s *Study) Run(id string) *Run {
	for i := range s.Runs {
		if s.Runs[i].ID == id {
			return &s.Runs[i]
		}
	}
	return nil
}
