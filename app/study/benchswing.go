package study

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/kinematics"
	"bendline/kinematics/beam"
)

// SwingOptions are what a prediction needs and no capture shows. SI units.
type SwingOptions struct {
	HeadMass      float64 // kg, where the sheet has none
	CGToe, CGBack float64 // of the head's centre of gravity from the shaft's axis, m, where the sheet has none
	Radius        float64 // of the head's path, m; 0 for that of the captured path
	Clamp         float64 // station at which the hands hold the shaft, m
	WearSlope     float64 // exponent of the strain range in the damage of a cycle
	WearSwings    float64 // swings that a rig test is to stand for
	WearRigRange  float64 // strain range of a rig cycle; 0 for that of the hardest swing
}

// DefaultSwingOptions are common practice, no source, but for the station of
// the hands, which is that of the lower hand.
func DefaultSwingOptions() SwingOptions {
	return SwingOptions{HeadMass: 0.2, CGToe: 0.036, CGBack: 0.015, Clamp: 0.2, WearSlope: 10, WearSwings: 10000}
}

// A Prediction is how the head's pull should bend the shaft at impact, beside
// how it was bent. It leaves out all that the hands do to bend the shaft, so
// that the difference is theirs: most of the lead, and little of the droop.
type Prediction struct {
	Run, Club string

	// What it was worked out from.
	HeadMass  float64  // kg
	Speed     float64  // of the head point, m/s
	Radius    float64  // of the head's path, m
	Force     float64  // m v²/R, N
	PullAngle float64  // between the pull and the unbent axis, rad; NaN where the path was not captured
	Clamp     float64  // station, m
	MeanEI    float64  // of the free length: length / ∫ds/EI, N m²
	Assumed   []string // what the sheet does not say and was taken from the options

	Droop, Lead PlanePrediction
}

// A PlanePrediction is one plane of a prediction, m at the tip end.
type PlanePrediction struct {
	Offset      float64             // of the head's centre of gravity from the axis
	ClosedForm  float64             // e (1 − sech kL) on the mean EI
	Beam        float64             // on the club's own EI; NaN where it is not known
	BeyondClamp float64             // captured: from the tangent of the bent shaft at the clamp
	Captured    kinematics.Estimate // captured, from the undeflected line
}

// Predict returns the prediction for a run of the club. It returns an error
// where the run has no impact or the club no stiffness.
func Predict(r *Result, c *Club, o SwingOptions) (Prediction, error) {
	if !hasImpact(r) {
		return Prediction{}, errors.New("study: no impact was found in the run, so there is nothing to predict")
	}
	sheet, err := c.Sheet()
	if err != nil {
		return Prediction{}, fmt.Errorf("study: club %q: %w", c.ID, err)
	}
	shaft, err := c.Beam(sheet)
	if err != nil {
		return Prediction{}, err
	}
	if !(o.Clamp >= 0 && o.Clamp < shaft.Length) {
		return Prediction{}, fmt.Errorf("study: hands at %v mm do not hold a shaft of %v mm", millimetres(o.Clamp), millimetres(shaft.Length))
	}
	s := r.Swing
	p := Prediction{Run: r.Run.ID, Club: c.ID, Speed: s.AtImpact.HeadSpeed.Value, Clamp: o.Clamp}
	taken := func(format string, value *float64, otherwise float64) float64 {
		if value != nil {
			return *value / 1e3
		}
		p.Assumed = append(p.Assumed, fmt.Sprintf(format, millimetres(otherwise)))
		return otherwise
	}
	a := sheet.assembly()
	p.HeadMass = taken("a head of %v g", a.HeadG, o.HeadMass)
	toe := taken("a centre of gravity %v mm towards the toe from the axis", a.CGToeMM, o.CGToe)
	back := taken("a centre of gravity %v mm behind the axis", a.CGBackMM, o.CGBack)
	path := headPath(s)
	p.Radius, p.PullAngle = path.radius, path.angle
	if o.Radius > 0 {
		p.Radius = o.Radius
	}
	p.Force = beam.HeadPull(p.HeadMass, p.Speed, p.Radius, 0).Force
	free := shaft.Length - o.Clamp
	p.MeanEI = shaft.EI.HarmonicMean(o.Clamp, shaft.Length)
	droop, lead := beyond(s.Bend, o.Clamp, s.Length)
	for _, plane := range []struct {
		into            *PlanePrediction
		offset, clamped float64
		captured        kinematics.Estimate
	}{{&p.Droop, toe, droop, s.AtImpact.Droop}, {&p.Lead, back, lead, s.AtImpact.Lead}} {
		pull := beam.Pull{Force: p.Force, Offset: plane.offset}
		closed, _ := pull.Uniform(p.MeanEI, free)
		*plane.into = PlanePrediction{plane.offset, closed, math.NaN(), plane.clamped, plane.captured}
		if math.IsNaN(p.Force) {
			continue
		}
		shape, err := pull.On(shaft, o.Clamp)
		if err != nil {
			return Prediction{}, err
		}
		plane.into.Beam, _ = shape.Tip()
	}
	return p, nil
}

// beyond returns droop and lead of the tip end from the tangent at a station,
// m: the integral of curvature times the distance to the tip (small slopes).
func beyond(p kinematics.Profile, clamp, length float64) (droop, lead float64) {
	if len(p.Station) == 0 {
		return math.NaN(), math.NaN()
	}
	segments(p.Station, func(i int, from, to float64) {
		if from = math.Max(from, clamp); from < to {
			arm := (to - from) * (length - (from+to)/2)
			droop += p.DroopCurvature.Value[i] * arm
			lead += p.LeadCurvature.Value[i] * arm
		}
	})
	return droop, lead
}

// segments calls do with the ends of the segments whose middles are given: the
// first begins at the butt end, and each where the last one ended.
func segments(middle []float64, do func(i int, from, to float64)) {
	from := 0.0
	for i, m := range middle {
		to := 2*m - from
		do(i, from, to)
		from = to
	}
}

// A path is how the head point goes round just before impact.
type path struct {
	radius float64 // of curvature, m
	angle  float64 // between the pull outward and the unbent axis towards the tip, rad
}

// pathTime is how much of the head's path before impact is looked at, s.
// Over it a cubic in time follows a head that turns by a third of a radian
// within 0.1 mm, and 0.1 mm of noise in each of 24 frames leaves the
// acceleration, of some 1300 m/s², 2 % of uncertainty.
const pathTime = 0.012

// headPath fits a cubic in time to the head point before impact, and returns
// v²/a with a the acceleration square to the velocity, at impact. Fields are NaN
// where too few frames show the head.
func headPath(s *kinematics.Swing) path {
	none := path{math.NaN(), math.NaN()}
	last := int(math.Floor((s.Impact.Value - s.Start) * s.Rate))
	var at []float64
	var where []r3.Vec
	for i := max(0, last-int(pathTime*s.Rate)); i <= min(last, len(s.Head)-1); i++ {
		if p := s.Head[i]; !math.IsNaN(p.X) && s.Time(i) < s.Impact.Value {
			at, where = append(at, (s.Time(i)-s.Impact.Value)/pathTime), append(where, p)
		}
	}
	const least = 8 // frames for four coefficients
	if len(at) < least {
		return none
	}
	x, y := mat.NewDense(len(at), 4, nil), mat.NewDense(len(at), 3, nil)
	for i, t := range at {
		x.SetRow(i, []float64{1, t, t * t, t * t * t})
		y.SetRow(i, []float64{where[i].X, where[i].Y, where[i].Z})
	}
	var fit mat.Dense
	if err := fit.Solve(x, y); err != nil {
		return none
	}
	row := func(i int, scale float64) r3.Vec {
		return r3.Scale(scale, r3.Vec{X: fit.At(i, 0), Y: fit.At(i, 1), Z: fit.At(i, 2)})
	}
	v, a := row(1, 1/pathTime), row(2, 2/(pathTime*pathTime))
	inward := r3.Sub(a, r3.Scale(r3.Dot(a, v)/r3.Norm2(v), v))
	p := path{r3.Norm2(v) / r3.Norm(inward), math.NaN()}
	if grip := s.Grip[min(last, len(s.Grip)-1)]; grip.Known() {
		p.angle = math.Acos(math.Max(-1, math.Min(1, r3.Dot(r3.Unit(inward), r3.Scale(-1, grip.Z)))))
	}
	return p
}

// A BendSite is where along the shaft it bends at one instant.
type BendSite struct {
	Time    float64    // s
	Station float64    // of the largest curvature, m
	Most    float64    // largest curvature, 1/m
	Bend    float64    // integral of the size of curvature over the length, rad
	Thirds  [3]float64 // share of the bend in the butt, middle and tip third of the length
}

// SiteAt returns where the shaft bends in frame i: the size of curvature in both
// planes together, and its integral over each third of the length. Values are
// NaN where the frame was not fitted.
func SiteAt(s *kinematics.Swing, i int) BendSite {
	b := site(s.ProfileAt(i), s.Length)
	b.Time = s.Time(i)
	return b
}

// SiteAtImpact returns where the shaft bends at impact.
func SiteAtImpact(s *kinematics.Swing) BendSite {
	b := site(s.Bend, s.Length)
	b.Time = s.Impact.Value
	return b
}

func site(p kinematics.Profile, length float64) BendSite {
	b := BendSite{Station: math.NaN(), Most: math.NaN()}
	segments(p.Station, func(i int, from, to float64) {
		k := math.Hypot(p.LeadCurvature.Value[i], p.DroopCurvature.Value[i])
		if !(k <= b.Most) {
			b.Most, b.Station = k, p.Station[i]
		}
		b.Bend += k * (to - from)
		for third := range b.Thirds {
			low, high := length*float64(third)/3, length*float64(third+1)/3
			b.Thirds[third] += k * math.Max(0, math.Min(to, high)-math.Max(from, low))
		}
	})
	for i := range b.Thirds {
		b.Thirds[i] /= b.Bend
	}
	return b
}
