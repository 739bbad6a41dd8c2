package app

import (
	"math"
	"slices"
	"time"

	"bendline/app/report"
	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// Screen is one of the pages of the window, once a study is open.
type Screen int

// The screens.
const (
	SwingScreen Screen = iota
	CompareScreen
	DataScreen
	SlidesScreen
	BenchScreen
	BayScreen
)

// Align is the event at which the shown runs are held together.
type Align int

// The events.
const (
	AlignImpact Align = iota
	AlignTop
)

// alignNames are what the events are called.
var alignNames = [...]string{"impact", "top"}

// maxPanes is how many runs stand side by side.
const maxPanes = 6

// State is everything the window shows. It is a value: commands return a
// changed copy, and slices in it are replaced, not written to.
type State struct {
	Study   *study.Study    // nil on the welcome page
	Results []*study.Result // one for each run of the study; nil while it waits
	stale   []bool          // one for each run: its result is of the run before it was corrected

	// Comparison is nil, and CompareErr says why, when there is none; both are nil
	// until it is worked out.
	Comparison  *study.Comparison
	CompareErr  error
	was         *study.Comparison // the one before, shown until then
	Lot         *study.Lot        // nil where none is chosen, or LotErr says why
	LotErr      error
	Measure     string       // key of the measure looked at, "" for the first
	ComparePage int          // which of comparePages is shown
	Axis        int          // of study.Axes: what the curves run over
	Along       int          // of study.AlongShaft: which curvature is looked at
	Loader      string       // player whose loading is looked at, "" for all together
	Curves      *CurvesFound // of the last comparison of curves

	BenchPage  int         // which of benchPages is shown
	BenchClub  string      // id of the club whose sheet is shown, "" for the first
	BenchTable int         // which of study.StationTables is shown
	Bench      *BenchFound // as last worked out

	Screen   Screen
	Selected string   // run id
	Panes    []string // run ids, from left to right
	Large    string   // run id of the pane that fills the window, "" for all side by side
	Tour     int      // step of the tour that is shown, from 1; 0 for none

	Align    Align
	Time     float64 // s, from the event of Align
	Zoom     Zoom    // of the curves
	Playing  bool
	ticked   time.Time // when Time was last moved by playing
	Slowness float64   // how many times slower than life it plays

	View         View
	Camera       *widgets.Camera // as turned by hand; nil for the view's own
	Exaggeration float64         // factor by which the bend is drawn larger
	Band         bool            // the bend's uncertainty is drawn
	Markers      bool            // the markers are drawn, and how far off the fit is
	sights       map[string]sight

	Charts   [shownCharts]string // what each chart shows: keys of contents
	Grouping Grouping            // of the curves

	Bringing bool   // the page that brings captures in is shown
	Import   Import // what it shows

	Job    Job    // what is being worked at
	Notice Notice // the last thing worth saying
	failed Notice // the notice that told of runs that failed

	House   *report.Style // of what leaves the laboratory; nil for Bendline's own
	Slide   slidePlace    // the slide of the deck that is looked at
	Preview preview       // the slide as it will be, as last drawn
	typed   *study.Study  // as typing in the plan of the deck left it
	typedIn string        // where

	Bay Bay // the fitting session; the zero Bay for none

	past, future []step       // for undo and redo, latest last
	saved        *study.Study // as on disk
}

// Zoom is the part of the common time that the curves show, s; the zero Zoom is
// the downswing.
type Zoom struct{ From, To float64 }

// wholeSwing shows all there is.
var wholeSwing = Zoom{math.Inf(-1), math.Inf(1)}

// Job is work under way; the zero Job is none.
type Job struct {
	Title       string // "Analysing"
	Done, Total int
	Item        string // what was finished last
	Whole       bool   // a job that is stopped leaves nothing
}

// Notice is one plain sentence for the status line.
type Notice struct {
	Text string
	Bad  bool // something did not work
}

// newState returns the state of the welcome page.
func newState() State {
	return State{Slowness: 25, Exaggeration: 3, Band: true, Charts: firstCharts}
}

// Unsaved reports whether the study differs from what is on disk.
func (s State) Unsaved() bool { return s.Study != s.saved }

// CanUndo reports whether there is a change to take back.
func (s State) CanUndo() bool { return len(s.past) > 0 }

// CanRedo reports whether there is a change to make again.
func (s State) CanRedo() bool { return len(s.future) > 0 }

// RunIndex returns where the run stands in the study, -1 if it does not.
func (s State) RunIndex(id string) int {
	if s.Study == nil {
		return -1
	}
	return slices.IndexFunc(s.Study.Runs, func(r study.Run) bool { return r.ID == id })
}

// Result returns the result of a run, nil while it waits.
func (s State) Result(id string) *study.Result {
	if i := s.RunIndex(id); i >= 0 {
		return s.Results[i]
	}
	return nil
}

// Swing returns the fitted swing of a run, nil where there is none (yet).
func (s State) Swing(id string) *kinematics.Swing {
	if r := s.Result(id); r != nil && r.OK() {
		return r.Swing
	}
	return nil
}

// Waits reports whether the ith run has no result yet, or none of it as it was
// corrected.
func (s State) Waits(i int) bool { return s.Results[i] == nil || s.stale[i] }

// Complete reports whether every run has its result.
func (s State) Complete() bool {
	return s.Study != nil && !slices.Contains(s.Results, nil) && !slices.Contains(s.stale, true)
}

// analysis returns the results as an analysis, without the runs that wait.
func (s State) analysis() *study.Analysis {
	a := &study.Analysis{Study: s.Study}
	for i, r := range s.Results {
		if !s.Waits(i) {
			a.Results = append(a.Results, r)
		}
	}
	return a
}

// visible returns the runs whose panes are to be seen.
func (s State) visible() []string {
	if slices.Contains(s.Panes, s.Large) {
		return []string{s.Large}
	}
	return s.Panes
}

// Leader returns the run whose events and frames count for all that are side by
// side: the selected one if it is among them, else the first; "" for none.
func (s State) Leader() string {
	for _, id := range append([]string{s.Selected}, s.Panes...) {
		if sw := s.Swing(id); sw != nil && slices.Contains(s.Panes, id) {
			if _, ok := s.event(sw); ok {
				return id
			}
		}
	}
	return ""
}

// event returns the time of the event the runs are held together at, s in the
// run's own time; ok is false where the run has none.
func (s State) event(sw *kinematics.Swing) (t float64, ok bool) {
	t = sw.Impact.Value
	if s.Align == AlignTop {
		t = sw.Top
	}
	return t, !math.IsNaN(t)
}

// FrameOf returns the frame of sw shown at the state's time, and whether sw
// can be placed on the common time at all.
func (s State) FrameOf(sw *kinematics.Swing) (frame int, ok bool) {
	t, ok := s.event(sw)
	if !ok {
		return 0, false
	}
	return sw.FrameAt(t + s.Time), true
}

// shown returns the swings of the panes that can be placed on the common time.
func (s State) shown() []*kinematics.Swing {
	var list []*kinematics.Swing
	for _, id := range s.Panes {
		if sw := s.Swing(id); sw != nil {
			if _, ok := s.event(sw); ok {
				list = append(list, sw)
			}
		}
	}
	return list
}

// Span returns the common time over which any shown run has frames, and the
// length of a frame of the leader, s. Without one it is the single
// instant 0.
func (s State) Span() (from, to, step float64) {
	for i, sw := range s.shown() {
		t, _ := s.event(sw)
		first, last := sw.Time(0)-t, sw.Time(sw.Frames()-1)-t
		if i == 0 {
			from, to = first, last
		}
		from, to = min(from, first), max(to, last)
	}
	if lead := s.Swing(s.Leader()); lead != nil {
		step = 1 / lead.Rate
	}
	return from, to, step
}

// zoomed returns the part of the common time to show: for the zero Zoom the
// downswing with a fifth of it before the top and a fiftieth after impact, for
// the ringing of the shaft would make all else small; all, if there is none.
func (s State) zoomed() Zoom {
	from, to, _ := s.Span()
	if s.Zoom != (Zoom{}) {
		return Zoom{max(from, s.Zoom.From), min(to, s.Zoom.To)}
	}
	top, okTop := s.At(Top)
	impact, okImpact := s.At(Impact)
	if okTop && okImpact && top < impact {
		down := impact - top
		from, to = max(from, top-down/5), min(to, impact+down/50)
	}
	return Zoom{from, to}
}

// Moment is a named instant of a swing.
type Moment int

// The moments.
const (
	Top Moment = iota
	PeakLag
	Impact
)

// of returns the time of the moment in a swing, s in its own time; NaN where it
// has none.
func (m Moment) of(sw *kinematics.Swing) float64 {
	switch m {
	case Top:
		return sw.Top
	case PeakLag:
		return sw.PeakLag.Time
	}
	return sw.Impact.Value
}

// At returns the common time of a moment in the leader.
func (s State) At(m Moment) (t float64, ok bool) {
	sw := s.Swing(s.Leader())
	if sw == nil {
		return 0, false
	}
	origin, _ := s.event(sw)
	t = m.of(sw)
	return t - origin, !math.IsNaN(t)
}
