package app

import (
	"fmt"
	"math"
	"slices"
	"time"

	"bendline/app/study"
	"bendline/widgets"
)

// A Command is one thing the user, the clock or a job does to the state.
type Command interface{ apply(State) State }

// Opened shows a study that was read from disk.
type Opened struct{ Study *study.Study }

func (c Opened) apply(s State) State {
	n := newState()
	n.Slowness, n.Exaggeration, n.Band = s.Slowness, s.Exaggeration, s.Band
	n.Charts, n.Grouping, n.House = s.Charts, s.Grouping, s.House
	n.Job = s.Job // opening it is still under way
	n.Study, n.saved = c.Study, c.Study
	n.Results, n.stale = make([]*study.Result, len(c.Study.Runs)), make([]bool, len(c.Study.Runs))
	n.Panes = firstPair(c.Study)
	if len(n.Panes) > 0 {
		n.Selected = n.Panes[0]
	}
	return n
}

// firstPair returns the first run with a baseline and the first with a
// prototype that one player made; without such a player the first run.
func firstPair(st *study.Study) []string {
	first := map[study.Role]map[string]string{study.Baseline: {}, study.Prototype: {}}
	for _, r := range st.Runs {
		club := st.Club(r.Club)
		if club == nil || r.Excluded != "" {
			continue
		}
		if of := first[club.Role]; of != nil && of[r.Player] == "" {
			of[r.Player] = r.ID
		}
	}
	for _, r := range st.Runs {
		b, p := first[study.Baseline][r.Player], first[study.Prototype][r.Player]
		if b != "" && p != "" {
			return []string{b, p}
		}
	}
	if len(st.Runs) == 0 {
		return nil
	}
	return []string{st.Runs[0].ID}
}

// Analysed brings results, of any number of runs. With the last that was waited
// for, first contact is put where all runs together say that it was.
type Analysed struct{ Results []*study.Result }

func (c Analysed) apply(s State) State {
	if s.Study == nil {
		return s
	}
	s.Results, s.stale = slices.Clone(s.Results), slices.Clone(s.stale)
	for _, r := range c.Results {
		// A result of a run that was corrected meanwhile comes too late.
		if i := s.RunIndex(r.Run.ID); i >= 0 && r.Follows(s.Study, s.Study.Runs[i]) {
			s.Results[i], s.stale[i] = withRun(r, s.Study.Runs[i]).Judged(s.Study), false
		}
	}
	if s.Complete() {
		s.Results = study.Pool(s.Results)
	}
	return s.uncompared()
}

// withRun returns the result under the study's present account of the run,
// which differs from the analysed one when the run was excluded since.
func withRun(r *study.Result, run study.Run) *study.Result {
	if r.Run.Excluded == run.Excluded && r.Run.Player == run.Player {
		return r
	}
	c := *r
	c.Run = run
	return &c
}

// ShowScreen goes to a screen.
type ShowScreen struct{ Screen Screen }

func (c ShowScreen) apply(s State) State {
	s.Screen, s.Large = c.Screen, ""
	return s
}

// SelectRun chooses the run whose details are told.
type SelectRun struct{ Run string }

func (c SelectRun) apply(s State) State { s.Selected = c.Run; return s }

// ShowRun puts a run among those side by side, or takes it away.
type ShowRun struct {
	Run string
	On  bool
}

func (c ShowRun) apply(s State) State {
	on := slices.Contains(s.Panes, c.Run)
	switch {
	case c.On == on:
	case !c.On:
		s.Panes = slices.DeleteFunc(slices.Clone(s.Panes), func(id string) bool { return id == c.Run })
		if s.Large == c.Run {
			s.Large = ""
		}
	case len(s.Panes) == maxPanes:
		s.Notice = Notice{Text: fmt.Sprintf("%d runs stand side by side already; untick one of them first.", maxPanes)}
	default:
		s.Panes = append(slices.Clone(s.Panes), c.Run)
	}
	return s.seek(s.Time)
}

// seek returns the state at a common time, kept within the span.
func (s State) seek(t float64) State {
	from, to, _ := s.Span()
	if from < to {
		t = max(from, min(t, to))
	}
	s.Time = t
	return s
}

// Seek goes to a common time.
type Seek struct{ Time float64 }

func (c Seek) apply(s State) State { return s.seek(c.Time) }

// Step goes some frames on, or back, and stops playing. It lands on a frame.
type Step struct{ Frames int }

func (c Step) apply(s State) State {
	s.Playing = false
	sw := s.Swing(s.Leader())
	if sw == nil {
		return s
	}
	origin, _ := s.event(sw)
	// Not FrameOf: the time may lie outside the leader.
	i := math.Round((origin + s.Time - sw.Start) * sw.Rate)
	return s.seek(sw.Start + (i+float64(c.Frames))/sw.Rate - origin)
}

// Jump goes to a moment of the leader.
type Jump struct{ To Moment }

func (c Jump) apply(s State) State {
	s.Playing = false
	if t, ok := s.At(c.To); ok {
		return s.seek(t)
	}
	return s
}

// JumpEnd goes to the first or the last instant.
type JumpEnd struct{ Last bool }

func (c JumpEnd) apply(s State) State {
	s.Playing = false
	from, to, _ := s.Span()
	if c.Last {
		return s.seek(to)
	}
	return s.seek(from)
}

// Play starts or stops playing; Now is the time on the clock.
type Play struct {
	On  bool
	Now time.Time
}

func (c Play) apply(s State) State {
	from, to, _ := s.Span()
	s.Playing = c.On && from < to
	s.ticked = c.Now
	if s.Playing && s.Time >= to {
		s.Time = from
	}
	return s
}

// Tick moves a playing state on to the time on the clock; past the end it
// begins again.
type Tick struct{ Now time.Time }

func (c Tick) apply(s State) State {
	from, to, _ := s.Span()
	if !s.Playing || from >= to {
		return s
	}
	t := s.Time + c.Now.Sub(s.ticked).Seconds()/s.Slowness
	if t > to {
		t = from + math.Mod(t-to, to-from)
	}
	s.Time, s.ticked = t, c.Now
	return s
}

// SetSlowness sets how many times slower than life it plays.
type SetSlowness struct{ Times float64 }

func (c SetSlowness) apply(s State) State { s.Slowness = c.Times; return s }

// SetAlign holds the runs together at another event. The leader stays where it
// is.
type SetAlign struct{ Align Align }

func (c SetAlign) apply(s State) State {
	lead := s.Swing(s.Leader())
	was := 0.0
	if lead != nil {
		was, _ = s.event(lead)
	}
	s.Align = c.Align
	if lead == nil {
		return s
	}
	if now, ok := s.event(lead); ok {
		s.Time += was - now
	}
	s.Zoom = Zoom{}
	return s.seek(s.Time)
}

// SetZoom shows a part of the common time in the curves.
type SetZoom struct{ Zoom Zoom }

func (c SetZoom) apply(s State) State { s.Zoom = c.Zoom; return s }

// SetView looks from a standard place.
type SetView struct{ View View }

func (c SetView) apply(s State) State { s.View, s.Camera = c.View, nil; return s }

// SetCamera looks from anywhere, in all panes.
type SetCamera struct{ Camera widgets.Camera }

func (c SetCamera) apply(s State) State { s.Camera = &c.Camera; return s }

// SetExaggeration sets how much larger than true the bend is drawn.
type SetExaggeration struct{ Factor float64 }

func (c SetExaggeration) apply(s State) State { s.Exaggeration = c.Factor; return s }

// Say puts a sentence in the status line.
type Say struct{ Notice Notice }

func (c Say) apply(s State) State { s.Notice = c.Notice; return s }

// Stopped tells that the job under way was stopped by the user.
type Stopped struct{}

func (Stopped) apply(s State) State {
	if s.Job.Title == comparing {
		s.CompareErr = errStopped
	}
	s.Job = Job{}
	return s
}

// Work tells how far a job has come; the zero Job that it has ended.
type Work struct{ Job Job }

func (c Work) apply(s State) State { s.Job = c.Job; return s }
