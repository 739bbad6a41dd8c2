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
	bends    = 5                // moments in each plane
	twists   = 2                // torques: at the butt end and at the tip end
	shapes   = 2*bends + twists // amplitudes of a rod
	longest  = 0.028            // m, longest segment of the integration
	firstLag = bends            // where the droop plane's amplitudes begin
	firstTor = 2 * bends        // where the torques begin
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
	kx, ky = g.hi*a[g.knot+1], g.hi*a[firstLag+g.knot+1]
	if g.knot >= 0 {
		kx += g.lo * a[g.knot]
		ky += g.lo * a[firstLag+g.knot]
	}
	return kx, ky, g.tlo*a[firstTor] + g.thi*a[firstTor+1]
}

// A section is the rod at a station: the place and directions of the section
// in the grip's frame, and how they change with each amplitude (A: the turn of
// the section, B: so that a point p carried with the section moves A × p − B).
type section struct {
	Frame
	a, b [shapes]r3.Vec
}

// bend fills into with the sections at the nodes (ascending numbers of
// segments), with derivatives where grads is set. Each segment is an arc of
// constant curvature (midpoint rule): with segments of 28 mm and curvatures
// under 1/m its chord is short by less than h²κ²/24 = 3·10⁻⁵ of h.
func (m *rodModel) bend(amp *amplitudes, nodes []int, into []section, grads bool) {
	cur := section{Frame: Identity}
	next := 0
	for next < len(nodes) && nodes[next] == 0 {
		into[next] = cur
		next++
	}
	for i := range m.seg {
		g := &m.seg[i]
		kx, ky, tor := g.curvature(amp)
		// Bending towards x turns about y, bending towards y about −x.
		w := r3.Vec{X: -ky * g.h / 2, Y: kx * g.h / 2, Z: tor * g.h / 2}
		half := rotation(w)
		mid := Frame{X: cur.Turn(half.X), Y: cur.Turn(half.Y), Z: cur.Turn(half.Z)}
		centre := r3.Add(cur.Origin, r3.Scale(g.h/2, mid.Z))
		if grads {
			ax, ay, az := r3.Scale(g.h, mid.Y), r3.Scale(-g.h, mid.X), r3.Scale(g.h, mid.Z)
			bx, by, bz := r3.Cross(ax, centre), r3.Cross(ay, centre), r3.Cross(az, centre)
			k := g.knot
			if k >= 0 {
				cur.grow(k, g.lo, ax, bx)
				cur.grow(firstLag+k, g.lo, ay, by)
			}
			cur.grow(k+1, g.hi, ax, bx)
			cur.grow(firstLag+k+1, g.hi, ay, by)
			cur.grow(firstTor, g.tlo, az, bz)
			cur.grow(firstTor+1, g.thi, az, bz)
		}
		cur.Origin = r3.Add(cur.Origin, r3.Scale(g.h, mid.Z))
		cur.X, cur.Y, cur.Z = mid.Turn(half.X), mid.Turn(half.Y), mid.Turn(half.Z)
		for next < len(nodes) && nodes[next] == i+1 {
			into[next] = cur
			next++
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
