package beam

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A Body is a rigid mass at the tip end of a beam. The zero Body is none.
type Body struct {
	Mass    float64 // kg
	Inertia float64 // about its centre of gravity, for turns in the plane of bending, kg m²
	Ahead   float64 // of its centre of gravity beyond the tip end, along the axis, m
}

// A Cantilever is a beam clamped at a station and free from there to its tip
// end. What lies butt-side of the clamp does not move.
type Cantilever struct {
	Beam  Beam
	Clamp float64 // station, m; below the beam's length
	Tip   Body
	// Tension along the axis at a station, N; nil for none. A tension stiffens,
	// whatever direction the beam bends in.
	Tension func(station float64) float64
}

// ErrBuckled is the error of a beam that is pushed harder than it can bear.
var ErrBuckled = errors.New("beam: it buckles under this compression")

// Pulled returns c under a tension that is the same at every station, N: that
// of a pull at the tip whose direction stays.
func (c Cantilever) Pulled(force float64) Cantilever {
	c.Tension = func(float64) float64 { return force }
	return c
}

// A Load acts across the beam, in one plane.
type Load struct {
	Force  float64 // at the tip end, N
	Couple float64 // at the tip end, N m; positive as it raises the slope
	Spread float64 // per length, N/m
}

// Deflect returns the shape under a load. The tip's body has no weight here. It
// returns ErrBuckled under too much compression.
func (c Cantilever) Deflect(load Load) (Shape, error) {
	m := newMesh(c.Beam, c.Clamp, c.Beam.Length)
	f := m.spread(load.Spread)
	n := f.Len()
	f.SetVec(n-2, f.AtVec(n-2)+load.Force)
	f.SetVec(n-1, f.AtVec(n-1)+load.Couple)
	var chol mat.BandCholesky
	if !chol.Factorize(without(c.stiffness(m), 0, 1)) {
		return Shape{}, ErrBuckled
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, f.SliceVec(2, n)); err != nil {
		return Shape{}, err
	}
	return m.shape(&x, 0, 1), nil
}

// stiffness returns the stiffness of bending and tension.
func (c Cantilever) stiffness(m mesh) *mat.SymBandDense {
	k := m.matrix(2, c.Beam.EI.At)
	if c.Tension == nil {
		return k
	}
	g := m.matrix(1, c.Tension)
	n := g.SymmetricDim()
	for i := range n {
		for j := i; j < min(i+band+1, n); j++ {
			add(k, i, j, g.At(i, j))
		}
	}
	// The pull acts at the body's centre of gravity.
	add(k, n-1, n-1, c.Tension(c.Beam.Length)*c.Tip.Ahead)
	return k
}

// inertia returns the mass of beam and body.
func (c Cantilever) inertia(m mesh) *mat.SymBandDense {
	a := m.matrix(0, c.Beam.Density.At)
	n, b := a.SymmetricDim(), c.Tip
	add(a, n-2, n-2, b.Mass)
	add(a, n-2, n-1, b.Mass*b.Ahead)
	add(a, n-1, n-1, b.Mass*b.Ahead*b.Ahead+b.Inertia)
	return a
}

// A Mode is one way to swing freely.
type Mode struct {
	Rate  float64 // angular frequency, rad/s
	Shape Shape   // deflection 1 at the tip end
}

// CPM returns the mode's frequency in cycles a minute.
func (m Mode) CPM() float64 { return m.Rate * 60 / (2 * math.Pi) }

// Modes returns the n slowest modes, slowest first: fewer where a beam without
// mass carries no more. It returns ErrBuckled under too much compression.
func (c Cantilever) Modes(n int) ([]Mode, error) {
	most := 0 // modes there are
	if c.Tip.Mass > 0 {
		most++
	}
	if c.Tip.Inertia > 0 {
		most++
	}
	if slices.ContainsFunc(c.Beam.Density.Value, func(v float64) bool { return v > 0 }) {
		most = elements
	}
	if most == 0 {
		return nil, errors.New("beam: neither the beam nor its tip has mass, so that it does not swing")
	}
	m := newMesh(c.Beam, c.Clamp, c.Beam.Length)
	values, vectors, ok := lowest(without(c.stiffness(m), 0, 1), without(c.inertia(m), 0, 1), min(n, most), most)
	if !ok {
		return nil, ErrBuckled
	}
	modes := make([]Mode, len(values))
	for i, v := range values {
		s := m.shape(vectors.ColView(i), 0, 1)
		tip, _ := s.Tip()
		for k := range s.Station {
			s.Deflection[k] /= tip
			s.Slope[k] /= tip
		}
		modes[i] = Mode{math.Sqrt(v), s}
	}
	return modes, nil
}
