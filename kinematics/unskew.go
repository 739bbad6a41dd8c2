package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// unskew takes the paths of marks that are measured late to where they were at
// the frames' times.
func (f *fit) unskew(late []Estimate) {
	blow := f.blow()
	for k, t := range late {
		if t.Value == 0 {
			continue
		}
		was := slices.Clone(f.y[k])
		for i := range was {
			lo, hi := 0, f.n // the frames on its side of the blow
			if i < blow {
				hi = min(blow, f.n)
			} else {
				lo = blow
			}
			f.y[k][i] = interpolated(was[lo:hi], float64(i-lo)-t.Value*f.rate)
		}
	}
}

// blow returns the first frame after the head is slowed most from one frame to
// the next, by its markers as they are; n if none is seen to be.
func (f *fit) blow() int {
	best, most := f.n, 0.0
	for i := 2; i+1 < f.n; i++ {
		var lost []float64
		for _, y := range f.y[f.heads:] {
			if d := r3.Norm(r3.Sub(y[i-1], y[i-2])) - r3.Norm(r3.Sub(y[i+1], y[i])); !math.IsNaN(d) {
				lost = append(lost, d)
			}
		}
		if len(lost) == 0 {
			continue
		}
		slices.Sort(lost)
		if d := lost[len(lost)/2]; d > most {
			best, most = i, d
		}
	}
	return best
}

// interpolated returns a path at x, in frames: by the cubic through the four frames
// about it, else the line through two that are near; NaN where x has no two.
func interpolated(path []r3.Vec, x float64) r3.Vec {
	j := int(math.Floor(x))
	u := x - float64(j)
	at := func(i int) r3.Vec {
		if i < 0 || i >= len(path) {
			return nan3
		}
		return path[i]
	}
	sum := func(w ...float64) (p r3.Vec) {
		for i, wi := range w {
			p = r3.Add(p, r3.Scale(wi, at(j-1+i)))
		}
		return p
	}
	// Lagrange's weights of four even points.
	p := sum(-u*(u-1)*(u-2)/6, (u*u-1)*(u-2)/2, -u*(u+1)*(u-2)/2, u*(u*u-1)/6)
	if math.IsNaN(p.X) {
		p = r3.Add(r3.Scale(1-u, at(j)), r3.Scale(u, at(j+1)))
	}
	if math.IsNaN(p.X) { // the next frame is not there: on from the two before
		p = r3.Add(r3.Scale(1+u, at(j)), r3.Scale(-u, at(j-1)))
	}
	if math.IsNaN(p.X) { // or back from the two after
		p = r3.Add(r3.Scale(2-u, at(j+1)), r3.Scale(u-1, at(j+2)))
	}
	return p
}
