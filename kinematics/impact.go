package kinematics

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// ErrNoImpact is returned by Fit where the head's path shows no blow.
var ErrNoImpact = errors.New("kinematics: no impact was found: the head's speed never drops as it does on a ball; if there was one, set its time by hand")

// findImpact returns when the head point, one position a frame (NaN where not
// known), first meets the ball, in frames from the first, with its standard
// uncertainty.
//
// The frame is the one about which the head loses most speed between straight
// lines of 2 ms on either side. The instant is where parabolas through the path
// before and after meet, along the change of velocity.
func findImpact(head []r3.Vec, rate float64) (at, sd float64, err error) {
	const (
		window = 0.002  // s, for finding the frame
		before = 0.008  // s, of the parabola before
		after  = 0.003  // s, of the parabola after
		hold   = 0.0006 // s after the blow's start that contact may last (about 0.45 ms)
	)
	n := len(head)
	w := max(3, int(math.Round(window*rate)))
	skip := int(math.Ceil(hold * rate))
	worst, frame := 0.0, -1
	for i := w; i+skip+w <= n; i++ {
		// i is the first frame after contact began.
		a, okA := slope(head[i-w:i], rate)
		b, okB := slope(head[i+skip-1:i+skip-1+w], rate)
		if !okA || !okB {
			continue
		}
		if drop := r3.Norm(a) - r3.Norm(b); drop > worst {
			worst, frame = drop, i
		}
	}
	if frame < 0 {
		return math.NaN(), math.NaN(), ErrNoImpact
	}
	if v, ok := slope(head[frame-w:frame], rate); !ok || worst < 0.1*r3.Norm(v) || r3.Norm(v) < 5 {
		return math.NaN(), math.NaN(), ErrNoImpact
	}
	at = float64(frame) - 0.5
	nb, na := int(before*rate), int(after*rate)
	for range 8 {
		first := int(math.Ceil(at)) // first frame after contact began
		b0, b1 := max(0, first-nb), first
		a0 := int(math.Ceil(at + hold*rate))
		a1 := min(n, a0+na)
		if b1-b0 < 4 || a1-a0 < 4 || b1 > n {
			return math.NaN(), math.NaN(), ErrNoImpact
		}
		pb, cb, ok1 := parabola(head[b0:b1], float64(b0)-at)
		pa, ca, ok2 := parabola(head[a0:a1], float64(a0)-at)
		if !ok1 || !ok2 {
			return math.NaN(), math.NaN(), ErrNoImpact
		}
		dv := r3.Sub(pa[1], pb[1])
		u := r3.Unit(dv)
		var c [3]float64
		for k := range 3 {
			c[k] = r3.Dot(u, r3.Sub(pa[k], pb[k]))
		}
		// c0 + c1 x + c2 x² = 0 near 0, by Newton's steps.
		x := 0.0
		for range 5 {
			x -= (c[0] + c[1]*x + c[2]*x*x) / (c[1] + 2*c[2]*x)
		}
		sd = math.Sqrt(cb+ca) / math.Abs(c[1])
		if math.IsNaN(x) || math.Abs(x) > 3 {
			return math.NaN(), math.NaN(), ErrNoImpact
		}
		at += x
		if math.Abs(x) < 1e-4 {
			break
		}
	}
	return at, sd, nil
}

// slope returns the velocity of a straight line through the points of a path
// at the rate, false where fewer than three are known.
func slope(p []r3.Vec, rate float64) (r3.Vec, bool) {
	var n, st, stt float64
	var s, ts r3.Vec
	for i, q := range p {
		if !math.IsNaN(q.X) {
			t := float64(i)
			n++
			st += t
			stt += t * t
			s = r3.Add(s, q)
			ts = r3.Add(ts, r3.Scale(t, q))
		}
	}
	d := n*stt - st*st
	if n < 3 {
		return r3.Vec{}, false
	}
	return r3.Scale(rate/d, r3.Sub(r3.Scale(n, ts), r3.Scale(st, s))), true
}

// parabola fits c0 + c1 x + c2 x² to the known points of a path, x = from,
// from+1, …, and returns the coefficients with the variance of one coordinate
// at x = 0.
func parabola(p []r3.Vec, from float64) (c [3]r3.Vec, variance float64, ok bool) {
	var rows, y []float64
	for i, q := range p {
		if !math.IsNaN(q.X) {
			x := from + float64(i)
			rows = append(rows, 1, x, x*x)
			y = append(y, q.X, q.Y, q.Z)
		}
	}
	n := len(y) / 3
	if n < 4 {
		return c, 0, false
	}
	a, b := mat.NewDense(n, 3, rows), mat.NewDense(n, 3, y)
	var qr mat.QR
	qr.Factorize(a)
	var sol mat.Dense
	if qr.SolveTo(&sol, false, b) != nil {
		return c, 0, false
	}
	for k := range 3 {
		c[k] = r3.Vec{X: sol.At(k, 0), Y: sol.At(k, 1), Z: sol.At(k, 2)}
	}
	var left mat.Dense
	left.Mul(a, &sol)
	left.Sub(&left, b)
	s2 := math.Pow(mat.Norm(&left, 2), 2) / float64(3*(n-3))
	var g mat.Dense
	g.Mul(a.T(), a)
	var inv mat.Dense
	if inv.Inverse(&g) != nil {
		return c, 0, false
	}
	return c, s2 * inv.At(0, 0), true
}

// findTop returns the frame in which the head is slowest between 0.6 and 0.12 s
// before impact (at, in frames): where the club turns from the backswing to the
// downswing. It returns −1 where no speed is known there.
func findTop(speed []float64, at, rate float64) int {
	best := -1
	for i := max(0, int(at-0.6*rate)); i < int(at-0.12*rate) && i < len(speed); i++ {
		if !math.IsNaN(speed[i]) && (best < 0 || speed[i] < speed[best]) {
			best = i
		}
	}
	return best
}
