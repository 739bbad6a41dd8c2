// Package study holds a study: which captures belong to which club and player,
// how they were analysed, and what came out.
package study

import (
	"encoding/json"
	"errors"

	"bendline/capture"
	"bendline/kinematics"
)

// A Study is the content of a study file. It is a value: a command on it
// returns a changed copy and leaves the old one alone.
type Study struct {
	Path    string // of the study file; capture paths are relative to its folder
	Title   string
	World   World
	Clubs   []Club
	Players []Player
	Runs    []Run

	unknown map[string]json.RawMessage // keys this version does not know, written back as they were
}

// World names the axes of the capture files: "+x" … "-z".
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
	Reference                 string          // file of the club hanging unloaded
	Bench                     json.RawMessage // as in the file; read by the bench sheet
	Spec                      json.RawMessage

	unknown map[string]json.RawMessage
}

// A Player swings the clubs.
type Player struct {
	ID, Label string

	unknown map[string]json.RawMessage
}

// A Run is one captured swing.
type Run struct {
	ID, File, Club, Player string
	Import                 capture.Hints
	Events                 Events
	Excluded               string // why the run is left out of comparisons, "" when it is in

	unknown map[string]json.RawMessage
}

// Events are times set by hand, s; nil where the program finds them.
type Events struct{ Top, Impact *float64 }

// Open reads a study file. Paths in it are checked to stay inside its folder.
func Open(path string) (*Study, error) { return nil, errors.New("study: not written yet") }

// Save writes the study to path, whole or not at all.
func (s *Study) Save(path string) error { return errors.New("study: not written yet") }

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
