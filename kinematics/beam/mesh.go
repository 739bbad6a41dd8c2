package beam

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// elements is how many cubic elements a beam is cut into, at least. Cutting
// makes mode i of a uniform cantilever high by (b/elements)⁴/1440 of itself, b =
// 1.875, 4.694, 7.855: 3 in 10⁸ for the third. Rounding grows with elements⁴ and
// reaches the same size in deflections and in the first mode; both stay below
// 1 in 10⁷.
const elements = 96

// A mesh is a part of a beam cut into elements. Each node has two degrees of
// freedom, its deflection and its slope, so that the matrices have three
// diagonals beside the main one.
type mesh struct {
	beam Beam
	node []float64 // station, m
}

const band = 3

// newMesh cuts the beam between two stations, with a node at every station of
// its tables.
func newMesh(b Beam, from, to float64) mesh {
	m := mesh{b, []float64{from}}
	all := Curve{Station: sortedUnion(b.EI.Station, b.Density.Station)}
	all.pieces(from, to, func(a, c float64) {
		n := math.Ceil((c - a) / (to - from) * elements)
		for i := range int(n) {
			m.node = append(m.node, a+(c-a)*float64(i+1)/n)
		}
	})
	return m
}

// Four Gauss points integrate degree 7 exactly: mass and tension of elements in
// which density is linear.
var gaussAt, gaussWeight = func() (x, w []float64) {
	x, w = make([]float64, 4), make([]float64, 4)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}()

// hermite returns the cubic shape functions of an element of length h at x from
// 0 to 1, with their first (order 1) or second (order 2) derivative by station:
// for deflection and slope at the start, then at the end.
func hermite(order int, x, h float64) [4]float64 {
	switch order {
	case 0:
		return [4]float64{1 - 3*x*x + 2*x*x*x, h * x * (1 - x) * (1 - x), x * x * (3 - 2*x), h * x * x * (x - 1)}
	case 1:
		return [4]float64{6 * x * (x - 1) / h, 1 - 4*x + 3*x*x, 6 * x * (1 - x) / h, x * (3*x - 2)}
	}
	return [4]float64{(12*x - 6) / h / h, (6*x - 4) / h, (6 - 12*x) / h / h, (6*x - 2) / h}
}

// matrix returns the integral of weight × N N', with N the shape functions
// differentiated order times: stiffness for EI and order 2, mass for density
// and 0, the stiffness of tension for tension and 1.
func (m mesh) matrix(order int, weight func(station float64) float64) *mat.SymBandDense {
	out := mat.NewSymBandDense(2*len(m.node), band, nil)
	for e := range len(m.node) - 1 {
		h := m.node[e+1] - m.node[e]
		for g, x := range gaussAt {
			w := gaussWeight[g] * h * weight(m.node[e]+x*h)
			n := hermite(order, x, h)
			for i := range 4 {
				for j := i; j < 4; j++ {
					add(out, 2*e+i, 2*e+j, w*n[i]*n[j])
				}
			}
		}
	}
	return out
}

// spread returns the nodal loads of a force per length.
func (m mesh) spread(force float64) *mat.VecDense {
	out := mat.NewVecDense(2*len(m.node), nil)
	for e := range len(m.node) - 1 {
		h := m.node[e+1] - m.node[e]
		for i, v := range [4]float64{h / 2, h * h / 12, h / 2, -h * h / 12} {
			out.SetVec(2*e+i, out.AtVec(2*e+i)+force*v)
		}
	}
	return out
}

func add(a *mat.SymBandDense, i, j int, v float64) { a.SetSymBand(i, j, a.At(i, j)+v) }

// without returns a without the rows and columns of the held degrees of
// freedom, which increase.
func without(a *mat.SymBandDense, held ...int) *mat.SymBandDense {
	n := a.SymmetricDim()
	var kept []int
	for i := range n {
		if len(held) > 0 && held[0] == i {
			held = held[1:]
			continue
		}
		kept = append(kept, i)
	}
	out := mat.NewSymBandDense(len(kept), band, nil)
	for i, p := range kept {
		for j := i; j < min(i+band+1, len(kept)); j++ {
			if q := kept[j]; q-p <= band {
				out.SetSymBand(i, j, a.At(p, q))
			}
		}
	}
	return out
}

// A Shape is a bent axis.
type Shape struct {
	Station    []float64 // m
	Deflection []float64 // m
	Slope      []float64 // rad
}

// shape returns the shape of the nodal values x, which lack the held degrees of
// freedom.
func (m mesh) shape(x mat.Vector, held ...int) Shape {
	s := Shape{m.node, make([]float64, len(m.node)), make([]float64, len(m.node))}
	k := 0
	for i := range 2 * len(m.node) {
		if len(held) > 0 && held[0] == i {
			held = held[1:]
			continue
		}
		if i%2 == 0 {
			s.Deflection[i/2] = x.AtVec(k)
		} else {
			s.Slope[i/2] = x.AtVec(k)
		}
		k++
	}
	return s
}

// Tip returns deflection, m, and slope, rad, at the last station.
func (s Shape) Tip() (deflection, slope float64) {
	n := len(s.Station) - 1
	return s.Deflection[n], s.Slope[n]
}

// Crest returns the station at which the shape stands out most.
func (s Shape) Crest() float64 {
	most, at := 0.0, s.Station[0]
	for i := range len(s.Station) - 1 {
		// Between two nodes the slope passes 0 nearly on a straight line.
		if a, b := s.Slope[i], s.Slope[i+1]; a*b <= 0 && a != b && math.Abs(s.Deflection[i]) > most {
			most, at = math.Abs(s.Deflection[i]), s.Station[i]+a/(a-b)*(s.Station[i+1]-s.Station[i])
		}
	}
	return at
}
