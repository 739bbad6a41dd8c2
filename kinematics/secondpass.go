package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

func newSeries(n int) Series {
	s := Series{make([]float64, n), make([]float64, n)}
	for i := range n {
		s.Value[i], s.U95[i] = math.NaN(), math.NaN()
	}
	return s
}

// values is how many values are read off in every frame: those of a bendReading.
const values = 6

// supports are frames of a stretch that are fitted, close enough together for a
// cubic through four of them to tell of all between: the smoothed paths hold no
// quicker motion.
type supports struct {
	*paths
	apart int     // how many frames lie from one to the next, at most
	frame []int   // ascending, counted from the first of the run
	state []state // in the carrier
	view  []view
	ok    []bool
}

// A view is what is read off in one frame.
type view struct {
	value, u95 [values]float64
	head       r3.Vec // in the grip's frame, m
}

// supports returns the frames of stretch p to fit: so far apart that the
// smoother's cut-off turns by 0.6 rad from one to the next, where a cubic is off
// by less than a hundredth of what the smoother lets pass; every one near impact,
// where there are none beyond it to lean on; and the ends of the stretch. More
// than eight frames apart they save no time.
func (f *fit) supports(p *paths) *supports {
	m := max(1, min(8, int(0.6*f.rate/(2*math.Pi*f.cutOff))))
	s := &supports{paths: p, apart: m}
	for i := p.from; i < p.from+p.n; i++ {
		if off := i - p.from; off%m == 0 || off == p.n-1 || i >= f.before-2*m && i < f.before+2*m {
			s.frame = append(s.frame, i)
		}
	}
	n := len(s.frame)
	s.state, s.view, s.ok = make([]state, n), make([]view, n), make([]bool, n)
	return s
}

// fitSupports fits the supports lo … hi−1.
func (f *fit) fitSupports(on *supports, s *solver, lo, hi int, sign float64) {
	y, w := make([]r3.Vec, len(f.marks)), make([]float64, len(f.marks))
	prior := *f.prior
	var u95 [values]float64
	formed := 0
	have := 0 // supports just before this one that were fitted
	for j := lo; j < hi; j++ {
		// The state goes on as it went.
		st := f.smoothed(on.frame[j], y, w)
		if n := min(have, 3); n > 0 {
			w := through(on.frame[j-n:j], on.frame[j])
			st = mix(on.state[j-n:j], w[:])
		}
		prior.bend(&st.amp)
		const near = 2 // supports that share derivatives
		if (j-lo)%near == 0 {
			s.renew()
		}
		if !st.pose.Known() || !s.solve(&st, y, w, &prior, fine) {
			have = 0
			continue
		}
		have++
		tip := s.stepped()
		r := read(tip, s.bentClub.head, sign)
		v := &on.view[j]
		for k, q := range [values]struct {
			*reading
			doubt float64
		}{{&r.lead, swingDoubt}, {&r.droop, droopDoubt}, {&r.twist, twistDoubt}, {&r.leadAngle, leadAngleDoubt}, {&r.droopAngle, droopAngleDoubt}, {&r.headLead, swingDoubt}} {
			if s.formed != formed { // the same equations have the same uncertainty
				u95[k] = coverage * math.Sqrt(q.doubt*s.variance(&q.grad))
			}
			v.value[k], v.u95[k] = q.value, u95[k]
		}
		formed = s.formed
		v.head = tip.ToLab(s.bentClub.head)
		on.state[j], on.ok[j] = st, true
	}
}

// through returns the weights with which values at x make up that at a place, by
// the polynomial through them (Lagrange's form).
func through(x []int, at int) (w [4]float64) {
	for i, xi := range x {
		w[i] = 1
		for j, xj := range x {
			if j != i {
				w[i] *= float64(at-xj) / float64(xi-xj)
			}
		}
	}
	return w
}

// mix returns the weighted sum of states that differ little.
func mix(states []state, w []float64) (out state) {
	for i := range states {
		s, f := &states[i], w[i]
		out.pose.Origin = r3.Add(out.pose.Origin, r3.Scale(f, s.pose.Origin))
		out.pose.X = r3.Add(out.pose.X, r3.Scale(f, s.pose.X))
		out.pose.Y = r3.Add(out.pose.Y, r3.Scale(f, s.pose.Y))
		for j, a := range s.amp {
			out.amp[j] += f * a
		}
	}
	out.pose = out.pose.orthonormal()
	return out
}

// around returns the supports that tell of a frame, from first to last, by
// number: four, or as many as there are. It reports false where one that is
// missing leaves the frame too far from others.
func (s *supports) around(frame int) (first, last int, ok bool) {
	k, at := slices.BinarySearch(s.frame, frame)
	if !at && (k == 0 || k == len(s.frame) || s.frame[k]-s.frame[k-1] > 2*s.apart) {
		return 0, 0, false
	}
	first = max(0, min(k-2, len(s.frame)-4))
	return first, min(first+4, len(s.frame)), true
}

// keep drops the supports that could not be fitted.
func (s *supports) keep() {
	k := 0
	for j, ok := range s.ok {
		if ok {
			s.frame[k], s.state[k], s.view[k] = s.frame[j], s.state[j], s.view[j]
			k++
		}
	}
	s.frame, s.state, s.view = s.frame[:k], s.state[:k], s.view[:k]
}

// secondPass fits the smoothed paths and reads the swing off.
func (f *fit) secondPass() (*Swing, error) {
	sign := 1.0
	if f.ref.Hand == Left {
		sign = -1
	}
	sw := &Swing{
		Start: f.start, Rate: f.rate, Hand: f.ref.Hand, Length: f.ref.Shaft.Length, CutOff: f.cutOff,
		Grip: make([]Frame, f.n), Head: make([]r3.Vec, f.n), Residual: f.residual, Filled: f.filled(),
		Lead: newSeries(f.n), Droop: newSeries(f.n), Twist: newSeries(f.n),
		LeadAngle: newSeries(f.n), DroopAngle: newSeries(f.n),
		HeadSpeed: newSeries(f.n), KickSpeed: newSeries(f.n),
		rod: f.rod, amp: make([]amplitudes, f.n), stiff: f.ref.Shaft.Known(),
	}
	tracks := len(f.ref.Point)
	sw.Noise, sw.Stray = make([]float64, tracks), make([]int, tracks)
	for k, m := range f.marks {
		sw.Noise[m.track], sw.Stray[m.track] = f.sigma[k], f.stray[k]
	}
	sw.Slid, sw.Skewed, sw.Exchanged = f.slid, f.skews, f.exchanges()
	headLead := newSeries(f.n)
	for i := range f.n {
		sw.Grip[i], sw.Head[i], sw.amp[i][0] = unknown, nan3, math.NaN()
		if i < f.lo || i >= f.hi || !f.first[i].pose.Known() {
			sw.Residual[i] = math.NaN()
		}
	}
	to := [values]Series{sw.Lead, sw.Droop, sw.Twist, sw.LeadAngle, sw.DroopAngle, headLead}
	for k := range f.paths {
		p := &f.paths[k]
		on := f.supports(p)
		if err := f.each(0, len(on.frame), 32, func(s *solver, lo, hi int) { f.fitSupports(on, s, lo, hi, sign) }); err != nil {
			return nil, err
		}
		on.keep()
		for i := max(f.lo, p.from); i < min(f.hi, p.from+p.n); i++ {
			if f.first[i].pose.Known() {
				f.fill(sw, &to, on, i)
			}
		}
	}
	f.events(sw)
	if err := f.readImpact(sw, sign); err != nil {
		return nil, err
	}
	f.kick(sw, headLead)
	return sw, nil
}

// filled reports for every frame whether the values rest on markers that the rod
// fills: a pose of the grip, and one of the head, take three.
func (f *fit) filled() []bool {
	out := make([]bool, f.n)
	for i := range out {
		grip, head := 0, 0
		for k, y := range f.y {
			switch {
			case math.IsNaN(y[i].X):
			case k < f.grips:
				grip++
			case k >= f.heads:
				head++
			}
		}
		out[i] = grip < 3 || head < 3
	}
	return out
}

// fill fills the swing and the series of values in a frame from its supports.
func (f *fit) fill(sw *Swing, to *[values]Series, on *supports, frame int) {
	first, last, ok := on.around(frame)
	if !ok {
		return
	}
	w := through(on.frame[first:last], frame)
	st := mix(on.state[first:last], w[:])
	sw.amp[frame] = st.amp
	sw.Grip[frame] = on.carrier[frame-on.from].Then(st.pose)
	var v view
	for i, q := range on.view[first:last] {
		v.head = r3.Add(v.head, r3.Scale(w[i], q.head))
		for k := range values {
			v.value[k] += w[i] * q.value[k]
			v.u95[k] += w[i] * q.u95[k]
		}
	}
	sw.Head[frame] = sw.Grip[frame].ToLab(v.head)
	for k := range values {
		to[k].Value[frame], to[k].U95[frame] = v.value[k], v.u95[k]
	}
	sw.HeadSpeed.Value[frame], sw.HeadSpeed.U95[frame] = f.speedFrom.speed[frame], coverage*f.speedFrom.sd[frame]
}
