package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// paths are the markers' paths over one stretch of the run, smoothed, as seen
// from a frame that moves smoothly with the club. Which frame it is does not
// matter: a turn or shift of it is the same for all markers.
type paths struct {
	from, n int // first frame of the run and how many
	carrier []Frame
	local   [][]r3.Vec  // by mark: smoothed positions in the carrier
	smooth  []*smoother // by mark; nil where the marker is not seen on the stretch
}

// smoothPaths smooths the stretches before and after impact, at the cut-off that
// was set by hand where it is not 0.
func (f *fit) smoothPaths(cutOff float64) {
	lam := cutOffLambda(cutOff, f.rate, f.noise)
	f.cutOff = cutOff
	if cutOff == 0 {
		lam = f.chooseSmoothing()
		f.cutOff = cutOffOf(lam, f.rate, f.noise)
	}
	f.paths[0] = f.stretch(f.lo, f.before, lam)
	f.paths[1] = f.stretch(f.before, f.hi, lam)
}

// carrierBand is the frequency up to which the carrier follows the grip, Hz.
const carrierBand = 40

// carriers returns the carrier over a stretch: the poses of the first pass,
// smoothed. Frames without a pose are bridged.
func (f *fit) carriers(from, to int) []Frame {
	n := to - from
	out := make([]Frame, n)
	seen := make([]bool, n)
	rows := make([]float64, 9*n)
	for i := range n {
		p := f.first[from+i].pose
		if seen[i] = p.Known(); seen[i] {
			for k, v := range [9]float64{p.Origin.X, p.Origin.Y, p.Origin.Z, p.X.X, p.X.Y, p.X.Z, p.Y.X, p.Y.Y, p.Y.Z} {
				rows[k*n+i] = v
			}
		}
		out[i] = unknown
	}
	s, ok := newSmoother(seen, cutOffLambda(carrierBand, f.rate, colour{}), colour{})
	if !ok {
		return out
	}
	s.smooth(rows)
	for i := range n {
		at := func(k int) float64 { return rows[k*n+i] }
		out[i] = Frame{
			Origin: r3.Vec{X: at(0), Y: at(1), Z: at(2)},
			X:      r3.Vec{X: at(3), Y: at(4), Z: at(5)},
			Y:      r3.Vec{X: at(6), Y: at(7), Z: at(8)},
		}.orthonormal()
	}
	return out
}

// pattern returns mark k's path in the carrier over n frames.
func (f *fit) pattern(k, from int, carrier []Frame) pattern {
	n := len(carrier)
	p := pattern{seen: make([]bool, n), rows: make([]float64, 3*n)}
	for i := range n {
		y := f.y[k][from+i]
		if p.seen[i] = !math.IsNaN(y.X) && carrier[i].Known(); p.seen[i] {
			v := carrier[i].ToClub(y)
			p.rows[i], p.rows[n+i], p.rows[2*n+i] = v.X, v.Y, v.Z
		}
	}
	return p
}

// chooseSmoothing returns the λ of the markers' paths from the last 120 ms
// before impact, where the motion is quickest. One λ serves all markers, so that
// what the carrier does wrong, which is the same turn and shift for all, passes
// the smoother alike and stays a turn and shift.
func (f *fit) chooseSmoothing() float64 {
	const stretch = 0.12 // s
	from := max(f.lo, f.before-int(stretch*f.rate))
	carrier := f.carriers(from, f.before)
	var ps []pattern
	for k := range f.marks {
		ps = append(ps, f.pattern(k, from, carrier))
	}
	return chooseSmoothing(ps, f.noise, cutOffLambda(carrierBand, f.rate, colour{}))
}

// stretch smooths the paths over frames from … to−1. Markers seen in the same
// frames share a smoother.
func (f *fit) stretch(from, to int, lam float64) paths {
	p := paths{from: from, n: to - from, carrier: f.carriers(from, to)}
	for k := range f.marks {
		pat := f.pattern(k, from, p.carrier)
		var s *smoother
		if i := slices.IndexFunc(p.smooth, func(o *smoother) bool { return o != nil && slices.Equal(o.seen, pat.seen) }); i >= 0 {
			s = p.smooth[i]
		} else if o, ok := newSmoother(pat.seen, lam, f.noise); ok {
			s = o
			s.variances()
		}
		local := make([]r3.Vec, p.n)
		if s != nil {
			s.smooth(pat.rows)
		}
		for i := range local {
			local[i] = nan3
			if s != nil {
				local[i] = r3.Vec{X: pat.rows[i], Y: pat.rows[p.n+i], Z: pat.rows[2*p.n+i]}
			}
		}
		p.local = append(p.local, local)
		p.smooth = append(p.smooth, s)
	}
	return p
}

// around returns the stretch that frame i lies in.
func (f *fit) around(i int) *paths {
	if i >= f.before {
		return &f.paths[1]
	}
	return &f.paths[0]
}

// smoothed fills y and w with the smoothed markers of frame i in its carrier
// and their inverse variances, and returns a state to start from.
func (f *fit) smoothed(i int, y []r3.Vec, w []float64) state {
	p := f.around(i)
	j := i - p.from
	for k := range f.marks {
		y[k], w[k] = nan3, 0
		if s := p.smooth[k]; s != nil {
			y[k] = p.local[k][j]
			w[k] = 1 / (f.white(k)*s.inv[j][0] + f.marks[k].sd*f.marks[k].sd)
		}
	}
	st := f.first[i]
	st.pose = p.carrier[j].Inverse().Then(st.pose)
	return st
}

// atImpact fills y and w with the markers at impact, continued from before it,
// in the carrier of the last frame before it, and v and wv with their
// velocities there (m a frame) and the inverse variances of these.
func (f *fit) atImpact(y []r3.Vec, w []float64, v []r3.Vec, wv []float64) state {
	p := &f.paths[0]
	value, slope, _ := ahead(f.impact - float64(p.from+p.n-1))
	for k := range f.marks {
		y[k], w[k], v[k], wv[k] = nan3, 0, nan3, 0
		s := p.smooth[k]
		if s == nil {
			continue
		}
		z := p.local[k][p.n-order:]
		y[k], v[k] = value.of(z), slope.of(z)
		w[k], wv[k] = f.marks[k].continued(s, f.white(k), value, slope)
	}
	i := f.before - 1
	for !f.first[i].pose.Known() && i > p.from {
		i--
	}
	st := f.first[i]
	st.pose = p.carrier[i-p.from].Inverse().Then(st.pose)
	return st
}

// continued returns the inverse variances of a marker's place and velocity (a
// frame) that value and slope continue from its smoothed path, for white noise
// of the given variance.
func (m *mark) continued(s *smoother, white float64, value, slope ends) (place, velocity float64) {
	return 1 / (white*s.endVariance(value) + m.sd*m.sd), 1 / (white * s.endVariance(slope))
}
