package sampledata

import (
	"math"
	"slices"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// A rod divides a shaft into short steps with every station of interest at the
// end of one. Along it runs a section frame whose z is the tangent of the axis
// and which turns with the material: with the strain w (bend about the
// section's x and y, torsion about its z, rad/m) the frame obeys
//
//	dX/ds = w × X, and so for Y and Z; dOrigin/ds = Z.
type rod struct {
	step  []float64 // lengths, m
	gauss []float64 // stations of the two Gauss points of each step, m
	stop  []int     // number of steps before each station asked for
}

// origin is the frame whose axes are those it is given in.
var origin = kinematics.Frame{X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}}

// newRod returns a rod from station 0 to length in steps of at most longest.
// Steps end at every station of kinks, where the strain may have a kink, and of
// stops, the stations at which integrate reports the section.
func newRod(length, longest float64, kinks, stops []float64) rod {
	ends := []float64{length}
	for _, s := range slices.Concat(kinks, stops) {
		if s > 0 && s < length {
			ends = append(ends, s)
		}
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)

	var r rod
	nodes := []float64{0}
	for _, end := range ends {
		from := nodes[len(nodes)-1]
		n := math.Ceil((end - from) / longest)
		h := (end - from) / n
		for i := range int(n) {
			a := from + float64(i)*h
			r.step = append(r.step, h)
			r.gauss = append(r.gauss, a+(0.5-math.Sqrt(3)/6)*h, a+(0.5+math.Sqrt(3)/6)*h)
			nodes = append(nodes, a+h)
		}
		nodes[len(nodes)-1] = end
	}
	for _, s := range stops {
		i, ok := slices.BinarySearch(nodes, s)
		if !ok {
			panic("sampledata: a station lies off the shaft")
		}
		r.stop = append(r.stop, i)
	}
	return r
}

// integrate carries the section frame from origin at the butt end along the
// strain, given at the rod's Gauss points. It fills at with the frame at each
// stop and returns the frame at the tip end.
//
// A step is the exact exponential of its fourth-order Magnus term (Magnus,
// Comm. Pure Appl. Math. 7:649-673, 1954; Blanes, Casas, Oteo & Ros, Phys. Rep.
// 470:151-238, 2009) in the group of rigid motions, h (a+b)/2 + √3 h²/12 [a, b]
// with a, b the twists at the Gauss points: the sign of the bracket is that of
// a frame multiplied from the right.
func (r rod) integrate(strain []r3.Vec, at []kinematics.Frame) kinematics.Frame {
	f := origin
	next := 0
	for i, h := range r.step {
		for next < len(r.stop) && r.stop[next] == i {
			at[next] = f
			next++
		}
		a, b := strain[2*i], strain[2*i+1]
		c := math.Sqrt(3) / 12 * h * h
		w := r3.Add(r3.Scale(h/2, r3.Add(a, b)), r3.Scale(c, r3.Cross(a, b)))
		// [a, b] of the translations is (a - b) × z.
		v := r3.Vec{X: c * (a.Y - b.Y), Y: -c * (a.X - b.X), Z: h}
		f = advance(f, w, v)
	}
	for ; next < len(r.stop); next++ {
		at[next] = f
	}
	return f
}

// advance returns f moved by the exponential of the twist (turn w, shift v) in
// its own axes.
func advance(f kinematics.Frame, w, v r3.Vec) kinematics.Frame {
	// sine = sin θ / θ, versine = (1 - cos θ) / θ², rest = (θ - sin θ) / θ³. The
	// series are exact to the last bit below θ² = 0.01.
	q := r3.Norm2(w)
	var sine, versine, rest float64
	if q < 0.01 {
		sine = 1 - q/6*(1-q/20*(1-q/42*(1-q/72)))
		versine = 0.5 - q/24*(1-q/30*(1-q/56*(1-q/90)))
		rest = 1./6 - q/120*(1-q/42*(1-q/72*(1-q/110)))
	} else {
		t := math.Sqrt(q)
		sine, versine, rest = math.Sin(t)/t, (1-math.Cos(t))/q, (t-math.Sin(t))/(q*t)
	}
	turned := func(e r3.Vec) r3.Vec { // e after the turn, in lab axes
		c := r3.Cross(w, e)
		return turn(f, r3.Add(e, r3.Add(r3.Scale(sine, c), r3.Scale(versine, r3.Cross(w, c)))))
	}
	c := r3.Cross(w, v)
	shift := r3.Add(v, r3.Add(r3.Scale(versine, c), r3.Scale(rest, r3.Cross(w, c))))
	return kinematics.Frame{
		Origin: f.ToLab(shift),
		X:      turned(r3.Vec{X: 1}),
		Y:      turned(r3.Vec{Y: 1}),
		Z:      turned(r3.Vec{Z: 1}),
	}
}

// turn returns the direction d, given in the axes of f, in the lab.
func turn(f kinematics.Frame, d r3.Vec) r3.Vec {
	f.Origin = r3.Vec{}
	return f.ToLab(d)
}
