package kinematics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A headSpeed is the head point's speed from its path in the lab, smoothed
// before impact and after it apart.
type headSpeed struct {
	speed, sd []float64 // by frame, m/s
	path      []r3.Vec  // last smoothed points before impact, m
	noise     float64   // standard deviation of one coordinate in one frame, m
	smooth    *smoother // of the stretch before impact, nil where it could not be smoothed
	rate      float64
}

// leftOut is by how much the uncertainty of the speed is more than what noise
// leaves of it: the smoother also leaves out some of how quickly the speed
// changes up to impact. A type B evaluation, found as the doubts were.
const leftOut = 1.1

// newHeadSpeed smooths at the cut-off that was set by hand, or chooses where that
// is 0.
func newHeadSpeed(head []r3.Vec, before int, rate float64, noise colour, cutOff float64) headSpeed {
	h := headSpeed{speed: make([]float64, len(head)), sd: make([]float64, len(head)), rate: rate}
	for i := range head {
		h.speed[i], h.sd[i] = math.NaN(), math.NaN()
	}
	pat := func(from, to int) pattern {
		n := to - from
		p := pattern{seen: make([]bool, n), rows: make([]float64, 3*n)}
		for i := range n {
			if q := head[from+i]; !math.IsNaN(q.X) {
				p.seen[i] = true
				p.rows[i], p.rows[n+i], p.rows[2*n+i] = q.X, q.Y, q.Z
			}
		}
		return p
	}
	const stretch = 0.05 // s before impact, for the choice of λ: the head bends off quickest there
	quick := []pattern{pat(max(0, before-int(stretch*rate)), before)}
	// A third of the likeliest λ: what the smoother leaves out at the end of the
	// path then stays small beside the noise it lets through, so that the
	// interval holds what it says.
	lam := chooseSmoothing(quick, noise, 1e4) / 3
	if cutOff > 0 {
		lam = cutOffLambda(cutOff, rate, noise)
	}
	for side, r := range [2][2]int{{0, before}, {before, len(head)}} {
		p := pat(r[0], r[1])
		s, ok := newSmoother(p.seen, lam, noise)
		if !ok {
			continue
		}
		var sum float64
		s.smoothTo(p.rows, &sum)
		s.variances()
		n := s.n
		at := func(i int) r3.Vec { return r3.Vec{X: p.rows[i], Y: p.rows[n+i], Z: p.rows[2*n+i]} }
		if side == 0 {
			h.noise = math.Sqrt(sum / float64(3*(s.count-order)))
			h.smooth = s
			for i := n - order; i < n; i++ {
				h.path = append(h.path, at(i))
			}
		}
		for i := 1; i+1 < n; i++ {
			v := s.inv[i-1][0] + s.inv[i+1][0] - 2*s.inv[i-1][2]
			h.speed[r[0]+i] = r3.Norm(r3.Sub(at(i+1), at(i-1))) * rate / 2
			h.sd[r[0]+i] = leftOut * h.noise * math.Sqrt(v) * rate / 2
		}
	}
	return h
}

// at returns the speed f frames after the last before impact, its rate of
// change (m/s²) and its standard uncertainty.
func (h headSpeed) at(f float64) (speed, change, sd float64) {
	if h.smooth == nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	_, slope, bend := ahead(f)
	v, a := slope.of(h.path), bend.of(h.path)
	change = r3.Dot(a, r3.Unit(v)) * h.rate * h.rate
	return r3.Norm(v) * h.rate, change, leftOut * h.noise * math.Sqrt(h.smooth.endVariance(slope)) * h.rate
}
