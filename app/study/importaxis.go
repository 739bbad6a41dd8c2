package study

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A line is a straight line in space.
type line struct{ through, along r3.Vec } // m; along is a unit vector

// station returns how far along the line a point is, and how far from it, m.
func (l line) station(p r3.Vec) (along, off float64) {
	d := r3.Sub(p, l.through)
	along = r3.Dot(d, l.along)
	return along, r3.Norm(r3.Sub(d, r3.Scale(along, l.along)))
}

// lateral returns the vector from the line to p, square to it.
func (l line) lateral(p r3.Vec) r3.Vec {
	d := r3.Sub(p, l.through)
	return r3.Sub(d, r3.Scale(r3.Dot(d, l.along), l.along))
}

// fitLine returns the line with the smallest sum of squared distances to the
// points: through their centroid, along the first principal axis. It needs two
// points.
func fitLine(points []r3.Vec) line {
	var c r3.Vec
	for _, p := range points {
		c = r3.Add(c, r3.Scale(1/float64(len(points)), p))
	}
	spread := mat.NewSymDense(3, nil)
	for _, p := range points {
		d := r3.Sub(p, c)
		spread.SymRankOne(spread, 1, mat.NewVecDense(3, []float64{d.X, d.Y, d.Z}))
	}
	var eig mat.EigenSym
	if !eig.Factorize(spread, true) {
		return line{c, r3.Vec{Z: 1}}
	}
	var v mat.Dense
	eig.VectorsTo(&v)
	return line{c, r3.Vec{X: v.At(0, 2), Y: v.At(1, 2), Z: v.At(2, 2)}}
}

// usualTaper is the radius that a shaft loses over a length: 3.3 mm over 1.13 m
// (common practice, no source).
const usualTaper = -0.0033 / 1.13

// A taper is what is known of how far markers are from the axis: a + b s, with s
// along the axis from the middle of the markers, m.
type taper struct {
	a, b         float64
	knowA, knowB bool
}

// errOneSide says that markers do not fix an axis.
var errOneSide = errors.New("study: the shaft's markers sit on one side or on two opposite sides, so its axis does not show; set some of them on a third side")

// fitAxis returns the axis of a round, tapered shaft from the markers on it,
// given first along it from butt to tip: the line for which the distances of
// the markers from it are a + b s as nearly as can be (least squares over the
// line and what is not known of a and b, by Gauss-Newton steps), and the root
// mean square of what is left, m. errOneSide comes with the line that is nearest
// to the markers.
//
// The distance to a line is not convex near the line: it starts from the
// middle and from eight sides, and keeps the best.
func fitAxis(points []r3.Vec, t taper) (line, float64, error) {
	if len(points) < 3 {
		return line{}, 0, fmt.Errorf("study: %d markers are on the shaft; its axis needs 3", len(points))
	}
	first := fitLine(points)
	if r3.Dot(first.along, r3.Sub(points[len(points)-1], points[0])) < 0 {
		first.along = r3.Scale(-1, first.along)
	}
	x := r3.Unit(r3.Cross(first.along, least(first.along)))
	y := r3.Cross(first.along, x)
	start := t.a
	if !t.knowA {
		start = 0.01 // a shaft's radius and the stalk of a marker
	}
	best, misfit, clear := first, math.Inf(1), false
	for side := range 9 {
		from := first
		if side > 0 {
			sin, cos := math.Sincos(float64(side) * math.Pi / 4)
			from.through = r3.Add(from.through, r3.Scale(start, r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))))
		}
		if l, m, ok := refineLine(from, points, t, start); m < misfit {
			best, misfit, clear = l, m, ok
		}
	}
	if !clear {
		return first, misfit, errOneSide
	}
	return best, misfit, nil
}

// refineLine improves a line by Gauss-Newton steps. It reports whether the
// points fix it: the eigenvalues of the scaled normal equations, in which all
// unknowns are lengths, are within a factor of 10⁴.
func refineLine(l line, points []r3.Vec, t taper, start float64) (line, float64, bool) {
	if !t.knowA {
		t.a = start
	}
	n := 4
	if !t.knowA {
		n++
	}
	if !t.knowB {
		n++
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	var centre r3.Vec
	for _, p := range points {
		s, _ := l.station(p)
		lo, hi = min(lo, s), max(hi, s)
		centre = r3.Add(centre, r3.Scale(1/float64(len(points)), p))
	}
	lever := math.Max(hi-lo, 1e-3) / 2 // scales the tilt and the taper to lengths
	misfit, fixed := math.Inf(1), false
	for range 40 {
		// Counted from the middle of the points, shift and tilt do not mix.
		middle, _ := l.station(centre)
		l.through = r3.Add(l.through, r3.Scale(middle, l.along))
		if !t.knowA {
			t.a += t.b * middle
		}
		x := r3.Unit(r3.Cross(l.along, least(l.along)))
		y := r3.Cross(l.along, x)
		normal, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		sum := 0.0
		for _, p := range points {
			s, d := l.station(p)
			out := l.lateral(p)
			ux, uy := 1.0, 0.0
			if d > 1e-9 {
				ux, uy = r3.Dot(out, x)/d, r3.Dot(out, y)/d
			}
			row := []float64{-ux, -uy, -ux * s / lever, -uy * s / lever}
			if !t.knowA {
				row = append(row, -1)
			}
			if !t.knowB {
				row = append(row, -s/lever)
			}
			r := d - t.a - t.b*s
			v := mat.NewVecDense(n, row)
			normal.SymRankOne(normal, 1, v)
			right.AddScaledVec(right, -r, v)
			sum += r * r
		}
		misfit = math.Sqrt(sum / float64(len(points)))
		var eig mat.EigenSym
		if !eig.Factorize(normal, false) {
			return l, math.Inf(1), false
		}
		e := eig.Values(nil)
		fixed = e[0] > 1e-4*e[n-1]
		for i := range n { // keeps a start on the line of the markers solvable
			normal.SetSym(i, i, normal.At(i, i)+1e-9*e[n-1])
		}
		var chol mat.Cholesky
		var step mat.VecDense
		if !chol.Factorize(normal) || chol.SolveVecTo(&step, right) != nil {
			return l, math.Inf(1), false
		}
		q := step.RawVector().Data
		l.through = r3.Add(l.through, r3.Add(r3.Scale(q[0], x), r3.Scale(q[1], y)))
		l.along = r3.Unit(r3.Add(l.along, r3.Add(r3.Scale(q[2]/lever, x), r3.Scale(q[3]/lever, y))))
		rest := q[4:]
		if !t.knowA {
			t.a, rest = t.a+rest[0], rest[1:]
		}
		if !t.knowB {
			t.b += rest[0] / lever
		}
		if mat.Norm(&step, 2) < 1e-9 {
			break
		}
	}
	return l, misfit, fixed && t.a > 0
}

// least returns the unit vector of the axis that v is least along.
func least(v r3.Vec) r3.Vec {
	switch x, y, z := math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z); {
	case x <= y && x <= z:
		return r3.Vec{X: 1}
	case y <= z:
		return r3.Vec{Y: 1}
	}
	return r3.Vec{Z: 1}
}
