package sampledata

import (
	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// model is a config worked out: the right-handed club at any instant. It keeps
// scratch space, so it serves one goroutine.
type model struct {
	cfg     *Config
	carrier carrier
	rod     rod
	head    r3.Vec // head point from the tip end

	bends     []bend
	blow      []r3.Vec // strain for each m/s of speed lost by the head
	strain    []r3.Vec // scratch: at the rod's Gauss points
	sections  []kinematics.Frame
	speedLost float64 // m/s
}

// A bend is a load as the strain it makes at the rod's Gauss points, for each
// N m of its course.
type bend struct {
	course Course
	strain []r3.Vec
}

// The longest step of the rod, m. Halving it moves the tip by less than 1e-9 m.
const longestStep = 0.01

// The directions of the strain that bends to lead, bends to droop and closes
// the face by twist: z turns towards x about +y, and away from y about +x; a
// closing turn about z is negative.
var (
	leadStrain  = r3.Vec{Y: 1}
	droopStrain = r3.Vec{X: 1}
	closeStrain = r3.Vec{Z: -1}
)

func newModel(cfg *Config) *model {
	return newModelWithin(cfg, longestStep)
}

func newModelWithin(cfg *Config, longest float64) *model {
	c := &cfg.Club
	stops := make([]float64, len(c.Markers.Shaft))
	for i, s := range c.Markers.Shaft {
		stops[i] = s.Station
	}
	m := &model{
		cfg:      cfg,
		rod:      newRod(c.Shaft.Length, longest, c.Shaft.Station, stops),
		head:     c.headPoint(),
		sections: make([]kinematics.Frame, len(stops)),
	}
	m.strain = make([]r3.Vec, len(m.rod.gauss))
	m.carrier = newCarrier(cfg.Motion, c.headAtRest())

	ei, gj := c.stiffness()
	trueEI := func(s float64) float64 { return ei(s) * cfg.Wave.factor(s) }
	add := func(loads []Load, direction r3.Vec, stiffness func(float64) float64) {
		for _, l := range loads {
			m.bends = append(m.bends, bend{l.Course, m.spread(l, direction, stiffness)})
		}
	}
	add(cfg.Loads.Lead, leadStrain, trueEI)
	add(cfg.Loads.Droop, droopStrain, trueEI)
	add(cfg.Loads.Torque, closeStrain, gj)

	m.strike(trueEI, gj)
	return m
}

// resting returns a model of the unloaded club that serves markers alone, and
// its tip end.
func resting(c Club) (*model, kinematics.Frame) {
	m := &model{cfg: &Config{Club: c}}
	straight := func(station float64) kinematics.Frame {
		f := origin
		f.Origin.Z = station
		return f
	}
	for _, s := range c.Markers.Shaft {
		m.sections = append(m.sections, straight(s.Station))
	}
	return m, straight(c.Shaft.Length)
}

// spread returns the strain that 1 N m of l makes at the rod's Gauss points.
func (m *model) spread(l Load, direction r3.Vec, stiffness func(float64) float64) []r3.Vec {
	out := make([]r3.Vec, len(m.rod.gauss))
	for i, s := range m.rod.gauss {
		out[i] = r3.Scale(l.along(s, m.cfg.Club.Shaft.Length)/stiffness(s), direction)
	}
	return out
}

// strike works out how the blow bends the shaft. The head's blow leaves hardly
// any moment at the tip.
func (m *model) strike(ei, gj func(float64) float64) {
	b := m.cfg.Blow
	bent := Load{Hands: 0.2, Tip: 0.1, Pull: 1}
	lead := m.spread(bent, leadStrain, ei)
	droop := m.spread(bent, droopStrain, ei)
	twist := m.spread(Load{Hands: 0.2, Tip: 1}, closeStrain, gj)

	// The speed of the head point, by small-displacement theory, and of the
	// twist for each unit of the course.
	var reach, turn float64
	for i, s := range m.rod.gauss {
		h := m.rod.step[i/2] / 2
		reach += h * lead[i].Y * (m.cfg.Club.Shaft.Length + m.head.Z - s)
		turn -= h * twist[i].Z
	}
	m.speedLost = b.Loss * r3.Norm(m.headVelocity(0))
	m.blow = make([]r3.Vec, len(m.rod.gauss))
	for i := range m.blow {
		m.blow[i] = r3.Add(r3.Scale(-m.speedLost/reach, lead[i]),
			r3.Add(r3.Scale(m.speedLost*b.Droop/reach, droop[i]), r3.Scale(b.Twist/turn, twist[i])))
	}
}

// A pose is the club at an instant: the grip in the lab and the tip end in the
// grip's frame.
type pose struct{ grip, tip kinematics.Frame }

// at returns the pose t seconds after contact and leaves the sections of the
// shaft markers, in the grip's frame, in m.sections. Without struck the ball is
// not there: the way to values just before contact.
func (m *model) at(t float64, struck bool) pose {
	clear(m.strain)
	for _, b := range m.bends {
		m.addStrain(b.course.Value(t), b.strain)
	}
	if struck {
		m.addStrain(m.cfg.Blow.response(t), m.blow)
	}
	return pose{m.carrier.grip(t), m.rod.integrate(m.strain, m.sections)}
}

func (m *model) addStrain(f float64, strain []r3.Vec) {
	if f == 0 {
		return
	}
	for i, s := range strain {
		m.strain[i] = r3.Add(m.strain[i], r3.Scale(f, s))
	}
}

// markers fills points with the lab positions of the club's markers, in the
// order of MarkerSet.Names, for the pose last returned by at.
func (m *model) markers(p pose, points []r3.Vec) {
	c := &m.cfg.Club
	points = points[:0]
	add := func(q r3.Vec) { points = append(points, mirrored(p.grip.ToLab(q), c.Hand)) }
	for _, q := range c.Grip {
		add(q)
	}
	for i, s := range m.sections {
		add(s.ToLab(polar(c.Markers.Shaft[i].Offset, c.Around[i])))
	}
	for _, q := range c.Head {
		add(p.tip.ToLab(q))
	}
}

// headIn returns the head point in the grip's frame, m.
func (m *model) headIn(p pose) r3.Vec { return p.tip.ToLab(m.head) }

// headVelocity returns the lab velocity of the head point t seconds after
// contact, without the ball, m/s.
func (m *model) headVelocity(t float64) r3.Vec {
	return derivative(func(t float64) r3.Vec {
		p := m.at(t, false)
		return p.grip.ToLab(m.headIn(p))
	}, t)
}

// derivative returns the slope of f at t by the central difference of fourth
// order: over steps of 0.2 ms its error is below 1e-6 m/s for a club head, whose
// fifth derivative stays below 1e10 m/s⁵.
func derivative(f func(float64) r3.Vec, t float64) r3.Vec {
	const h = 2e-4
	near := r3.Sub(f(t+h), f(t-h))
	far := r3.Sub(f(t+2*h), f(t-2*h))
	return r3.Scale(1/(12*h), r3.Sub(r3.Scale(8, near), far))
}
