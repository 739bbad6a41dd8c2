package kinematics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// coverage is the coverage factor of a 95 % interval under a normal
// distribution (JCGM 100:2008, G.3).
const coverage = 1.96

// reading is a value of the bent club and how it changes with the amplitudes.
type reading struct {
	value float64
	grad  [shapes]float64
}

// A bendReading is what is read off the tip section, in the grip's frame.
type bendReading struct {
	lead, droop, twist, leadAngle, droopAngle reading
	headLead                                  reading // lead-direction coordinate of the head point
}

// read reads the tip section. sign is 1 for a right-handed club and −1 for a
// left-handed one, its mirror image.
func read(tip *section, head r3.Vec, sign float64) (r bendReading) {
	t := tip.Z
	q := tip.ToLab(head)
	r.lead.value = sign * tip.Origin.X
	r.droop.value = -tip.Origin.Y
	r.headLead.value = sign * q.X
	// The turn about z that remains when the smallest turn from z to t is taken
	// off: half its tangent is qz/qw of the rotation's quaternion.
	r.twist.value = -sign * 2 * math.Atan2(tip.X.Y-tip.Y.X, 1+tip.X.X+tip.Y.Y+tip.Z.Z)
	r.leadAngle.value = math.Atan2(sign*t.X, t.Z)
	r.droopAngle.value = math.Atan2(-t.Y, t.Z)
	xz, yz := t.X*t.X+t.Z*t.Z, t.Y*t.Y+t.Z*t.Z
	for j := range shapes {
		move := tip.move(j, tip.Origin)
		r.lead.grad[j] = sign * move.X
		r.droop.grad[j] = -move.Y
		r.headLead.grad[j] = sign * tip.move(j, q).X
		a := tip.a[j]
		r.twist.grad[j] = -sign * (a.X*t.X + a.Y*t.Y + a.Z*(1+t.Z)) / (1 + t.Z)
		dt := r3.Cross(a, t)
		r.leadAngle.grad[j] = sign * (t.Z*dt.X - t.X*dt.Z) / xz
		r.droopAngle.grad[j] = (t.Y*dt.Z - t.Z*dt.Y) / yz
	}
	return r
}

func (f *fit) time(frame float64) float64 { return f.start + frame/f.rate }

// events fills what is read off the series: top, impact, peak lag, residual.
func (f *fit) events(sw *Swing) {
	sw.meeting, sw.Contact = f.meeting, f.contact
	sw.Impact = Estimate{f.time(f.impact), coverage * f.impactSD / f.rate}
	for _, at := range f.meeting.other {
		sw.Other = append(sw.Other, f.time(at))
	}
	sw.Top = f.time(f.top)
	sw.PeakLag = Peak{Estimate{math.NaN(), math.NaN()}, math.NaN()}
	from := f.lo
	if !math.IsNaN(f.top) {
		from = max(from, int(f.top))
	}
	var sum float64
	n := 0
	for i := from; i < f.before; i++ {
		if v := sw.Lead.Value[i]; !math.IsNaN(v) && !(v >= sw.PeakLag.Value) {
			sw.PeakLag = Peak{Estimate{v, sw.Lead.U95[i]}, sw.Time(i)}
		}
		if r := f.residual[i]; !math.IsNaN(r) {
			sum += r * r
			n++
		}
	}
	sw.RMS = math.Sqrt(sum / float64(n))
}

// readImpact fits the club at the instant of impact, from before it, and its
// rates of change.
func (f *fit) readImpact(sw *Swing, sign float64) error {
	s := newSolver(f.bentClub)
	m := len(f.marks)
	y, w, v, wv := make([]r3.Vec, m), make([]float64, m), make([]r3.Vec, m), make([]float64, m)
	st := f.atImpact(y, w, v, wv)
	prior := *f.prior
	prior.bend(&st.amp)
	if !f.enough(y) || !s.solve(&st, y, w, &prior, fine) {
		return fmt.Errorf("%w: in the last frames before impact too few markers are where this club has them", ErrTooFew)
	}
	r := read(s.tip(&st), s.bentClub.head, sign)
	systematic := func(q *reading, model float64) Estimate {
		prior := math.Max(0, s.variance(&q.grad)-s.noise(&q.grad))
		return Estimate{q.value, coverage * math.Sqrt(s.placed(&q.grad)+model*prior)}
	}
	sw.Systematic = Readout{
		Lead: systematic(&r.lead, leadModel), Droop: systematic(&r.droop, droopModel), Twist: systematic(&r.twist, twistModel),
		LeadAngle: systematic(&r.leadAngle, leadAngleModel), DroopAngle: systematic(&r.droopAngle, droopAngleModel),
	}
	vars := [5]float64{
		leadDoubt * s.variance(&r.lead.grad), droopDoubt * s.variance(&r.droop.grad), twistDoubt * s.variance(&r.twist.grad),
		leadAngleDoubt * s.variance(&r.leadAngle.grad), droopAngleDoubt * s.variance(&r.droopAngle.grad),
	}
	sw.Bend = f.profile(&st.amp, s)

	// Rates: the same equations for velocities, linear.
	rates, kickVar, ok := f.rates(s, &st, v, wv, sw, &r.headLead)
	rate := func(q *reading) float64 {
		if !ok {
			return 0
		}
		var sum float64
		for j, g := range q.grad {
			sum += g * rates[j]
		}
		return sum // a frame
	}
	estimate := func(q *reading, i int) Estimate {
		late := rate(q) * f.impactSD
		return Estimate{q.value, coverage * math.Sqrt(vars[i]+late*late)}
	}
	sw.AtImpact = Readout{
		Lead: estimate(&r.lead, 0), Droop: estimate(&r.droop, 1), Twist: estimate(&r.twist, 2),
		LeadAngle: estimate(&r.leadAngle, 3), DroopAngle: estimate(&r.droopAngle, 4),
		KickSpeed: Estimate{math.NaN(), math.NaN()},
	}
	if ok {
		sw.AtImpact.KickSpeed = Estimate{rate(&r.headLead) * f.rate, coverage * math.Sqrt(kickVar) * f.rate}
	}
	speed, slope, sd := f.speedFrom.at(f.impact - float64(f.before-1))
	sw.AtImpact.HeadSpeed = Estimate{speed, coverage * math.Hypot(sd, slope*f.impactSD/f.rate)}
	sw.slope = slopes{
		rate(&r.lead) * f.rate, rate(&r.droop) * f.rate, rate(&r.twist) * f.rate,
		rate(&r.leadAngle) * f.rate, rate(&r.droopAngle) * f.rate, slope,
	}
	return nil
}

// rates returns the amplitudes' rates of change at the solution st, per frame,
// from the markers' velocities, and the variance of the rate of q. Their prior
// is the spread of the rates over the last 60 ms before impact.
func (f *fit) rates(s *solver, st *state, v []r3.Vec, wv []float64, sw *Swing, q *reading) (rates amplitudes, variance float64, ok bool) {
	const stretch = 0.06 // s
	cov := mat.NewSymDense(shapes, nil)
	n := 0.0
	for i := max(f.lo+1, f.before-int(stretch*f.rate)); i < f.before; i++ {
		if math.IsNaN(sw.amp[i][0]) || math.IsNaN(sw.amp[i-1][0]) {
			continue
		}
		n++
		for j := range shapes {
			for k := j; k < shapes; k++ {
				cov.SetSym(j, k, cov.At(j, k)+(sw.amp[i][j]-sw.amp[i-1][j])*(sw.amp[i][k]-sw.amp[i-1][k]))
			}
		}
	}
	if n < 3 {
		return rates, 0, false
	}
	for j := range shapes {
		for k := j; k < shapes; k++ {
			cov.SetSym(j, k, cov.At(j, k)/n)
		}
	}
	p, ok := ratePrior(cov, f.rate)
	if !ok || !s.form(st, v, wv, p) {
		return rates, 0, false
	}
	// One step from rest, the "residuals" being the velocities.
	for k := range f.marks {
		c := 3 * k
		d := r3.Vec{}
		if wv[k] > 0 {
			d = r3.Scale(math.Sqrt(wv[k]), st.pose.TurnBack(v[k]))
		}
		s.res[c], s.res[c+1], s.res[c+2] = d.X, d.Y, d.Z
	}
	s.gradient(p, &amplitudes{})
	s.solveFactored()
	copy(rates[:], s.grad[poseDims:])
	// The prior is the run's own spread of rates; its unsureness shows in no
	// simulated run.
	return rates, s.noise(&q.grad), true
}

// ratePrior returns the prior of rates that spread by cov, (N m a frame)², and
// by a little in every direction besides. It changes cov.
func ratePrior(cov *mat.SymDense, rate float64) (*prior, bool) {
	const floor = 10 // N m/s, far below the rates of a release
	for j := range shapes {
		cov.SetSym(j, j, cov.At(j, j)+math.Pow(floor/rate, 2))
	}
	var chol mat.Cholesky
	var prec mat.SymDense
	if !chol.Factorize(cov) || chol.InverseTo(&prec) != nil {
		return nil, false
	}
	p := &prior{}
	for j := range shapes {
		for k := range shapes {
			p.precision[j*shapes+k] = prec.At(j, k)
		}
	}
	return p, true
}

// form forms the normal equations of markers at y, with inverse variances w,
// linearised at st, and factors them.
func (s *solver) form(st *state, y []r3.Vec, w []float64, p *prior) bool {
	s.renew()
	s.linearise(st, y, w)
	s.formNormal(p)
	_, ok := lapack64.Potrf(blas64.Symmetric{N: dims, Stride: dims, Data: s.normal, Uplo: blas.Upper})
	return ok
}

// kick fills the kick speed's series: central differences of the head point's
// lead coordinate on each side of impact. Its u95 is that at impact, scaled
// by how well the coordinate itself is known.
func (f *fit) kick(sw *Swing, headLead Series) {
	at := sw.AtImpact.KickSpeed.U95
	last := headLead.U95[f.before-1]
	for i := 1; i+1 < f.n; i++ {
		if i == f.before || i == f.before-1 {
			continue
		}
		sw.KickSpeed.Value[i] = (headLead.Value[i+1] - headLead.Value[i-1]) * f.rate / 2
		if !math.IsNaN(sw.KickSpeed.Value[i]) {
			sw.KickSpeed.U95[i] = at * headLead.U95[i] / last
		}
	}
}

// exchanges returns the labels that were given back, stretches no more than five
// frames apart as one.
func (f *fit) exchanges() []Exchange {
	const near = 5
	var out []Exchange
	for k := range f.marks {
		open := map[int32]int{} // label → its latest in out
		for i, g := range f.given[k] {
			if g == 0 {
				continue
			}
			t := f.time(float64(i))
			if j, ok := open[g]; ok && t-out[j].To <= (near+0.5)/f.rate {
				out[j].To = t
				continue
			}
			open[g] = len(out)
			out = append(out, Exchange{f.marks[k].track, f.marks[g-1].track, t, t})
		}
	}
	return out
}
