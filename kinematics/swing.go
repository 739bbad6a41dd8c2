package kinematics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Hand is the handedness of a club.
type Hand int

// The two hands.
const (
	Right Hand = iota
	Left
)

// String returns "right" or "left".
func (h Hand) String() string {
	if h == Left {
		return "left"
	}
	return "right"
}

// An Estimate is a value with U95, the half width of its 95 % interval
// (expanded uncertainty in the terms of JCGM 100). Both are NaN when the value
// is not known.
type Estimate struct{ Value, U95 float64 }

// A Series is one quantity in every frame; NaN where it is not known.
type Series struct{ Value, U95 []float64 }

// A Swing is what the fit makes of one run. It is not changed after it is made.
type Swing struct {
	Start, Rate float64 // time of the first frame, s; frames a second
	Hand        Hand
	Length      float64 // of the shaft, m
	CutOff      float64 // frequency at which the smoothing of the paths passes half, Hz

	// One entry a frame.
	Grip                         []Frame   // pose of the grip: the undeflected club; NaN where it is not known
	Head                         []r3.Vec  // head point in the lab, m
	Lead, Droop                  Series    // at the tip end, m
	Twist, LeadAngle, DroopAngle Series    // rad
	HeadSpeed, KickSpeed         Series    // m/s
	Residual                     []float64 // root mean square distance of the markers from the fitted club, m
	Filled                       []bool    // the values rest on markers filled by the rod: fewer than three of the grip or of the head were seen

	Top      float64   // start of the downswing, s
	Impact   Estimate  // first contact, s
	Other    []float64 // when other blows cost the head at least half as much speed, s, the hardest first
	Contact  Estimate  // how long club and ball touched, s; NaN where impact was set by hand
	AtImpact Readout

	// Systematic is AtImpact, with the part of u95 that is the same error in all
	// of a player's runs with the club: that of the markers' places in its
	// reference, and of its table of stiffness. It is 0 for the speeds, which
	// these hardly touch: 0.05 m/s for a reference off by 0.2 mm, by simulation.
	Systematic Readout

	PeakLag Peak    // lowest lead between top and impact
	Bend    Profile // at impact
	RMS     float64 // root mean square of the residuals from top to impact, m

	// One entry a track, 0 for tracks that are not of the club.
	Noise []float64 // standard deviation of a coordinate in one frame, found from the fit, m
	Stray []int     // points left out because they were not where the club has them

	Exchanged []Exchange // labels that were given back
	Slid      []Slide    // markers that moved along the shaft since the club hung
	Skewed    []Skew     // markers measured at another time in a frame, put right

	meeting meeting
	slope   slopes

	rod   *rodModel
	amp   []amplitudes // by frame; the first NaN where not fitted
	stiff bool         // the club's stiffness is known
}

// An Exchange is a stretch of time in which the points of one marker bore the
// label of another and were given back to it.
type Exchange struct {
	Track, Label int     // tracks of the marker and of the label its points bore
	From, To     float64 // s
}

// A Slide is a shaft marker found further along the shaft than in the
// reference, where the fit then takes it to be.
type Slide struct {
	Track int
	By    float64 // towards the tip, m
}

// A Readout is the seven values at one instant.
type Readout struct {
	Lead, Droop                  Estimate // m
	Twist, LeadAngle, DroopAngle Estimate // rad
	HeadSpeed, KickSpeed         Estimate // m/s
}

// slopes are the rates of change of a readout just before impact, a second.
type slopes struct{ Lead, Droop, Twist, LeadAngle, DroopAngle, HeadSpeed float64 }

// A Peak is an extreme of a series and when it is reached, s.
type Peak struct {
	Estimate
	Time float64
}

// Frames returns the number of frames.
func (s *Swing) Frames() int { return len(s.Grip) }

// Time returns the time of frame i, s.
func (s *Swing) Time(i int) float64 { return s.Start + float64(i)/s.Rate }

// FrameAt returns the frame nearest to time t, kept inside the swing.
func (s *Swing) FrameAt(t float64) int {
	i := int((t-s.Start)*s.Rate + 0.5)
	return max(0, min(i, s.Frames()-1))
}

// Facing returns the angle, rad, from the lead direction to the way the head
// goes in the last millisecond before impact, both seen along the shaft. It is
// near 0 in a swing at a ball, and near π where lead points backwards: the
// club's hand, its heel and toe or the handedness of the capture's axes is not
// what it is said to be. It is NaN where the poses are not known.
func (s *Swing) Facing() float64 {
	const last = 1e-3 // s
	i := int(math.Floor((s.Impact.Value - s.Start) * s.Rate))
	from := i - max(2, int(math.Round(last*s.Rate)))
	if from < 0 || i >= s.Frames() {
		return math.NaN()
	}
	lead := s.Grip[i].X
	if s.Hand == Left {
		lead = r3.Scale(-1, lead)
	}
	square := func(v r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, s.Grip[i].Z), s.Grip[i].Z)) }
	return math.Acos(max(-1, min(1, r3.Cos(lead, square(r3.Sub(s.Head[i], s.Head[from]))))))
}

// Centreline fills dst with points of the bent axis in frame i, in the frame
// of the grip (s.Grip[i] takes them to the lab): evenly spaced stations from
// the butt end to the tip end. Points are NaN where the frame could not be
// fitted.
func (s *Swing) Centreline(i int, dst []r3.Vec) {
	if s.rod == nil || math.IsNaN(s.amp[i][0]) {
		for k := range dst {
			dst[k] = nan3
		}
		return
	}
	s.rod.centreline(&s.amp[i], dst)
}

// Tip returns the pose of the tip section in frame i, in the frame of the
// grip, NaN where the frame could not be fitted.
func (s *Swing) Tip(i int) Frame {
	if s.rod == nil || math.IsNaN(s.amp[i][0]) {
		return unknown
	}
	var tip [1]section
	s.rod.bend(&s.amp[i], []int{len(s.rod.seg)}, tip[:], false)
	return tip[0].Frame
}

// ProfileAt returns curvature and moment along the shaft in frame i. The u95
// are NaN: they are known at impact only (see Bend). A swing that was not fitted
// has an empty profile.
func (s *Swing) ProfileAt(i int) Profile {
	if s.rod == nil {
		return Profile{}
	}
	return s.rod.profile(&s.amp[i], s.stiff, s.Hand, func(int, float64, float64) float64 { return math.NaN() })
}
