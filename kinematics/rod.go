package kinematics

import (
	"math"

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
	longest     = 0.040            // m, longest segment of the integration
	firstDroop  = bends            // where the droop plane's amplitudes begin
	firstTorque = 2 * bends        // where the torques begin
)

// amplitudes are the moments at the knots in the lead plane (x), then in the
// plane of y, in N m, then the torques at butt and tip, N m.
type amplitudes [shapes]float64

// A rodModel is a shaft cut into segments that end at the marked stations, with
// the share of each amplitude in each segment's curvature and torsion. The
// centreline is inextensible; its curvature is moment/EI and its torsion
// torque/GJ.
type rodModel struct {
	length float64
	seg    []segment
	at     map[float64]int // node that a marked station is: after how many segments
}

type segment struct {
	mid, h   float64
	knot     int     // of the two knots around mid, the lower; −1 stands for the butt end
	lo, hi   float64 // curvature per N m at the lower and at the upper knot, 1/(N m²)
	ei       float64
	tlo, thi float64 // torsion per N m at the butt and the tip
}

func newRodModel(s Shaft, marked []float64) *rodModel {
	m := &rodModel{length: s.Length, at: map[float64]int{}}
	stops := append(append([]float64(nil), marked...), s.Length)
	for _, k := range knots {
		stops = append(stops, k*s.Length)
	}
	stops = sortedUnique(stops)
	from := 0.0
	m.at[0] = 0
	for _, to := range stops {
		if to > from {
			n := math.Ceil((to - from) / longest)
			for i := range int(n) {
				m.seg = append(m.seg, m.segment(s, from+(to-from)*(float64(i)+0.5)/n, (to-from)/n))
			}
			from = to
		}
		m.at[to] = len(m.seg)
	}
	return m
}

func (m *rodModel) segment(s Shaft, mid, h float64) segment {
	ei, gj := s.Stiffness(mid)
	k := 0
	for k < bends-1 && mid > knots[k]*m.length {
		k++
	}
	left := 0.0
	if k > 0 {
		left = knots[k-1] * m.length
	}
	f := (mid - left) / (knots[k]*m.length - left)
	t := mid / m.length
	return segment{mid: mid, h: h, knot: k - 1, lo: (1 - f) / ei, hi: f / ei, ei: ei, tlo: (1 - t) / gj, thi: t / gj}
}

// curvature returns the rod's curvature in the planes of x and y and its
// torsion in the segment, 1/m.
func (g *segment) curvature(a *amplitudes) (kx, ky, tor float64) {
	kx, ky = g.hi*a[g.knot+1], g.hi*a[firstDroop+g.knot+1]
	if g.knot >= 0 {
		kx += g.lo * a[g.knot]
		ky += g.lo * a[firstDroop+g.knot]
	}
	return kx, ky, g.tlo*a[firstTorque] + g.thi*a[firstTorque+1]
}

// A section is the rod at a station: the place and directions of the section
// in the grip's frame, and how they change with each amplitude (A: the turn of
// the section, B: so that a point p carried with the section moves A × p − B).
type section struct {
	Frame
	a, b [shapes]r3.Vec
}

// advance returns the axes at the middle and the frame at the end of a segment
// of length h that starts at f, with its curvature in the planes of x and y and
// its torsion, 1/m: the turn is exact for constant curvature, the chord lies
// along the middle direction and is too long by h²κ²/24 of h (7·10⁻⁵ for
// segments of 40 mm and κ = 1/m, which no shaft reaches).
func advance(f Frame, kx, ky, tor, h float64) (mid, end Frame) {
	// Bending towards x turns about y, bending towards y about −x.
	half := rotation(r3.Vec{X: -ky * h / 2, Y: kx * h / 2, Z: tor * h / 2})
	mid = Frame{X: f.Turn(half.X), Y: f.Turn(half.Y)}
	mid.Z = r3.Cross(mid.X, mid.Y)
	end = Frame{X: mid.Turn(half.X), Y: mid.Turn(half.Y)}
	end.Z = r3.Cross(end.X, end.Y)
	end.Origin = r3.Add(f.Origin, r3.Scale(h, mid.Z))
	return mid, end
}

// bend fills into with the sections at the nodes (ascending numbers of
// segments), with derivatives where grads is set; else those that into holds
// stay.
func (m *rodModel) bend(amp *amplitudes, nodes []int, into []section, grads bool) {
	cur := section{Frame: Identity}
	next := 0
	put := func() {
		if grads {
			into[next] = cur
		} else {
			into[next].Frame = cur.Frame
		}
		next++
	}
	for next < len(nodes) && nodes[next] == 0 {
		put()
	}
	for i := range m.seg {
		g := &m.seg[i]
		kx, ky, tor := g.curvature(amp)
		mid, end := advance(cur.Frame, kx, ky, tor, g.h)
		if grads {
			centre := r3.Add(cur.Origin, r3.Scale(g.h/2, mid.Z))
			ax, ay, az := r3.Scale(g.h, mid.Y), r3.Scale(-g.h, mid.X), r3.Scale(g.h, mid.Z)
			bx, by, bz := r3.Cross(ax, centre), r3.Cross(ay, centre), r3.Cross(az, centre)
			k := g.knot
			if k >= 0 {
				cur.grow(k, g.lo, ax, bx)
				cur.grow(firstDroop+k, g.lo, ay, by)
			}
			cur.grow(k+1, g.hi, ax, bx)
			cur.grow(firstDroop+k+1, g.hi, ay, by)
			cur.grow(firstTorque, g.tlo, az, bz)
			cur.grow(firstTorque+1, g.thi, az, bz)
		}
		cur.Frame = end
		for next < len(nodes) && nodes[next] == i+1 {
			put()
		}
	}
}

func (s *section) grow(j int, f float64, a, b r3.Vec) {
	s.a[j] = r3.Add(s.a[j], r3.Scale(f, a))
	s.b[j] = r3.Add(s.b[j], r3.Scale(f, b))
}

// move returns how the point p, carried with the section, moves with amplitude
// j.
func (s *section) move(j int, p r3.Vec) r3.Vec { return r3.Sub(r3.Cross(s.a[j], p), s.b[j]) }
