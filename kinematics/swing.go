package kinematics

import "gonum.org/v1/gonum/spatial/r3"

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

// A Frame is a place and the directions of the club frame's axes in the lab.
// X, Y and Z are unit vectors, square to each other, right-handed.
type Frame struct{ Origin, X, Y, Z r3.Vec }

// ToLab returns the lab position of the point p of the club frame.
func (f Frame) ToLab(p r3.Vec) r3.Vec {
	return r3.Add(f.Origin, r3.Add(r3.Scale(p.X, f.X), r3.Add(r3.Scale(p.Y, f.Y), r3.Scale(p.Z, f.Z))))
}

// ToClub returns the club-frame position of the lab point p.
func (f Frame) ToClub(p r3.Vec) r3.Vec {
	d := r3.Sub(p, f.Origin)
	return r3.Vec{X: r3.Dot(d, f.X), Y: r3.Dot(d, f.Y), Z: r3.Dot(d, f.Z)}
}

// A Profile is curvature and moment along the shaft at one instant, in the
// lead plane and the droop plane: positive where they make lead and droop
// grow. Moment is nil where the club's stiffness is not known.
type Profile struct {
	Station                       []float64 // m
	LeadCurvature, DroopCurvature Series    // 1/m
	LeadMoment, DroopMoment       *Series   // N m
}

// A Swing is what the fit makes of one run. It is not changed after it is made.
type Swing struct {
	Start, Rate float64 // time of the first frame, s; frames a second
	Hand        Hand
	Length      float64 // of the shaft, m

	// One entry a frame.
	Grip                         []Frame   // pose of the grip: the undeflected club; NaN where it is not known
	Head                         []r3.Vec  // head point in the lab, m
	Lead, Droop                  Series    // at the tip end, m
	Twist, LeadAngle, DroopAngle Series    // rad
	HeadSpeed, KickSpeed         Series    // m/s
	Residual                     []float64 // root mean square distance of the markers from the fitted club, m

	Top      float64  // start of the downswing, s
	Impact   Estimate // first contact, s; Value NaN where no impact was found
	AtImpact Readout
	PeakLag  Peak    // lowest lead between top and impact
	Bend     Profile // at impact
	RMS      float64 // root mean square of the residuals from top to impact, m

	rods rods
}

// A Readout is the seven values at one instant.
type Readout struct {
	Lead, Droop                  Estimate // m
	Twist, LeadAngle, DroopAngle Estimate // rad
	HeadSpeed, KickSpeed         Estimate // m/s
}

// A Peak is an extreme of a series and when it is reached, s.
type Peak struct {
	Estimate
	Time float64
}

type rods struct{}

// Frames returns the number of frames.
func (s *Swing) Frames() int { return len(s.Grip) }

// Time returns the time of frame i, s.
func (s *Swing) Time(i int) float64 { return s.Start + float64(i)/s.Rate }

// FrameAt returns the frame nearest to time t, kept inside the swing.
func (s *Swing) FrameAt(t float64) int {
	i := int((t-s.Start)*s.Rate + 0.5)
	return max(0, min(i, s.Frames()-1))
}

// Centreline fills dst with points of the bent axis in frame i, in the frame
// of the grip (s.Grip[i] takes them to the lab): evenly spaced stations from
// the butt end to the tip end. Points are NaN where the frame could not be
// fitted.
func (s *Swing) Centreline(i int, dst []r3.Vec) {}

// Tip returns the pose of the tip section in frame i, in the frame of the grip.
func (s *Swing) Tip(i int) Frame { return Frame{} }

// ProfileAt returns curvature and moment along the shaft in frame i.
func (s *Swing) ProfileAt(i int) Profile { return Profile{} }
