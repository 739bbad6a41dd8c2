package kinematics

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	poseDims = 6 // shift (3) and turn (3) of the grip, in its own frame
	dims     = poseDims + shapes
)

// A mark is a marker of the club as the fit sees it: riding with a section.
type mark struct {
	track   int
	section int     // in the solver's sections; −1 for the grip
	arm     r3.Vec  // from the section's centre on the axis, in the section's directions, m
	sd      float64 // standard uncertainty of arm's coordinates, m
}

// A bentClub is the model of one club: its rod and its marks.
type bentClub struct {
	rod   *rodModel
	marks []mark
	nodes []int  // of the rod, ascending; the last is the tip end
	head  r3.Vec // head point from the tip end, in the tip section's directions
	grips int    // marks[:grips] are on the grip
	heads int    // marks[heads:] are on the head
}

func newBentClub(ref *Reference) *bentClub {
	m := ref.Markers
	var stations []float64
	for _, s := range m.Shaft {
		stations = append(stations, s.Station)
	}
	c := &bentClub{rod: newRodModel(ref.Shaft, stations)}
	sections := sortedUnique(append(stations, ref.Shaft.Length))
	where := map[float64]int{}
	for i, s := range sections {
		where[s] = i
		c.nodes = append(c.nodes, c.rod.at[s])
	}
	tip := where[ref.Shaft.Length]
	add := func(track, section int, station float64) {
		p := ref.Point[track]
		if !math.IsNaN(p.X) {
			p.Z -= station
			c.marks = append(c.marks, mark{track, section, p, ref.SD[track]})
		}
	}
	for _, t := range m.Grip {
		add(t, -1, 0)
	}
	c.grips = len(c.marks)
	for _, s := range m.Shaft {
		add(s.Track, where[s.Station], s.Station)
	}
	c.heads = len(c.marks)
	for _, t := range m.Head {
		add(t, tip, ref.Shaft.Length)
	}
	for _, h := range c.marks[c.heads:] {
		c.head = r3.Add(c.head, r3.Scale(1/float64(len(c.marks)-c.heads), h.arm))
	}
	return c
}

// A state is the bent club in one frame.
type state struct {
	pose Frame // of the grip in the frame in which the markers are given
	amp  amplitudes
}

// A solver fits states to markers. It is scratch space: one for each goroutine.
type solver struct {
	*bentClub
	sections []section
	jac      []float64 // dims rows of 3·marks, weighted
	res      []float64 // weighted residuals
	normal   []float64 // dims × dims, upper: JᵀWJ + prior; its Cholesky factor after solve
	info     []float64 // dims × dims, upper: JᵀWJ alone
	grad     []float64
	root     []float64 // by mark: square root of the weight in jac
	formed   int       // how often jac and normal were formed
	age      int       // frames since jac and normal were formed; reuse or more forms them anew
	gate     float64   // in the next step, points further than this from where they are expected get weight 0, m; 0 for none
}

func newSolver(c *bentClub) *solver {
	n := 3 * len(c.marks)
	return &solver{
		bentClub: c,
		sections: make([]section, len(c.nodes)),
		jac:      make([]float64, dims*n),
		res:      make([]float64, n),
		normal:   make([]float64, dims*dims),
		info:     make([]float64, dims*dims),
		grad:     make([]float64, dims),
		root:     make([]float64, len(c.marks)),
		age:      reuse,
	}
}

// reuse is for how many frames the derivatives serve, as long as the same
// markers are seen: in the grip's frame they change with the bend alone, by
// about a hundredth in that time, and so does what a step leaves.
const reuse = 12

// renew makes the next step form the derivatives anew.
func (s *solver) renew() { s.age = reuse }

// fine is the size of a step (see moved) after which a frame of smoothed markers
// counts as settled: its square is left and, as derivatives serve several frames,
// some hundredths of it, 2 µm.
const fine = 1e-4

// coarse is that for raw points that are sought, not measured: it leaves 10 µm.
const coarse = 3e-3

// solve improves st until it makes Σ wₘ|yₘ − ŷₘ|² plus the prior's term
// smallest, by Gauss-Newton steps until one is smaller than settled. y and w go
// with s.marks: positions (NaN or weight 0: not seen) and inverse variances. It
// reports whether the steps settled, or nearly so, as with a stray point among
// the markers; s then holds the normal equations at the last step, and in res
// the weighted residuals after it.
func (s *solver) solve(st *state, y []r3.Vec, w []float64, p *prior, settled float64) bool {
	const (
		most = 12
		far  = 10 // times what is settled: nearer, the derivatives still serve
	)
	moved := math.Inf(1)
	for i := 0; i < most && !(moved < settled); i++ {
		if !s.step(st, y, w, p) {
			return false
		}
		if moved = s.moved(); !(moved < far*settled) {
			s.renew()
		}
	}
	n := len(s.res)
	blas64.Gemv(blas.Trans, -1, blas64.General{Rows: dims, Cols: n, Stride: n, Data: s.jac},
		blas64.Vector{N: dims, Inc: 1, Data: s.grad}, 1, blas64.Vector{N: n, Inc: 1, Data: s.res})
	return moved < math.Max(settled, 1e-4)
}

// moved returns the size of the last step as far as it moves markers beyond what
// the linearised equations foresee, rad times 1 m: a shift does so through turns
// alone, a turn about the shaft by the head's breadth. It may be NaN.
func (s *solver) moved() float64 {
	const breadth = 0.1 // m
	g := s.grad
	tip := &s.sections[len(s.sections)-1]
	var turn r3.Vec // of the tip against the grip
	var bend float64
	for j, a := range tip.a {
		turn = r3.Add(turn, r3.Scale(g[poseDims+j], a))
		bend += g[poseDims+j] * g[poseDims+j]
	}
	// Moments that take each other's turn back at the tip still bend the shaft by
	// half a mrad for each N m.
	return math.Sqrt(g[3]*g[3] + g[4]*g[4] + turn.X*turn.X + turn.Y*turn.Y + 2.5e-7*bend +
		breadth*breadth*(g[0]*g[0]+g[1]*g[1]+g[2]*g[2]+g[5]*g[5]+turn.Z*turn.Z))
}

// residual returns the weighted residual of mark k.
func (s *solver) residual(k int) r3.Vec {
	return r3.Vec{X: s.res[3*k], Y: s.res[3*k+1], Z: s.res[3*k+2]}
}

// step solves the equations linearised at st, or at a state little before it,
// and moves st. The step is left in s.grad.
func (s *solver) step(st *state, y []r3.Vec, w []float64, p *prior) bool {
	if s.age++; s.age < reuse && s.residuals(st, y, w) {
		s.gradient(p, &st.amp)
	} else {
		s.age = 0
		s.formed++
		s.linearise(st, y, w)
		s.formNormal(p)
		if _, ok := lapack64.Potrf(blas64.Symmetric{N: dims, Stride: dims, Data: s.normal, Uplo: blas.Upper}); !ok {
			s.renew()
			return false
		}
		s.gradient(p, &st.amp)
	}
	s.gate = 0
	s.solveFactored()
	g := s.grad
	turned := st.pose.turned(r3.Vec{X: g[3], Y: g[4], Z: g[5]})
	turned.Origin = st.pose.ToLab(r3.Vec{X: g[0], Y: g[1], Z: g[2]})
	st.pose = turned
	for j := range shapes {
		st.amp[j] += g[poseDims+j]
	}
	return true
}

// formNormal forms info and normal from jac and the prior.
func (s *solver) formNormal(p *prior) {
	n := len(s.res)
	blas64.Syrk(blas.NoTrans, 1, blas64.General{Rows: dims, Cols: n, Stride: n, Data: s.jac},
		0, blas64.Symmetric{N: dims, Stride: dims, Data: s.info, Uplo: blas.Upper})
	copy(s.normal, s.info)
	for i := range shapes {
		for j := i; j < shapes; j++ {
			s.normal[(poseDims+i)*dims+poseDims+j] += p.precision[i*shapes+j]
		}
	}
}

// gradient fills grad from jac, res and the prior's pull at amp.
func (s *solver) gradient(p *prior, amp *amplitudes) {
	n := len(s.res)
	blas64.Gemv(blas.NoTrans, 1, blas64.General{Rows: dims, Cols: n, Stride: n, Data: s.jac},
		blas64.Vector{N: n, Inc: 1, Data: s.res}, 0, blas64.Vector{N: dims, Inc: 1, Data: s.grad})
	for i := range shapes {
		for j := range shapes {
			s.grad[poseDims+i] -= p.precision[i*shapes+j] * amp[j]
		}
	}
}

// solveFactored turns grad into the solution of the normal equations.
func (s *solver) solveFactored() {
	g := blas64.Vector{N: dims, Inc: 1, Data: s.grad}
	blas64.Trsv(blas.Trans, s.factor(), g)
	blas64.Trsv(blas.NoTrans, s.factor(), g)
}

// residuals fills res at st with the weights that jac has. It reports false
// where other markers are seen than those in jac.
func (s *solver) residuals(st *state, y []r3.Vec, w []float64) bool {
	s.rod.bend(&st.amp, s.nodes, s.sections, false)
	for k := range s.marks {
		seen := w[k] > 0 && !math.IsNaN(y[k].X)
		if seen != (s.root[k] > 0) {
			return false
		}
		c := 3 * k
		if !seen {
			s.res[c], s.res[c+1], s.res[c+2] = 0, 0, 0
			continue
		}
		d := r3.Sub(st.pose.ToClub(y[k]), s.place(k))
		if s.gate > 0 && r3.Norm2(d) > s.gate*s.gate {
			return false
		}
		s.res[c], s.res[c+1], s.res[c+2] = s.root[k]*d.X, s.root[k]*d.Y, s.root[k]*d.Z
	}
	return true
}

// linearise fills jac and res at st.
func (s *solver) linearise(st *state, y []r3.Vec, w []float64) {
	s.rod.bend(&st.amp, s.nodes, s.sections, true)
	n := 3 * len(s.marks)
	clear(s.jac)
	for k := range s.marks {
		q := s.place(k)
		var sec *section
		if i := s.marks[k].section; i >= 0 {
			sec = &s.sections[i]
		}
		c := 3 * k
		if w[k] == 0 || math.IsNaN(y[k].X) {
			s.res[c], s.res[c+1], s.res[c+2] = 0, 0, 0
			s.root[k] = 0
			continue
		}
		root := math.Sqrt(w[k])
		s.root[k] = root
		put := func(row int, v r3.Vec) {
			s.jac[row*n+c], s.jac[row*n+c+1], s.jac[row*n+c+2] = root*v.X, root*v.Y, root*v.Z
		}
		put(0, r3.Vec{X: 1})
		put(1, r3.Vec{Y: 1})
		put(2, r3.Vec{Z: 1})
		put(3, r3.Vec{Y: -q.Z, Z: q.Y}) // e × q
		put(4, r3.Vec{X: q.Z, Z: -q.X})
		put(5, r3.Vec{X: -q.Y, Y: q.X})
		if sec != nil {
			for j := range shapes {
				put(poseDims+j, sec.move(j, q))
			}
		}
		d := r3.Sub(st.pose.ToClub(y[k]), q)
		if s.gate > 0 && r3.Norm2(d) > s.gate*s.gate {
			w[k], s.root[k] = 0, 0
			d = r3.Vec{}
			for row := range dims {
				clear(s.jac[row*n+c : row*n+c+3])
			}
		}
		s.res[c], s.res[c+1], s.res[c+2] = root*d.X, root*d.Y, root*d.Z
	}
}

// tip returns the section at the tip end of st, with the derivatives found at
// the last step.
func (s *solver) tip(st *state) *section {
	tip := &s.sections[len(s.sections)-1]
	var at [1]section
	s.rod.bend(&st.amp, s.nodes[len(s.nodes)-1:], at[:], false)
	tip.Frame = at[0].Frame
	return tip
}

// stepped returns the section at the tip end after the last step, to first order
// in it: what is left out is as small as what solve leaves.
func (s *solver) stepped() *section {
	tip := &s.sections[len(s.sections)-1]
	moved, turn := tip.Origin, r3.Vec{}
	for j := range shapes {
		g := s.grad[poseDims+j]
		moved = r3.Add(moved, r3.Scale(g, tip.move(j, tip.Origin)))
		turn = r3.Add(turn, r3.Scale(g, tip.a[j]))
	}
	by := rotation(turn) // about directions of the grip's frame
	tip.X, tip.Y = by.Turn(tip.X), by.Turn(tip.Y)
	tip.Frame = tip.orthonormal()
	tip.Origin = moved
	return tip
}

// place returns where mark k is in the grip's frame, at the last step's start.
func (s *solver) place(k int) r3.Vec {
	m := &s.marks[k]
	if m.section < 0 {
		return m.arm
	}
	return s.sections[m.section].ToLab(m.arm)
}

// along returns how far the point y is along the shaft from where mark k should
// be in the state st.
func (s *solver) along(k int, st *state, y r3.Vec) float64 {
	d := r3.Sub(st.pose.ToClub(y), s.place(k))
	if i := s.marks[k].section; i >= 0 {
		return r3.Dot(d, s.sections[i].Z)
	}
	return d.Z
}

// factor returns the Cholesky factor left by the last step.
func (s *solver) factor() blas64.Triangular {
	return blas64.Triangular{N: dims, Stride: dims, Data: s.normal, Uplo: blas.Upper, Diag: blas.NonUnit}
}

// variance returns gᵀ N⁻¹ g for the normal matrix N of the last step: the
// variance of a value that changes with the amplitudes by g.
func (s *solver) variance(g *[shapes]float64) float64 {
	// |U⁻ᵀx|² for x = (0, g): the pose's part of U⁻ᵀx is 0.
	x := *g
	corner := blas64.Triangular{N: shapes, Stride: dims, Data: s.normal[poseDims*dims+poseDims:], Uplo: blas.Upper, Diag: blas.NonUnit}
	v := blas64.Vector{N: shapes, Inc: 1, Data: x[:]}
	blas64.Trsv(blas.Trans, corner, v)
	return blas64.Dot(v, v)
}
