package kinematics

import (
	"math"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// knots are the stations, as shares of the shaft's length, at which the fit
// sets the bending moment; it is 0 at the butt end and linear between. The
// first two lie under the hands, the third is where the shaft comes free.
// Stiffness differs little along the hands, so that what the markers below can
// tell of that part (its share in angle and in offset) needs no more than two.
var knots = [bends]float64{0.08, 0.186, 0.46, 0.735, 1}

const (
	bends       = 5                // moments in each plane
	twists      = 2                // torques: at the butt end and at the tip end
	shapes      = 2*bends + twists // amplitudes of a rod
	longest     = 0.080            // m, longest segment of the integration
	firstDroop  = bends            // where the droop plane's amplitudes begin
	firstTorque = 2 * bends        // where the torques begin
)

// amplitudes are the moments at the knots in the lead plane (x), then in the
// plane of y, in N m, then the torques at butt and tip, N m.
type amplitudes [shapes]float64

// A rodModel is a shaft cut into segments that end at the marked stations and at
// the knots, with the share of each amplitude in each segment's bend and twist.
// The centreline is inextensible; its curvature is moment/EI and its torsion
// torque/GJ.
type rodModel struct {
	shaft  Shaft
	marked []float64
	seg    []segment
	at     map[float64]int // node that a marked station is: after how many segments
}

// A segment holds what each amplitude does over its length h, rad for each N m.
type segment struct {
	h        float64
	knot     int   // of the two knots around it, the lower; −1 stands for the butt end
	lo, hi   share // of the moments at the lower and the upper knot
	tlo, thi share // of the torques at butt and tip
}

// A share is by how much a segment turns its end, and by how much its chord lies
// turned from its start: ∫ κ ds and ∫ (1 − s/h) κ ds.
type share struct{ turn, chord float64 }

func newRodModel(s Shaft, marked []float64) *rodModel {
	m := &rodModel{shaft: s, marked: sortedUnique(append([]float64(nil), marked...)), at: map[float64]int{0: 0}}
	stops := append(append([]float64(nil), m.marked...), s.Length)
	for _, k := range knots {
		stops = append(stops, k*s.Length)
	}
	from := 0.0
	for _, to := range sortedUnique(stops) {
		if to > from {
			n := math.Ceil((to - from) / longest)
			h := (to - from) / n
			for i := range int(n) {
				m.seg = append(m.seg, m.segment(from+float64(i)*h, h))
			}
			from = to
		}
		m.at[to] = len(m.seg)
	}
	return m
}

// segment returns the segment of length h that starts at a station.
func (m *rodModel) segment(from, h float64) segment {
	const parts = 16 // of the midpoint rule: within 1e-5, of a stiffness that halves over the segment
	g := segment{h: h}
	for i := range parts {
		f := (float64(i) + 0.5) / parts
		knot, lo, hi, ei := m.bending(from + f*h)
		t := (from + f*h) / m.shaft.Length
		_, gj := m.shaft.Stiffness(from + f*h)
		g.knot = knot
		add := func(to *share, curvature float64) {
			to.turn += curvature * h / parts
			to.chord += (1 - f) * curvature * h / parts
		}
		add(&g.lo, lo/ei)
		add(&g.hi, hi/ei)
		add(&g.tlo, (1-t)/gj)
		add(&g.thi, t/gj)
	}
	return g
}

// bending returns the lower of the knots around a station (−1 stands for the
// butt end), the shares in its bending moment of the moments at that knot and
// the next, and EI there.
func (m *rodModel) bending(station float64) (knot int, lo, hi, ei float64) {
	k := 0
	for k < bends-1 && station > knots[k]*m.shaft.Length {
		k++
	}
	left := 0.0
	if k > 0 {
		left = knots[k-1] * m.shaft.Length
	}
	ei, _ = m.shaft.Stiffness(station)
	f := (station - left) / (knots[k]*m.shaft.Length - left)
	if k > 0 {
		lo = 1 - f
	}
	return k - 1, lo, f, ei
}

// turns returns the rotation vectors by which the segment turns its end and its
// chord. Bending towards x turns about y, bending towards y about −x.
func (g *segment) turns(a *amplitudes) (turn, chord r3.Vec) {
	x, y := a[g.knot+1], a[firstDroop+g.knot+1]
	t0, t1 := a[firstTorque], a[firstTorque+1]
	turn = r3.Vec{X: -g.hi.turn * y, Y: g.hi.turn * x, Z: g.tlo.turn*t0 + g.thi.turn*t1}
	chord = r3.Vec{X: -g.hi.chord * y, Y: g.hi.chord * x, Z: g.tlo.chord*t0 + g.thi.chord*t1}
	if g.knot >= 0 {
		x, y = a[g.knot], a[firstDroop+g.knot]
		turn.X, turn.Y = turn.X-g.lo.turn*y, turn.Y+g.lo.turn*x
		chord.X, chord.Y = chord.X-g.lo.chord*y, chord.Y+g.lo.chord*x
	}
	return turn, chord
}

// A section is the rod at a station: the place and directions of the section
// in the grip's frame, and how they change with each amplitude (A: the turn of
// the section, B: so that a point p carried with the section moves A × p − B).
type section struct {
	Frame
	a, b [shapes]r3.Vec
}

// A heading is a place on the rod and, as a unit quaternion, the directions of
// its section there.
type heading struct {
	at   r3.Vec
	turn quat.Number
}

// advance moves the heading over a segment of length h that turns its end and
// its chord by rotation vectors, and returns the chord: the mean of z turned over
// the segment, to the third power of the turn (1e-8 m for a segment of 80 mm that
// turns by 0.05 rad).
func (c *heading) advance(turn, chord r3.Vec, h float64) (along r3.Vec) {
	across := chord.X*chord.X + chord.Y*chord.Y
	f := h * (1 - (turn.X*turn.X+turn.Y*turn.Y)/24)
	g := f * (1 - (across+chord.Z*chord.Z)/6)
	along = rotate(c.turn, r3.Vec{
		X: g*chord.Y + f*chord.X*chord.Z*(2./3),
		Y: -g*chord.X + f*chord.Y*chord.Z*(2./3),
		Z: f * (1 - across/2*(1-across/12)),
	})
	c.at = r3.Add(c.at, along)
	c.turn = quat.Mul(c.turn, versor(turn))
	return along
}

// frame returns the heading's place and directions.
func (c *heading) frame() Frame { return axes(c.at, c.turn) }

// bend fills into with the sections at the nodes (ascending numbers of
// segments), with derivatives where grads is set; else those that into holds
// stay.
func (m *rodModel) bend(amp *amplitudes, nodes []int, into []section, grads bool) {
	cur := heading{turn: quat.Number{Real: 1}}
	var sum section // its derivatives so far
	for done := 0; ; done++ {
		for len(nodes) > 0 && nodes[0] == done {
			if grads {
				into[0].a, into[0].b = sum.a, sum.b
			}
			into[0].Frame = cur.frame()
			nodes, into = nodes[1:], into[1:]
		}
		if len(nodes) == 0 {
			return
		}
		g := &m.seg[done]
		turn, chord := g.turns(amp)
		if !grads {
			cur.advance(turn, chord, g.h)
			continue
		}
		mid := axes(r3.Vec{}, quat.Mul(cur.turn, versor(r3.Scale(0.5, turn))))
		along := cur.advance(turn, chord, g.h)
		// An amplitude turns all that lies beyond about the middle of its share
		// in the segment's curvature.
		x := [3]r3.Vec{mid.Y, r3.Cross(mid.Y, cur.at), r3.Cross(mid.Y, along)}
		y := [3]r3.Vec{r3.Scale(-1, mid.X), r3.Cross(cur.at, mid.X), r3.Cross(along, mid.X)}
		z := [3]r3.Vec{mid.Z, r3.Cross(mid.Z, cur.at), r3.Cross(mid.Z, along)}
		if k := g.knot; k >= 0 {
			sum.grow(k, g.lo, &x)
			sum.grow(firstDroop+k, g.lo, &y)
		}
		sum.grow(g.knot+1, g.hi, &x)
		sum.grow(firstDroop+g.knot+1, g.hi, &y)
		sum.grow(firstTorque, g.tlo, &z)
		sum.grow(firstTorque+1, g.thi, &z)
	}
}

// grow adds to the derivatives by amplitude j those of its share in a segment:
// about holds the direction about which it turns, and that times the segment's
// end and its chord.
func (s *section) grow(j int, f share, about *[3]r3.Vec) {
	a, b := &s.a[j], &s.b[j]
	a.X += f.turn * about[0].X
	a.Y += f.turn * about[0].Y
	a.Z += f.turn * about[0].Z
	b.X += f.turn*about[1].X - f.chord*about[2].X
	b.Y += f.turn*about[1].Y - f.chord*about[2].Y
	b.Z += f.turn*about[1].Z - f.chord*about[2].Z
}

// move returns how the point p, carried with the section, moves with amplitude
// j.
func (s *section) move(j int, p r3.Vec) r3.Vec { return r3.Sub(r3.Cross(s.a[j], p), s.b[j]) }
