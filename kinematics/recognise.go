package kinematics

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Recogniser tells by their places which points are which markers of a club.
// It is scratch space for one goroutine.
type Recogniser struct {
	s      *solver
	prior  *prior
	triple [][3]int // of the grip's marks, each an own triangle
	side   [][3]float64
	w      []float64
	y      []r3.Vec
	step   []float64 // by mark: how far along the shaft from the mark before, m
	near   []float64 // by mark: to its nearest neighbour, m
}

const (
	// placeSD is about how far a point is from where a marker of the fitted club
	// is: the noise of a coordinate, what a shaft's stiffness does otherwise, and
	// what markers shift between reference and swing, m.
	placeSD = 0.7e-3
	// sideWithin is how far a side of a triangle on the grip may be off: six
	// standard deviations of it.
	sideWithin = 6 * math.Sqrt2 * placeSD
	// bendMost is more than a shaft bends in a swing, 1/m.
	bendMost = 1
	// ownPlace is how far from its place a recognised marker may be, m: six
	// standard deviations.
	ownPlace = 6 * placeSD
	// posesMost is how many poses of the grip are followed down the shaft.
	posesMost = 24
	// leastShown is the part of the club's markers, and leastPoints the number of
	// them, that must be found for a pose to count.
	leastShown, leastPoints = 0.5, 7
)

// NewRecogniser returns a recogniser of the club.
func NewRecogniser(ref *Reference) *Recogniser {
	c := newBentClub(ref)
	r := &Recogniser{s: newSolver(c), prior: usual.prior(), w: make([]float64, len(c.marks)), y: make([]r3.Vec, len(c.marks)),
		step: make([]float64, len(c.marks)), near: make([]float64, len(c.marks))}
	arm := func(k int) r3.Vec { return ref.Point[c.marks[k].track] }
	for a := range c.grips {
		for b := a + 1; b < c.grips; b++ {
			for d := b + 1; d < c.grips; d++ {
				if _, ok := triangle(arm(a), arm(b), arm(d)); ok {
					r.triple = append(r.triple, [3]int{a, b, d})
					r.side = append(r.side, [3]float64{r3.Norm(r3.Sub(arm(a), arm(b))), r3.Norm(r3.Sub(arm(b), arm(d))), r3.Norm(r3.Sub(arm(d), arm(a)))})
				}
			}
		}
	}
	last := 0.0
	for k := range c.marks {
		r.near[k] = math.Inf(1)
		for j := range c.marks {
			if j != k {
				r.near[k] = math.Min(r.near[k], r3.Norm(r3.Sub(arm(k), arm(j))))
			}
		}
		if k >= c.grips {
			r.step[k] = math.Max(0, arm(k).Z-last)
			last = math.Max(last, arm(k).Z)
		}
	}
	return r
}

// triangle returns a frame on three points, or false if they are nearly in line:
// a height under a quarter of the longest side turns noise into a turn of the
// frame four times as large.
func triangle(a, b, c r3.Vec) (Frame, bool) {
	x, v := r3.Sub(b, a), r3.Sub(c, a)
	z := r3.Cross(x, v)
	longest := math.Max(r3.Norm(x), math.Max(r3.Norm(v), r3.Norm(r3.Sub(c, b))))
	if !(r3.Norm(z) > longest*longest/4) {
		return Frame{}, false
	}
	f := Frame{X: r3.Unit(x), Z: r3.Unit(z)}
	f.Y = r3.Cross(f.Z, f.X)
	f.Origin = r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
	return f, true
}

// A finding is one way in which points of a frame are the club.
type finding struct {
	point []int // by mark, −1 where none is it
	score float64
}

// Recognise returns for each point of a frame, m, and each track of the club's
// reference how sure it is that the point is that marker, by this frame alone: a
// row a point, empty for one that is none; nil if the club is not found. Points
// that are NaN are none.
//
// Three points as far apart as three markers of the grip give a pose of the
// grip. From there the rod is followed: the next marker down the shaft is the
// nearest point to where the rod, fitted to those before, has it, then those of
// the head. The finding that puts most points in their places counts, shared
// with others that are about as good: where markers lie alike in two ways, the
// points are not told apart.
func (r *Recogniser) Recognise(points []r3.Vec) [][]float64 {
	var found []finding
	for _, pose := range r.poses(points) {
		if f, ok := r.follow(pose, points); ok {
			if !slices.ContainsFunc(found, func(g finding) bool { return slices.Equal(g.point, f.point) }) {
				found = append(found, f)
			}
		}
	}
	if len(found) == 0 {
		return nil
	}
	best := slices.MaxFunc(found, func(a, b finding) int { return cmp.Compare(a.score, b.score) }).score
	tracks := len(r.s.marks)
	for _, m := range r.s.marks {
		tracks = max(tracks, m.track+1)
	}
	out := make([][]float64, len(points))
	total := 0.0
	for _, f := range found {
		// A marker out of its place costs as much as one not found.
		weight := math.Exp(2 * (f.score - best))
		total += weight
		for k, p := range f.point {
			if p < 0 {
				continue
			}
			if out[p] == nil {
				out[p] = make([]float64, tracks)
			}
			out[p][r.s.marks[k].track] += weight
		}
	}
	for _, row := range out {
		for t := range row {
			row[t] /= total
		}
	}
	return out
}

// poses returns poses of the grip in which three points or more are in the
// places of its markers, those with most first.
func (r *Recogniser) poses(points []r3.Vec) []Frame {
	type candidate struct {
		pose  Frame
		count int
		off   float64
	}
	var list []candidate
	c := r.s.bentClub
	n := len(points)
	distance := make([]float64, n*n)
	for i := range n {
		for j := range n {
			distance[i*n+j] = r3.Norm(r3.Sub(points[i], points[j]))
		}
	}
	is := func(d, want float64) bool { return math.Abs(d-want) < sideWithin } // false for NaN
	for t, triple := range r.triple {
		side := r.side[t]
		own, _ := triangle(c.marks[triple[0]].arm, c.marks[triple[1]].arm, c.marks[triple[2]].arm)
		for i := range n {
			for j := range n {
				if i == j || !is(distance[i*n+j], side[0]) {
					continue
				}
				for k := range n {
					if k == i || k == j || !is(distance[j*n+k], side[1]) || !is(distance[k*n+i], side[2]) {
						continue
					}
					seen, ok := triangle(points[i], points[j], points[k])
					if !ok {
						continue
					}
					pose := seen.Then(own.Inverse())
					count, off := 0, 0.0
					for g := range c.grips {
						if p, d := nearest(points, pose.ToLab(c.marks[g].arm), nil); p >= 0 && d < 2*ownPlace {
							count++
							off += d
						}
					}
					list = append(list, candidate{pose, count, off})
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.off, b.off))
	})
	var out []Frame
	for _, l := range list {
		// The triangles of one cluster in one pose give the same again.
		if !slices.ContainsFunc(out, func(f Frame) bool {
			return r3.Norm(r3.Sub(f.Origin, l.pose.Origin)) < ownPlace && r3.Dot(f.X, l.pose.X) > 0.98 && r3.Dot(f.Z, l.pose.Z) > 0.98
		}) {
			if out = append(out, l.pose); len(out) == posesMost {
				break
			}
		}
	}
	return out
}

// nearest returns the point nearest to a place, of those not taken, and its
// distance; −1 if there is none.
func nearest(points []r3.Vec, at r3.Vec, taken []bool) (int, float64) {
	best, least := -1, math.Inf(1)
	for i, p := range points {
		if d := r3.Norm2(r3.Sub(p, at)); d < least && (taken == nil || !taken[i]) {
			best, least = i, d
		}
	}
	return best, math.Sqrt(least)
}

// follow finds the club from a pose of its grip on.
func (r *Recogniser) follow(pose Frame, points []r3.Vec) (finding, bool) {
	s, c := r.s, r.s.bentClub
	f := finding{point: make([]int, len(c.marks))}
	taken := make([]bool, len(points))
	for k := range c.marks {
		f.point[k], r.y[k], r.w[k] = -1, nan3, 0
	}
	take := func(k, p int) {
		f.point[k], taken[p] = p, true
		r.y[k], r.w[k] = points[p], 1/(placeSD*placeSD)
	}
	drop := func(k int) {
		taken[f.point[k]], f.point[k] = false, -1
		r.y[k], r.w[k] = nan3, 0
	}
	st := state{pose: pose}
	for k := range c.grips {
		if p, d := nearest(points, pose.ToLab(c.marks[k].arm), taken); p >= 0 && d < 2*ownPlace {
			take(k, p)
		}
	}
	settle := func() bool {
		s.renew()
		ok := s.solve(&st, r.y, r.w, r.prior, coarse)
		s.rod.bend(&st.amp, s.nodes, s.sections, false)
		return ok
	}
	if !settle() {
		return f, false
	}
	since, shafts := 0.0, 0
	for k := c.grips; k < c.heads; k++ {
		since += r.step[k]
		// Where it may be: what the rod may bend since the last marker, never
		// halfway to a neighbour.
		gate := math.Min(0.45*r.near[k], ownPlace*2+bendMost*since*since/2)
		p, d := nearest(points, st.pose.ToLab(s.place(k)), taken)
		if p < 0 || d > gate {
			if k-c.grips >= 3 && shafts == 0 {
				return f, false
			}
			continue
		}
		take(k, p)
		if !settle() {
			drop(k)
			settle()
			continue
		}
		since, shafts = 0, shafts+1
	}
	for k := c.heads; k < len(c.marks); k++ {
		gate := math.Min(0.45*r.near[k], ownPlace*2+bendMost*since*since/2+0.1*r3.Norm(c.marks[k].arm)) // a turn of 0.1 rad about the tip
		if p, d := nearest(points, st.pose.ToLab(s.place(k)), taken); p >= 0 && d < gate {
			take(k, p)
		}
	}
	// All together: what is out of its place goes, and what lies there comes.
	for range 3 {
		if !settle() {
			return f, false
		}
		for k, p := range f.point {
			if p >= 0 && r3.Norm(r3.Sub(points[p], st.pose.ToLab(s.place(k)))) > ownPlace {
				drop(k)
			}
		}
		for k, p := range f.point {
			if p >= 0 {
				continue
			}
			if q, d := nearest(points, st.pose.ToLab(s.place(k)), taken); q >= 0 && d < ownPlace {
				take(k, q)
			}
		}
	}
	grip, n := 0, 0
	for k, p := range f.point {
		if p < 0 {
			continue
		}
		d := r3.Norm(r3.Sub(points[p], st.pose.ToLab(s.place(k)))) / ownPlace
		f.score += 1 - math.Min(1, d*d)
		if n++; k < c.grips {
			grip++
		}
	}
	return f, grip >= 2 && n >= leastPoints && float64(n) >= leastShown*float64(len(c.marks))
}

// OutOfPlace reports whether points under the names of markers, by track, are not
// where the club can have them: one or more lie over a centimetre from their
// places on the rod fitted to all. It reports false where too few are seen to
// tell.
func (r *Recogniser) OutOfPlace(tracks []r3.Vec) bool {
	const far = 0.01
	s, c := r.s, r.s.bentClub
	own := make([]r3.Vec, len(c.marks))
	n := 0
	for k, m := range c.marks {
		own[k], r.y[k], r.w[k] = m.arm, nan3, 0
		if m.track < len(tracks) && !math.IsNaN(tracks[m.track].X) {
			r.y[k], r.w[k] = tracks[m.track], 1/(placeSD*placeSD)
			n++
		}
	}
	reg, err := Register(own[:c.grips], r.y[:c.grips], nil)
	if err != nil || n < leastPoints {
		return false
	}
	st := state{pose: reg.Frame}
	s.renew()
	s.solve(&st, r.y, r.w, r.prior, coarse) // where it does not settle, points are out of their places
	s.rod.bend(&st.amp, s.nodes, s.sections, false)
	for k, y := range r.y {
		if d := r3.Norm(r3.Sub(y, st.pose.ToLab(s.place(k)))); r.w[k] > 0 && !(d <= far) {
			return true
		}
	}
	return false
}
