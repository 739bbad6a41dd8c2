package kinematics

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Setting is how a capture is to be made.
type Setting struct {
	Noise float64 // standard deviation of a marker's coordinate in one frame, m; white
	Rate  float64 // frames a second
}

// A Forecast is what to expect of a marker set before anything is captured.
type Forecast struct {
	Readout          // u95 to expect at impact; the values are those of the usual swing it is worked out for
	Better  []Change // of markers added or moved, the most helpful first
	Without []Change // with one marker left out, the one most missed first
}

// A Change is a marker set with one change, and what to expect of it.
type Change struct {
	Kind  ChangeKind
	Track int    // of the marker left out; −1 for other kinds
	Point r3.Vec // where a marker is added, in the club frame, m; for a move outwards X is by how much
	Readout
}

// ChangeKind is what is changed in a marker set.
type ChangeKind int

// The changes.
const (
	LeftOut    ChangeKind = iota // a marker
	GripAdded                    // a marker on the grip's cluster
	ShaftAdded                   // a marker on the shaft
	GripSpread                   // all of the grip's markers, outwards
)

// The swing that a forecast is for: a driver's, at impact. Common practice, no
// source; the figures are the means of simulated swings of many players, and a
// result changes by less than its tenth where they are off by half.
var (
	// Moments at the knots, in the lead plane and in the plane of y, and
	// torques, N m; for a right-handed club.
	usualLoad = amplitudes{0.8, 2.5, 1.8, 1, 0.4, -0.8, -2.7, -2.2, -1.9, -2.1, 0.3, 0.3}

	// How much those change over the last 60 ms before impact, root mean
	// square, N m/s. In each plane the knots rise and fall together: common is
	// the share of the variance that they have in common.
	usualRates = amplitudes{65, 190, 120, 65, 30, -35, -105, -70, -50, -35, 30, 20}

	// How fast the values change at impact, a second.
	usualSlopes = slopes{Lead: 2.4, Droop: 1.1, Twist: 0.35, LeadAngle: 4.1, DroopAngle: 2, HeadSpeed: -300}

	// What learnPrior makes of the usual belief after such a swing.
	learnt = belief{0.3, 0.15, 0.08, 1.2}
)

const (
	common         = 0.97
	usualHeadSpeed = 45 // m/s

	// The markers' paths as the smoother sees them: as if their fourth
	// derivative were white, of such a density (root, m s^−3.5) seen from the
	// carrier, and the head's in the lab. Found from the λ that Fit chooses for
	// simulated swings at 2000 to 5000 frames a second and 0.1 to 0.4 mm, where
	// it stays within a quarter of these.
	usualRoughness = 1.8e4
	headRoughness  = 1.5e5

	// First contact comes that many frames after the last that surely lies
	// before it, and is known to so many; means over the same swings.
	usualAhead    = 1
	usualImpactSD = 0.25
)

// Plan returns the u95 to expect of the seven values at impact for a club with
// the markers of ref, seen in every frame, in a usual swing, and what markers
// added, moved or left out would change. It forms the normal equations that Fit
// solves at impact, for markers at their places on the bent club.
//
// Changes are ranked by u95 of lead plus u95 of droop. It returns an error where
// the markers do not fix the club, the noise is not positive, or Fit would find
// no impact at the rate.
func Plan(ref *Reference, s Setting) (*Forecast, error) {
	const fastestRate = 1e5 // no camera that sees a whole swing is faster
	if !(s.Noise > 0) || math.IsInf(s.Noise, 1) || !(s.Rate >= slowestRate && s.Rate <= fastestRate) {
		return nil, fmt.Errorf("kinematics: a capture with noise of %g mm at %g frames a second cannot be planned; the noise must be positive, the rate %d to %g", s.Noise*1e3, s.Rate, slowestRate, fastestRate)
	}
	p, err := newPlanner(s)
	if err != nil {
		return nil, err
	}
	f := &Forecast{}
	if f.Readout, err = p.expect(ref); err != nil {
		return nil, err
	}
	for _, c := range changes(ref) {
		if c.Readout, err = p.expect(c.apply(ref)); err != nil {
			continue // with so few markers left there is nothing to expect
		}
		if c.Kind == LeftOut {
			f.Without = append(f.Without, c)
		} else {
			f.Better = append(f.Better, c)
		}
	}
	sum := func(c Change) float64 { return c.Lead.U95 + c.Droop.U95 }
	slices.SortStableFunc(f.Better, func(a, b Change) int { return cmp.Compare(sum(a), sum(b)) })
	slices.SortStableFunc(f.Without, func(a, b Change) int { return cmp.Compare(sum(b), sum(a)) })
	return f, nil
}

// A planner holds what all marker sets of a setting share.
type planner struct {
	Setting
	smooth       *smoother // of a marker's path up to impact
	rates        *prior
	value, slope ends
}

func newPlanner(s Setting) (*planner, error) {
	p := &planner{Setting: s}
	p.value, p.slope, _ = ahead(usualAhead)
	var ok bool
	if p.smooth, ok = p.smoother(s.Noise, usualRoughness, 1); !ok {
		return nil, fmt.Errorf("kinematics: at %g frames a second and %g mm of noise the markers' paths cannot be smoothed", s.Rate, s.Noise*1e3)
	}
	cov := mat.NewSymDense(shapes, nil)
	for j, a := range usualRates {
		for k, b := range usualRates[:j+1] {
			switch {
			case j == k:
				cov.SetSym(j, k, a*b/(s.Rate*s.Rate))
			case j < firstTorque && j/bends == k/bends:
				cov.SetSym(j, k, common*a*b/(s.Rate*s.Rate))
			}
		}
	}
	if p.rates, ok = ratePrior(cov, s.Rate); !ok {
		panic("kinematics: the usual rates have no inverse covariance")
	}
	return p, nil
}

// smoother returns the smoother, with its variances, that Fit would choose on
// the last stretch before impact for a path of the given noise (m) and
// roughness, its λ times by.
func (p *planner) smoother(noise, roughness, by float64) (*smoother, bool) {
	const stretch = 0.12 // s: beyond, nothing counts at its end
	seen := make([]bool, max(3*order, int(stretch*p.Rate)))
	for i := range seen {
		seen[i] = true
	}
	s, ok := newSmoother(seen, by*math.Pow(noise/roughness, 2)*math.Pow(p.Rate, 7), colour{})
	if ok {
		s.variances()
	}
	return s, ok
}

// expect returns the u95 to expect of a club with the markers of ref.
func (p *planner) expect(ref *Reference) (Readout, error) {
	club := newBentClub(ref)
	s := newSolver(club)
	st, sign := state{Identity, usualLoad}, 1.0
	if ref.Hand == Left {
		sign = -1
		for j := range st.amp {
			if j < firstDroop || j >= firstTorque { // the mirror image in x
				st.amp[j] = -st.amp[j]
			}
		}
	}
	m := len(club.marks)
	y, w := make([]r3.Vec, m), make([]float64, m)
	s.rod.bend(&st.amp, s.nodes, s.sections, false)
	for k := range y {
		y[k] = s.place(k)
	}
	enough := club.grips >= 3 && club.heads < m
	// The head's path is that of the frames as they are.
	prior := usual.prior()
	prior.bend(&st.amp)
	for k := range w {
		w[k] = 1 / (p.Noise * p.Noise)
	}
	if !enough || !s.form(&st, y, w, prior) {
		return Readout{}, errors.New("kinematics: these markers do not fix the club: 3 on the grip, 1 on the head and some between are needed")
	}
	headNoise := math.Sqrt(s.headVariance())
	// A third of the likeliest λ, as newHeadSpeed has it.
	headPath, ok := p.smoother(headNoise, headRoughness, 1./3)
	if !ok {
		return Readout{}, fmt.Errorf("kinematics: at %g frames a second the head's path cannot be smoothed", p.Rate)
	}
	speedSD := leftOut * headNoise * math.Sqrt(headPath.endVariance(p.slope)) * p.Rate

	wv := make([]float64, m)
	for k := range w {
		w[k], wv[k] = club.marks[k].continued(p.smooth, p.Noise*p.Noise, p.value, p.slope)
	}
	prior = learnt.prior()
	prior.bend(&st.amp)
	if !s.form(&st, y, w, prior) {
		return Readout{}, errors.New("kinematics: these markers do not fix the club at impact")
	}
	r := read(&s.sections[len(s.sections)-1], club.head, sign)
	estimate := func(value, sd, slope float64) Estimate {
		return Estimate{value, coverage * math.Hypot(sd, slope*usualImpactSD/p.Rate)}
	}
	bend := func(q *reading, doubt, slope float64) Estimate {
		return estimate(q.value, math.Sqrt(doubt*s.variance(&q.grad)), slope)
	}
	out := Readout{
		Lead: bend(&r.lead, leadDoubt, usualSlopes.Lead), Droop: bend(&r.droop, droopDoubt, usualSlopes.Droop),
		Twist:     bend(&r.twist, twistDoubt, usualSlopes.Twist),
		LeadAngle: bend(&r.leadAngle, leadAngleDoubt, usualSlopes.LeadAngle), DroopAngle: bend(&r.droopAngle, droopAngleDoubt, usualSlopes.DroopAngle),
		HeadSpeed: estimate(usualHeadSpeed, speedSD, usualSlopes.HeadSpeed),
	}
	if !s.form(&st, y, wv, p.rates) {
		return Readout{}, errors.New("kinematics: these markers do not fix the club's rates at impact")
	}
	out.KickSpeed = Estimate{usualSlopes.Lead, coverage * math.Sqrt(s.noise(&r.headLead.grad)) * p.Rate}
	return out, nil
}

// headVariance returns the variance of a coordinate of the head point in the
// lab, the mean of the three, for the normal equations last formed.
func (s *solver) headVariance() float64 {
	tip := &s.sections[len(s.sections)-1]
	q := tip.ToLab(s.head)
	moves := [dims]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}, {Y: -q.Z, Z: q.Y}, {X: q.Z, Z: -q.X}, {X: -q.Y, Y: q.X}}
	for j := range shapes {
		moves[poseDims+j] = tip.move(j, q)
	}
	var sum float64
	for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		for i, m := range moves {
			s.grad[i] = r3.Dot(m, axis)
		}
		g := append([]float64(nil), s.grad...)
		s.solveFactored()
		for i, v := range g {
			sum += v * s.grad[i]
		}
	}
	return sum / 3
}
