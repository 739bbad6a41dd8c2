package kinematics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// firstPass fits the raw frames, twice: some spread over the run to find each
// marker's noise, then all, leaving out stray points.
func (f *fit) firstPass() error {
	f.sigma = make([]float64, len(f.marks))
	for k := range f.sigma {
		f.sigma[k] = math.Max(f.ref.Noise, 1e-5) // until the run has shown its own
	}
	f.first = make([]state, f.n)
	f.residual = make([]float64, f.n)
	f.head = make([]r3.Vec, f.n)
	f.left = make([][]r3.Vec, len(f.marks))
	for k := range f.left {
		f.left[k] = make([]r3.Vec, f.n)
	}
	f.given = make([][]int32, len(f.marks))
	for k := range f.given {
		f.given[k] = make([]int32, f.n)
	}
	f.axial = make([][]float64, len(f.marks))
	for k := range f.axial {
		f.axial[k] = make([]float64, f.n)
	}
	for _, stride := range [2]int{f.look(), 1} {
		if err := f.each(0, f.n, 128, func(s *solver, lo, hi int) { f.passOver(s, lo, hi, stride) }); err != nil {
			return err
		}
		if fitted := f.setNoise(f.n); fitted < max(1, 10/stride) {
			return fmt.Errorf("%w: %d of %d frames show two grip markers and three others", ErrTooFew, fitted, f.n)
		}
		if stride > 1 {
			if err := f.skewed(stride); err != nil {
				return err
			}
			f.findSlides()
		}
	}
	f.stray = make([]int, len(f.marks))
	for k := range f.marks {
		for i := range f.n {
			// Seen, fitted, and yet not measured against the model: left out.
			if f.first[i].pose.Known() && !math.IsNaN(f.y[k][i].X) && math.IsNaN(f.left[k][i].X) {
				f.y[k][i] = nan3
				f.stray[k]++
			}
		}
	}
	return nil
}

// dense is how many frames the first look goes on where it must see the motion.
const dense = 10

// look returns how many frames the first look goes on: a multiple of dense for
// some 150 frames in all.
func (f *fit) look() int {
	const frames = 150
	return dense * max(1, f.n/(dense*frames))
}

// passOver fits the raw frames lo … hi−1 that are whole multiples of stride.
// Neighbouring frames start from where those before them point to.
func (f *fit) passOver(s *solver, lo, hi, stride int) {
	p := f.newPass(s, stride == 1)
	have := 0 // frames just before this one that were fitted
	for i := lo; i < hi; i++ {
		f.first[i].pose, f.head[i], f.residual[i] = unknown, nan3, math.NaN()
		for k := range f.marks {
			f.left[k][i], f.axial[k][i] = nan3, math.NaN()
		}
		if i%stride != 0 || !p.take(i) || !p.settle(have) {
			have = 0
			continue
		}
		have++
		st := p.state
		f.first[i] = st
		f.head[i] = st.pose.ToLab(s.stepped().ToLab(s.bentClub.head))
		var sum float64
		n := 0
		for k, y := range p.y {
			if stride > 1 && !math.IsNaN(y.X) {
				f.axial[k][i] = s.along(k, &st, y)
			}
			if p.w[k] == 0 || math.IsNaN(y.X) {
				continue
			}
			f.left[k][i] = r3.Scale(1/math.Sqrt(p.w[k]), s.residual(k))
			sum += r3.Norm2(f.left[k][i])
			n += 3
		}
		f.residual[i] = math.Sqrt(sum / float64(n))
	}
}

// A pass fits raw frames one after the other. It is scratch space for one
// goroutine.
type pass struct {
	*fit
	s          *solver
	noiseKnown bool
	settled    float64   // size of a step after which a frame counts as settled
	weight     []float64 // by mark, of a point that is not left out
	frame      int
	was        []r3.Vec // points of the frame by mark, as they were taken
	given      []int32  // and whose labels they bore
	usual      int      // markers left out of the frame before

	// The last attempt at the frame.
	state state
	y     []r3.Vec
	w     []float64
	out   int // markers left out, and those that should be
}

func (f *fit) newPass(s *solver, noiseKnown bool) *pass {
	n := len(f.marks)
	p := &pass{fit: f, s: s, noiseKnown: noiseKnown, settled: f.coarse(), weight: make([]float64, n),
		was: make([]r3.Vec, n), given: make([]int32, n), y: make([]r3.Vec, n), w: make([]float64, n)}
	for k := range p.weight {
		p.weight[k] = f.weight(k)
	}
	return p
}

// take takes a frame's points, and reports whether they are worth fitting.
func (p *pass) take(frame int) bool {
	p.frame = frame
	for k := range p.was {
		p.was[k], p.given[k] = p.fit.y[k][frame], p.fit.given[k][frame]
	}
	return p.enough(p.was)
}

// settle fits the frame, given how many before it were. It starts from where those
// point to or, where there are none or more markers must be left out than in the
// frame before, from an unbent club; and where that does no better, from an
// unbent club without one marker after the other: a single stray point, taken for
// true at first, can bend the club past all the others.
func (p *pass) settle(have int) bool {
	// A frame on, a marker cannot be far from where it is expected; on an unbent
	// club it may be off by what a shaft bends.
	const jump, bent = 0.03, 0.3 // m
	if have == 0 {
		p.usual = 1
	} else if p.attempt(next(p.first[p.frame-have:p.frame]), jump, -1) && p.out <= max(1, p.usual) {
		p.usual = p.out
		return true
	}
	start, ok := p.cold(p.was)
	if !ok {
		return false
	}
	p.s.renew()
	const none = -1
	best, least := none, math.MaxInt
	if p.attempt(start, bent, none) {
		least = p.out
	}
	for k := p.grips; k < len(p.was) && least > p.usual; k++ {
		if !math.IsNaN(p.was[k].X) && p.attempt(start, bent, k) && p.out < least {
			best, least = k, p.out
		}
	}
	p.usual = least
	return least < math.MaxInt && p.attempt(start, bent, best)
}

// attempt fits the frame from a state, at first without a marker (−1 for none)
// and without those that are further than the gate from where they are expected.
// It reports whether that settled.
func (p *pass) attempt(start state, gate float64, without int) bool {
	p.state = start
	for k, y := range p.was {
		p.y[k], p.w[k] = y, p.weight[k]
		p.fit.y[k][p.frame], p.fit.given[k][p.frame] = y, p.given[k]
	}
	if without >= 0 {
		p.w[without] = 0
	}
	p.s.gate = gate
	// A stray point may keep the steps from settling.
	return p.leaveOutStrays(p.s.solve(&p.state, p.y, p.w, p.prior, p.settled))
}

// next returns the state a frame after those given, the latest of which count: on
// the straight line through them by least squares, whose noise is half of that
// from two frames. Of none, it is not known.
func next(st []state) state {
	const most = 5
	st = st[max(0, len(st)-most):]
	if len(st) == 1 {
		return st[0]
	}
	n := float64(len(st))
	var w [most]float64
	for i := range st {
		// On a line through y₀ … yₙ₋₁ the next is Σ (6i − 2n + 2)/(n(n−1)) yᵢ.
		w[i] = (6*float64(i) - 2*n + 2) / (n * (n - 1))
	}
	return mix(st, w[:])
}

// coarse is the size of a step after which a raw frame counts as settled: what it
// leaves, half its square times the length of a club, is a twentieth of the
// markers' noise.
func (f *fit) coarse() float64 {
	const share = 0.05
	var sum float64
	for _, s := range f.sigma {
		sum += s / float64(len(f.sigma))
	}
	return math.Sqrt(2 * share * sum)
}

// findSlides moves the marks of shaft markers that slid along the shaft since
// the club hung: those whose middle distance along it from where they should be
// is more than half a millimetre and three times the spread of that distance's
// middle half. It works on every tenth frame: a marker left out of all of them
// counts as well.
func (f *fit) findSlides() {
	const least = 0.5e-3 // m
	for k := range f.marks {
		m := &f.marks[k]
		if m.section < 0 || k >= f.heads {
			continue
		}
		d := slices.DeleteFunc(slices.Clone(f.axial[k]), math.IsNaN)
		if len(d) < 20 {
			continue
		}
		slices.Sort(d)
		middle, half := d[len(d)/2], d[3*len(d)/4]-d[len(d)/4]
		if by := math.Abs(middle); by > least && by > 3*half {
			m.arm.Z += middle
			m.sd = math.Hypot(m.sd, half/math.Sqrt(float64(len(d))))
			f.slid = append(f.slid, Slide{m.track, middle})
		}
	}
}

// cold returns a state to start a frame from without its neighbours: an unbent
// club on the grip cluster or, where that is not enough, on all markers.
func (f *fit) cold(y []r3.Vec) (state, bool) {
	p := make([]r3.Vec, len(f.marks))
	for k, m := range f.marks {
		p[k] = f.ref.Point[m.track]
	}
	reg, err := Register(p[:f.grips], y[:f.grips], nil)
	if err != nil {
		reg, err = Register(p, y, nil)
	}
	return state{pose: reg.Frame}, err == nil
}

// enough reports whether a frame's markers are worth fitting: two on the grip,
// and three further down for the two planes and the twist.
func (f *fit) enough(y []r3.Vec) bool {
	grip, rest := 0, 0
	for k, p := range y {
		switch {
		case math.IsNaN(p.X):
		case k < f.grips:
			grip++
		default:
			rest++
		}
	}
	return grip >= 2 && rest >= 3
}

// setNoise sets each marker's noise from its distances off the model: three
// coordinates, of which the fit of the frame takes its share. The median over
// frames stands for the mean, by the ratio it has for χ² with three degrees of
// freedom (2.366/3), so that strays do not count. A marker is held to within a
// factor 3 of the middle one. Only frames before upTo count. It returns the
// number of frames fitted.
func (f *fit) setNoise(upTo int) int {
	const enough = 500 // frames for a median within 3 %; the first look has fewer, and 5 %
	fitted := 0
	var frames []int // of those fitted, before upTo
	for i, st := range f.first {
		if !st.pose.Known() {
			continue
		}
		if fitted++; i < upTo {
			frames = append(frames, i)
		}
	}
	stride := max(1, len(frames)/enough)
	var all []float64
	own := make([]float64, len(f.left))
	for k, left := range f.left {
		var d []float64
		for j := 0; j < len(frames); j += stride {
			if v := left[frames[j]]; !math.IsNaN(v.X) {
				d = append(d, r3.Norm2(v))
			}
		}
		own[k] = math.NaN()
		if len(d) >= 10 {
			slices.Sort(d)
			own[k] = math.Sqrt(d[len(d)/2]/2.366) * f.share()
			all = append(all, own[k])
		}
	}
	if len(all) == 0 {
		return fitted
	}
	slices.Sort(all)
	middle := math.Max(all[len(all)/2], 1e-6)
	for k, v := range own {
		f.sigma[k] = middle
		if !math.IsNaN(v) {
			f.sigma[k] = math.Min(math.Max(v, middle/3), middle*3)
		}
	}
	return fitted
}

// weight returns the inverse variance of a raw point of mark k.
func (f *fit) weight(k int) float64 {
	return 1 / (f.sigma[k]*f.sigma[k] + f.marks[k].sd*f.marks[k].sd)
}
