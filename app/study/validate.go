package study

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"

	"bendline/capture"
	"bendline/kinematics"
)

// minCluster is the smallest number of markers that give a rigid part its pose.
const minCluster = 3

var axis = regexp.MustCompile(`^[+-][xyz]$`)

// Validate returns the first thing that makes the study contradict itself, nil
// if there is none: ids that are empty, stand twice or refer to nothing, and
// clubs that cannot be. Files are not looked at.
func (s *Study) Validate() error {
	if err := s.World.validate(); err != nil {
		return err
	}
	if err := s.Settings.Validate(); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	seen := map[string]bool{}
	for i := range s.Clubs {
		c := &s.Clubs[i]
		if err := newID(seen, "club", i, c.ID); err != nil {
			return err
		}
		if err := c.validate(); err != nil {
			return fmt.Errorf("club %q: %w", c.ID, err)
		}
	}
	clear(seen)
	for i, p := range s.Players {
		if err := newID(seen, "player", i, p.ID); err != nil {
			return err
		}
	}
	clear(seen)
	for i, r := range s.Runs {
		if err := newID(seen, "run", i, r.ID); err != nil {
			return err
		}
		if err := s.validateRun(r); err != nil {
			return fmt.Errorf("run %q: %w", r.ID, err)
		}
	}
	if err := s.Choices.validate(); err != nil {
		return err
	}
	return s.BenchSettings.validate()
}

// newID returns an error if the id of the thing at index i is empty or seen.
func newID(seen map[string]bool, what string, i int, id string) error {
	switch {
	case id == "":
		return fmt.Errorf("%s number %d has no id", what, i+1)
	case seen[id]:
		return fmt.Errorf("the %s id %q stands twice; every %s needs its own", what, id, what)
	case capture.Shown(id) != id:
		return fmt.Errorf("the %s id %q holds a character that cannot be seen; ids are words", what, id)
	}
	seen[id] = true
	return nil
}

func (w World) validate() error {
	if w == (World{}) {
		return nil
	}
	for _, is := range []struct{ name, axis string }{{"up", w.Up}, {"target", w.Target}} {
		if !axis.MatchString(is.axis) {
			return fmt.Errorf("world: %s is %q; it must be one of +x, -x, +y, -y, +z, -z", is.name, is.axis)
		}
	}
	if w.Up[1] == w.Target[1] {
		return fmt.Errorf("world: up %s and target %s are one axis; they must be square to each other", w.Up, w.Target)
	}
	return nil
}

func (s *Study) validateRun(r Run) error {
	if s.Club(r.Club) == nil {
		return fmt.Errorf("there is no club %q in the study", r.Club)
	}
	if r.Player != "" && s.Player(r.Player) == nil {
		return fmt.Errorf("there is no player %q in the study", r.Player)
	}
	if err := validateImport(r.Import); err != nil {
		return err
	}
	for _, w := range r.Swaps {
		if err := w.validate(); err != nil {
			return err
		}
	}
	if e := r.Events; e.Top != nil && e.Impact != nil && *e.Top >= *e.Impact {
		return fmt.Errorf("events: top at %v s is not before impact at %v s", *e.Top, *e.Impact)
	}
	return nil
}

func validateImport(h capture.Hints) error {
	if u := h.Unit; u != "" && u.Metres() == 0 {
		return fmt.Errorf("import: unit is %q; it must be mm, cm, m or in", u)
	}
	if !(h.Rate >= 0) || math.IsInf(h.Rate, 0) {
		return fmt.Errorf("import: rate is %v; it must be a positive number of frames a second", h.Rate)
	}
	return nil
}

func (c *Club) validate() error {
	if c.Role != Baseline && c.Role != Prototype {
		return fmt.Errorf("role is %q; it must be %s or %s", c.Role, Baseline, Prototype)
	}
	if err := validateImport(c.Import); err != nil {
		return err
	}
	if err := validateShaft(c.Shaft); err != nil {
		return err
	}
	if c.ButtDiameter < 0 || c.TipDiameter < 0 {
		return errors.New("a shaft diameter is negative")
	}
	if err := validateMarkers(c.Markers, c.Shaft.Length); err != nil {
		return err
	}
	for from, to := range c.Aliases {
		if !slices.Contains(c.Markers.Names(), to) {
			return fmt.Errorf("aliases: %q stands for %q, which is no marker of the club", from, to)
		}
	}
	if _, err := c.Sheet(); err != nil {
		return err
	}
	_, err := c.Limits()
	return err
}

func validateShaft(s kinematics.Shaft) error {
	if !(s.Length > 0) {
		return fmt.Errorf("shaft: length_mm is %v; it must be positive", millimetres(s.Length))
	}
	for i, at := range s.Station {
		mm := millimetres(at)
		switch {
		case !(at >= 0 && at <= s.Length):
			return fmt.Errorf("shaft: stiffness at %v mm lies outside the shaft of %v mm", mm, millimetres(s.Length))
		case i > 0 && at <= s.Station[i-1]:
			return fmt.Errorf("shaft: stiffness at %v mm follows that at %v mm; stations must increase", mm, millimetres(s.Station[i-1]))
		case !(s.EI[i] > 0):
			return fmt.Errorf("shaft: ei_n_m2 at %v mm is %v; it must be positive", mm, s.EI[i])
		case !(s.GJ[i] > 0):
			return fmt.Errorf("shaft: gj_n_m2 at %v mm is %v; it must be positive", mm, s.GJ[i])
		}
		for _, k := range []struct {
			key   string
			value float64
		}{{"ei_n_m2", s.EI[i]}, {"gj_n_m2", s.GJ[i]}} {
			if err := unlikely(fmt.Sprintf("shaft: %s at %v mm", k.key, mm), k.value); err != nil {
				return err
			}
		}
	}
	return nil
}

func validateMarkers(m capture.MarkerSet, length float64) error {
	for _, cluster := range []struct {
		name    string
		markers []string
	}{{"grip", m.Grip}, {"head", m.Head}} {
		if n := len(cluster.markers); n < minCluster {
			return fmt.Errorf("markers: the %s has %d; its pose needs at least %d", cluster.name, n, minCluster)
		}
	}
	seen := map[string]bool{}
	for _, name := range m.Names() {
		switch {
		case name == "":
			return errors.New("markers: a marker has no name")
		case seen[name]:
			return fmt.Errorf("markers: %q stands twice", name)
		}
		seen[name] = true
	}
	for _, end := range []struct{ name, marker string }{{"heel", m.Heel}, {"toe", m.Toe}} {
		if !slices.Contains(m.Head, end.marker) {
			return fmt.Errorf("markers: %s is %q, which is not a head marker", end.name, end.marker)
		}
	}
	if m.Heel == m.Toe {
		return fmt.Errorf("markers: heel and toe are both %q", m.Heel)
	}
	for _, s := range m.Shaft {
		if !(s.Station >= 0 && s.Station <= length) {
			return fmt.Errorf("markers: %s at %v mm lies outside the shaft of %v mm", s.Name, millimetres(s.Station), millimetres(length))
		}
		if s.Offset < 0 {
			return fmt.Errorf("markers: offset_mm of %s is %v; it must not be negative", s.Name, millimetres(s.Offset))
		}
	}
	return nil
}
