package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// leaveOutStrays gives weight 0 to markers that are not where the club has
// them, the worst first, and solves again; settled says whether the first
// solution did, and what it returns whether the last did. Where two that were
// left out are at each other's place, or one at the place of a marker not seen,
// their labels were exchanged: they are given back.
func (p *pass) leaveOutStrays(settled bool) bool {
	const most = 4 // markers left out of a frame, besides those that the gate keeps out
	for range 2 {  // once more after labels were given back
		for range most {
			at := p.worst()
			if at < 0 {
				break
			}
			p.w[at] = 0
			settled = p.s.solve(&p.state, p.y, p.w, p.prior, p.settled)
		}
		if !settled || !p.giveBack() {
			break
		}
		copy(p.w, p.weight)
		settled = p.s.solve(&p.state, p.y, p.w, p.prior, p.settled)
	}
	p.out = 0
	for k, y := range p.y {
		if p.w[k] == 0 && !math.IsNaN(y.X) {
			p.out++
		}
	}
	if p.worst() >= 0 {
		p.out++
	}
	return settled
}

// farthest is how far off a marker may be, squared, in all three coordinates
// together: six standard deviations.
const farthest = 6 * 6 * 3.0

// worst returns the marker that is furthest off the club, if it is too far, or
// −1. Until the noise is known, it must also be out of proportion to the others.
func (p *pass) worst() int {
	const apart = 8 // times the middle distance of the frame
	limit := farthest
	if !p.noiseKnown {
		var d []float64
		for k := range p.y {
			if r := r3.Norm2(p.s.residual(k)); r > 0 {
				d = append(d, r)
			}
		}
		slices.Sort(d)
		if len(d) > 0 {
			limit = math.Max(limit, apart*apart*d[len(d)/2])
		}
	}
	worst, at := limit, -1
	for k := range p.y {
		if d := r3.Norm2(p.s.residual(k)); d > worst {
			worst, at = d, k
		}
	}
	return at
}

// giveBack exchanges the points of marks that are at each other's place, and
// reports whether there were any.
func (p *pass) giveBack() bool {
	at := func(point, place int) bool { // the point of one mark at the place of another
		return r3.Norm2(r3.Sub(p.state.pose.ToClub(p.y[point]), p.s.place(place)))*p.weight[place] < farthest
	}
	found := false
	for a := range p.y {
		if p.w[a] > 0 || math.IsNaN(p.y[a].X) {
			continue
		}
		for b := range p.y {
			hidden := math.IsNaN(p.y[b].X)
			if b == a || p.w[b] > 0 && !hidden || !at(a, b) || !hidden && !at(b, a) {
				continue
			}
			p.y[a], p.y[b] = p.y[b], p.y[a]
			p.fit.y[a][p.frame], p.fit.y[b][p.frame] = p.y[a], p.y[b]
			from := [2]int32{p.label(a), p.label(b)}
			p.fit.given[a][p.frame], p.fit.given[b][p.frame] = from[1], from[0]
			found = true
			break
		}
	}
	return found
}

// label returns one more than the mark whose label the point of mark k in the
// frame bore in the file.
func (p *pass) label(k int) int32 {
	if g := p.fit.given[k][p.frame]; g > 0 {
		return g
	}
	return int32(k + 1)
}
