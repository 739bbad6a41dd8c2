package kinematics

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Reference is the unloaded club: where each of its markers is in the club
// frame.
type Reference struct {
	Markers Markers
	Shaft   Shaft
	Hand    Hand
	Point   []r3.Vec  // by track: club-frame position, m; NaN for a marker that was not seen hanging
	SD      []float64 // by track: standard uncertainty of each coordinate of Point, m
	Noise   float64   // standard deviation of a marker's coordinate in one frame of the reference recording, m
	Misfit  float64   // root mean square departure of the shaft's markers from their stated stations and offsets, m
	Frames  int       // of the reference recording that were used
}

// NewReference returns the unloaded club from a recording in which it hangs
// still or sways as a rigid body. tracks hold lab positions in m, one a frame,
// NaN where a marker was not seen.
//
// The frames are laid over each other by rigid registration and averaged. The
// axis is the line for which every shaft marker is at its stated station along
// the line and at its stated offset from it (least squares; a marker's
// direction around the shaft is free). It returns an error where too few
// markers were seen, or where they do not fix the axis because all sit on one
// side of the shaft or at one station.
func NewReference(tracks [][]r3.Vec, m Markers, shaft Shaft, hand Hand) (*Reference, error) {
	frames := 0
	for _, t := range m.all() {
		frames = max(frames, len(tracks[t]))
	}
	mean, noise, used, err := average(tracks, m.all(), frames)
	if err != nil {
		return nil, err
	}
	ref := &Reference{Markers: m, Shaft: shaft, Hand: hand, Noise: noise, Frames: frames}
	axis, misfit, err := findAxis(mean, m.Shaft)
	if err != nil {
		return nil, err
	}
	ref.Misfit = misfit
	heelToe := r3.Sub(mean[m.Toe], mean[m.Heel])
	y := r3.Sub(heelToe, r3.Scale(r3.Dot(heelToe, axis.Z), axis.Z))
	if !(r3.Norm(y) > 1e-3) {
		return nil, errors.New("kinematics: the heel and toe markers were not seen hanging, or lie along the shaft: the toe direction cannot be found")
	}
	axis.Y = r3.Unit(y)
	axis.X = r3.Cross(axis.Y, axis.Z)
	ref.Point = make([]r3.Vec, len(tracks))
	ref.SD = make([]float64, len(tracks))
	for t := range tracks {
		ref.Point[t], ref.SD[t] = nan3, math.NaN()
	}
	for _, t := range m.all() {
		ref.Point[t] = axis.ToClub(mean[t])
		if used[t] > 0 {
			ref.SD[t] = noise / math.Sqrt(float64(used[t]))
		}
	}
	seen := func(ts []int) (n int) {
		for _, t := range ts {
			if used[t] > 0 {
				n++
			}
		}
		return n
	}
	if n := seen(m.Grip); n < 3 {
		return nil, fmt.Errorf("kinematics: %d grip markers were seen in the reference recording, 3 are needed", n)
	}
	if n := seen(m.Head); n < 3 {
		return nil, fmt.Errorf("kinematics: %d head markers were seen in the reference recording, 3 are needed", n)
	}
	return ref, nil
}

// average returns the mean shape of the tracks of a body that moves rigidly, in
// the axes of its fullest frame, with the standard deviation of a coordinate in
// one frame, and in how many frames each track was used.
func average(tracks [][]r3.Vec, body []int, frames int) (mean []r3.Vec, noise float64, used []int, err error) {
	at := func(t, i int) r3.Vec {
		if i >= len(tracks[t]) {
			return nan3
		}
		return tracks[t][i]
	}
	best, most := -1, 0
	for i := range frames {
		n := 0
		for _, t := range body {
			if !math.IsNaN(at(t, i).X) {
				n++
			}
		}
		if n > most {
			best, most = i, n
		}
	}
	if most < 6 {
		return nil, 0, nil, fmt.Errorf("kinematics: the fullest frame of the reference recording shows %d of the club's %d markers; at least 6 are needed", most, len(body))
	}
	mean = make([]r3.Vec, len(tracks))
	for t := range mean {
		mean[t] = nan3
	}
	for _, t := range body {
		mean[t] = at(t, best)
	}
	used = make([]int, len(tracks))
	shape, seen := make([]r3.Vec, len(body)), make([]r3.Vec, len(body))
	const rounds = 4 // the mean settles in two; the third and fourth let outliers go and markers unseen in the fullest frame come in
	for round := range rounds {
		sum := make([]r3.Vec, len(tracks))
		clear(used)
		var left float64
		n, fitted := 0, 0
		for i := range frames {
			for k, t := range body {
				shape[k], seen[k] = mean[t], at(t, i)
			}
			reg, e := Register(shape, seen, nil)
			if e != nil || round >= 2 && reg.RMS > 5*noise*math.Sqrt(3) {
				continue
			}
			fitted++
			inv := reg.Inverse()
			for k, t := range body {
				p := inv.ToLab(seen[k])
				if math.IsNaN(p.X) {
					continue
				}
				if d := r3.Norm(r3.Sub(p, shape[k])); !math.IsNaN(d) {
					if round >= 2 && d > 5*noise*math.Sqrt(3) { // a stray point
						continue
					}
					left += d * d
					n += 3
				}
				sum[t] = r3.Add(sum[t], p)
				used[t]++
			}
		}
		if dof := n - 6*fitted; dof > 0 {
			noise = math.Sqrt(left / float64(dof))
		}
		for _, t := range body {
			if used[t] > 0 {
				mean[t] = r3.Scale(1/float64(used[t]), sum[t])
			}
		}
	}
	return mean, noise, used, nil
}

// findAxis returns the shaft's axis (origin at the butt end, Z towards the tip,
// X and Y arbitrary) for which the markers are at their stations and offsets,
// and the root mean square of what is left.
func findAxis(point []r3.Vec, marks []ShaftMark) (Frame, float64, error) {
	var on []ShaftMark
	for _, k := range marks {
		if !math.IsNaN(point[k.Track].X) {
			on = append(on, k)
		}
	}
	if len(on) < 3 {
		return Frame{}, 0, fmt.Errorf("kinematics: %d shaft markers were seen in the reference recording, 3 are needed to find the axis", len(on))
	}
	slices.SortFunc(on, func(a, b ShaftMark) int { return cmp.Compare(a.Station, b.Station) })
	if on[0].Station == on[len(on)-1].Station {
		return Frame{}, 0, errors.New("kinematics: all shaft markers are at one station, so that the shaft's axis cannot be found; set some further up or down")
	}
	// First line: regression of position on station.
	var c, dir r3.Vec
	var mean float64
	for _, k := range on {
		c = r3.Add(c, r3.Scale(1/float64(len(on)), point[k.Track]))
		mean += k.Station / float64(len(on))
	}
	for _, k := range on {
		dir = r3.Add(dir, r3.Scale(k.Station-mean, r3.Sub(point[k.Track], c)))
	}
	z := r3.Unit(dir)
	x := r3.Unit(r3.Cross(z, leastAligned(z)))
	start := Frame{X: x, Y: r3.Cross(z, x), Z: z}
	start.Origin = r3.Sub(c, r3.Scale(mean, z))
	// The distance to a line is not convex near the line: start from the middle
	// and from eight sides, and keep the best.
	best, bestMisfit, bestCond := Frame{}, math.Inf(1), math.Inf(1)
	for side := range 9 {
		from := start
		if side > 0 {
			sin, cos := math.Sincos(float64(side) * math.Pi / 4)
			from.Origin = r3.Add(from.Origin, r3.Scale(on[0].Offset, r3.Add(r3.Scale(cos, x), r3.Scale(sin, start.Y))))
		}
		f, misfit, cond := refineAxis(from, point, on)
		if misfit < bestMisfit {
			best, bestMisfit, bestCond = f, misfit, cond
		}
	}
	// With all markers on one line the axis may lie anywhere around it: the
	// normal equations lose two directions.
	if bestCond > 1e4 {
		return Frame{}, 0, errors.New("kinematics: all shaft markers sit on one side of the shaft, so that its axis cannot be found; set some on another side")
	}
	return best, bestMisfit, nil
}

// refineAxis improves the axis by Gauss-Newton steps in five unknowns: shift
// across (2) and along (1), tilt (2). It returns the root mean square misfit
// and the condition number of the scaled normal equations.
func refineAxis(f Frame, point []r3.Vec, on []ShaftMark) (Frame, float64, float64) {
	lever := on[len(on)-1].Station - on[0].Station // scales the tilt to a length
	centre := (on[len(on)-1].Station + on[0].Station) / 2
	var misfit, cond float64
	for range 30 {
		jtj, jtr := mat.NewSymDense(5, nil), mat.NewVecDense(5, nil)
		misfit = 0
		add := func(row [5]float64, r float64) {
			for i := range 5 {
				jtr.SetVec(i, jtr.AtVec(i)+row[i]*r)
				for j := i; j < 5; j++ {
					jtj.SetSym(i, j, jtj.At(i, j)+row[i]*row[j])
				}
			}
			misfit += r * r
		}
		for _, k := range on {
			p := f.ToClub(point[k.Track])
			d := math.Hypot(p.X, p.Y)
			ux, uy := 1.0, 0.0
			if d > 1e-9 {
				ux, uy = p.X/d, p.Y/d
			}
			arm := (p.Z - centre) / lever
			add([5]float64{ux, uy, 0, ux * arm, uy * arm}, d-k.Offset)
			add([5]float64{0, 0, 1, 0, 0}, p.Z-k.Station)
		}
		misfit = math.Sqrt(misfit / float64(2*len(on)))
		var eig mat.EigenSym
		if !eig.Factorize(jtj, false) {
			return f, math.Inf(1), math.Inf(1)
		}
		e := eig.Values(nil)
		cond = e[4] / math.Max(e[0], 1e-300)
		var chol mat.Cholesky
		for i := range 5 { // keeps a start on the line of the markers solvable
			jtj.SetSym(i, i, jtj.At(i, i)+1e-9*e[4])
		}
		var step mat.VecDense
		if !chol.Factorize(jtj) || chol.SolveVecTo(&step, jtr) != nil {
			return f, math.Inf(1), math.Inf(1)
		}
		s := step.RawVector().Data
		// The origin shifts; a tilt about the middle of the markers moves it back.
		tx, ty := s[3]/lever, s[4]/lever
		f.Origin = f.ToLab(r3.Vec{X: s[0] - tx*centre, Y: s[1] - ty*centre, Z: s[2]})
		f.Z = r3.Unit(f.Turn(r3.Vec{X: tx, Y: ty, Z: 1}))
		f.X = r3.Unit(r3.Sub(f.X, r3.Scale(r3.Dot(f.X, f.Z), f.Z)))
		f.Y = r3.Cross(f.Z, f.X)
		if mat.Norm(&step, 2) < 1e-10 {
			break
		}
	}
	return f, misfit, cond
}

// leastAligned returns the axis direction that v is least along.
func leastAligned(v r3.Vec) r3.Vec {
	x, y, z := math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)
	switch {
	case x <= y && x <= z:
		return r3.Vec{X: 1}
	case y <= z:
		return r3.Vec{Y: 1}
	}
	return r3.Vec{Z: 1}
}

func sortedUnique(x []float64) []float64 {
	slices.Sort(x)
	return slices.Compact(x)
}
