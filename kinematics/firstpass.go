package kinematics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// firstPass fits the raw frames, twice: every tenth frame to find each marker's
// noise, then all, leaving out stray points.
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
	for _, stride := range [2]int{10, 1} {
		if err := f.each(0, f.n, func(s *solver, lo, hi int) { f.passOver(s, lo, hi, stride) }); err != nil {
			return err
		}
		if fitted := f.setNoise(f.n); fitted < 10/stride {
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

// passOver fits the raw frames lo … hi−1 that are whole multiples of stride.
// Neighbouring frames start from where the two before them point to, and then
// stray points are left out.
func (f *fit) passOver(s *solver, lo, hi, stride int) {
	y, w := make([]r3.Vec, len(f.marks)), make([]float64, len(f.marks))
	var last, before state
	have := 0 // frames just before this one that were fitted
	for i := lo; i < hi; i++ {
		f.first[i].pose, f.head[i], f.residual[i] = unknown, nan3, math.NaN()
		for k := range f.marks {
			f.left[k][i], f.axial[k][i] = nan3, math.NaN()
			y[k] = f.y[k][i]
			w[k] = f.weight(k)
		}
		if i%stride != 0 || !f.enough(y) {
			have = 0
			continue
		}
		st := last
		if have > 1 { // the pose goes on as it went
			st.pose = last.pose.Then(before.pose.Inverse().Then(last.pose)).orthonormal()
		}
		// A frame on, a marker cannot be far from where it is expected; on an
		// unbent club it may be off by what a shaft bends.
		const jump, bent = 0.03, 0.3 // m
		s.gate = jump
		ok := have > 0 && s.solve(&st, y, w, f.prior, coarse)
		if !ok {
			var found bool
			if st, found = f.cold(y); !found {
				have = 0
				continue
			}
			for k := range w {
				w[k] = f.weight(k)
			}
			s.gate = bent
			ok = s.solve(&st, y, w, f.prior, coarse)
		}
		// A stray point may have kept the steps from settling.
		if !f.leaveOutStrays(s, &st, i, y, w, ok, stride == 1) {
			have = 0
			continue
		}
		before, last = last, st
		have++
		f.first[i] = st
		f.head[i] = st.pose.ToLab(s.stepped().ToLab(s.bentClub.head))
		var sum float64
		n := 0
		for k := range y {
			if stride > 1 && !math.IsNaN(y[k].X) {
				f.axial[k][i] = s.along(k, &st, y[k])
			}
			if w[k] == 0 || math.IsNaN(y[k].X) {
				continue
			}
			f.left[k][i] = r3.Scale(1/math.Sqrt(w[k]), s.residual(k))
			sum += r3.Norm2(f.left[k][i])
			n += 3
		}
		f.residual[i] = math.Sqrt(sum / float64(n))
	}
}

// leaveOutStrays gives weight 0 to markers that are not where the club has
// them, the worst first, and solves again; settled says whether the first
// solution did, and what it returns whether the last did. Where two that were
// left out are at each other's place, or one at the place of a marker not seen,
// their labels were exchanged: they are given back. Until the noise is known, a
// marker must also be out of proportion to the others of its frame.
func (f *fit) leaveOutStrays(s *solver, st *state, frame int, y []r3.Vec, w []float64, settled, noiseKnown bool) bool {
	const (
		far   = 6 // standard deviations, in all three coordinates
		apart = 8 // times the middle distance of the frame
		most  = 4 // markers left out of a frame
	)
	for range 2 { // once more after labels were given back
		for range most {
			limit := far * far * 3.0
			if !noiseKnown {
				var d []float64
				for k := range y {
					if r := r3.Norm2(s.residual(k)); r > 0 {
						d = append(d, r)
					}
				}
				slices.Sort(d)
				if len(d) > 0 {
					limit = math.Max(limit, apart*apart*d[len(d)/2])
				}
			}
			worst, at := limit, -1
			for k := range y {
				if d := r3.Norm2(s.residual(k)); d > worst {
					worst, at = d, k
				}
			}
			if at < 0 {
				break
			}
			w[at] = 0
			settled = s.solve(st, y, w, f.prior, coarse)
		}
		if !settled || !f.giveBack(s, st, frame, y, w, far*far*3) {
			break
		}
		for k := range w {
			w[k] = f.weight(k)
		}
		settled = s.solve(st, y, w, f.prior, coarse)
	}
	return settled
}

// weight returns the inverse variance of a raw point of mark k.
func (f *fit) weight(k int) float64 {
	return 1 / (f.sigma[k]*f.sigma[k] + f.marks[k].sd*f.marks[k].sd)
}

// giveBack exchanges the points of marks that are at each other's place, and
// reports whether there were any.
func (f *fit) giveBack(s *solver, st *state, frame int, y []r3.Vec, w []float64, limit float64) bool {
	at := func(point, place int) bool { // the point of one mark at the place of another
		return r3.Norm2(r3.Sub(st.pose.ToClub(y[point]), s.place(place)))*f.weight(place) < limit
	}
	found := false
	for a := range y {
		if w[a] > 0 || math.IsNaN(y[a].X) {
			continue
		}
		for b := range y {
			hidden := math.IsNaN(y[b].X)
			if b == a || w[b] > 0 && !hidden || !at(a, b) || !hidden && !at(b, a) {
				continue
			}
			y[a], y[b] = y[b], y[a]
			f.y[a][frame], f.y[b][frame] = y[a], y[b]
			f.given[a][frame], f.given[b][frame] = f.from(b, frame), f.from(a, frame)
			found = true
			break
		}
	}
	return found
}

// from returns the mark whose label the point of mark k in the frame bore in the
// file.
func (f *fit) from(k, frame int) int32 {
	if g := f.given[k][frame]; g > 0 {
		return g
	}
	return int32(k + 1)
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
	const enough = 1000 // frames for a median within 3 %; of the first look a tenth of them, 10 %
	stride := max(1, upTo/enough)
	var all []float64
	own := make([]float64, len(f.left))
	// The share of the data that the unknowns use up.
	share := 1 / math.Sqrt(math.Max(0.2, 1-float64(dims)/float64(3*len(f.marks))))
	for k, left := range f.left {
		var d []float64
		for i := 0; i < upTo; i += stride {
			if v := left[i]; !math.IsNaN(v.X) {
				d = append(d, r3.Norm2(v))
			}
		}
		own[k] = math.NaN()
		if len(d) >= 10 {
			slices.Sort(d)
			own[k] = math.Sqrt(d[len(d)/2]/2.366) * share
			all = append(all, own[k])
		}
	}
	fitted := 0
	for _, st := range f.first {
		if st.pose.Known() {
			fitted++
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
