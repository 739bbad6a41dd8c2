package capture

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Part is a stretch of frames, From to To-1, of a track.
type Part struct {
	Track    string
	From, To int
}

// A Trajectory is the path of one point, put together of parts that follow one
// another and do not overlap.
type Trajectory struct{ Parts []Part }

// Frames returns the number of frames that show it.
func (t Trajectory) Frames() int {
	n := 0
	for _, p := range t.Parts {
		n += p.To - p.From
	}
	return n
}

// Tracks returns the names of its parts' tracks, each once, in their order.
func (t Trajectory) Tracks() []string {
	var names []string
	for _, p := range t.Parts {
		if !slices.Contains(names, p.Track) {
			names = append(names, p.Track)
		}
	}
	return names
}

const (
	// joinWithin is the longest gap that is joined over, s. In that time the
	// motion of a club is foretold to a few millimetres; see joinJerk.
	joinWithin = 0.01
	// joinJerk is more than the rate at which a club's acceleration changes in
	// a swing but for the blow, m/s³: turning at v on a radius r it is v³/r²,
	// 50,000 for a head at 50 m/s and 1.6 m from what it turns about.
	joinJerk = 1e5
	// joinSpeed is how fast a point may go that was seen once only, m/s.
	joinSpeed = 50
	// joinGate is the most a point may be off where it is foretold, standard
	// deviations; joinClear is by how much its χ² must be less than that of any
	// other pairing, for 3 coordinates about one error in a hundred.
	joinGate  = 5
	joinClear = 9
	// jumpBy and jumpAcceleration are more than a point does from one frame to
	// the next against the two before: m, and m/s².
	jumpBy           = 0.01
	jumpAcceleration = 1e4
	// tailFrames is how many frames at the end of a trajectory foretell it.
	tailFrames = 8
	// joinMost is the most trajectories or parts that are weighed against one
	// another in a frame; where there are more, none are joined.
	joinMost = 200
)

// Trajectories returns the paths of points that the recording shows: of each
// track that named reports true for, and of the points of all other tracks,
// whose names say nothing. Such a track is cut at its gaps and jumps, and a part
// goes on with a trajectory that ended up to 10 ms before if it begins where the
// trajectory is foretold by a parabola through its last 8 frames: within five
// standard deviations of the noise, of the parabola and of how motion may change
// meanwhile, and clearly nearer than to any other. What cannot be told stays
// apart. Parts that fit the gap of a named track are joined to it.
//
// The named ones come first, in the order of the file, with one entry even for a
// track that is never seen; the others as they begin.
func (r *Recording) Trajectories(named func(string) bool) []Trajectory {
	j := joiner{rec: r, noise: r.noise()}
	var parts []openPart
	for i, name := range r.names {
		track := r.points[i*r.frames : (i+1)*r.frames]
		owner := -1
		if named(name) {
			owner = len(j.open)
			j.open = append(j.open, trajectory{owned: true})
		}
		for _, p := range r.runs(track, owner < 0) {
			parts = append(parts, openPart{Part{name, p[0], p[1]}, track, owner})
		}
	}
	slices.SortStableFunc(parts, func(a, b openPart) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(b.owner, a.owner))
	})
	// When an owned trajectory is next seen under its own name.
	for k := len(parts) - 1; k >= 0; k-- {
		if o := parts[k].owner; o >= 0 {
			j.open[o].starts = append(j.open[o].starts, parts[k].From)
		}
	}
	for len(parts) > 0 {
		n := 1
		for n < len(parts) && parts[n].From == parts[0].From {
			n++
		}
		j.add(parts[:n])
		parts = parts[n:]
	}
	list := make([]Trajectory, len(j.open))
	for i, t := range j.open {
		list[i] = Trajectory{t.parts}
	}
	return list
}

// runs returns the runs of frames that show a track, cut at jumps if asked.
func (r *Recording) runs(track []r3.Vec, cut bool) [][2]int {
	gate := jumpBy + jumpAcceleration/(r.rate*r.rate)
	var list [][2]int
	from := -1
	for i, p := range track {
		if !isSeen(p) {
			if from >= 0 {
				list = append(list, [2]int{from, i})
			}
			from = -1
			continue
		}
		if from >= 0 && cut {
			to := track[i-1]
			far := gate + joinSpeed/r.rate
			if i-from > 1 {
				to = r3.Sub(r3.Scale(2, track[i-1]), track[i-2])
				far = gate
			}
			if distance(p, to) > far {
				list = append(list, [2]int{from, i})
				from = -1
			}
		}
		if from < 0 {
			from = i
		}
	}
	if from >= 0 {
		list = append(list, [2]int{from, len(track)})
	}
	return list
}

// noise returns the standard deviation of a coordinate in one frame, m: by the
// median third difference of tracks, whose variance is 20 times that of white
// noise. It is at least 10 µm.
func (r *Recording) noise() float64 {
	const enough = 20000
	var d []float64
	stride := 1 + len(r.points)/enough
	for i := 3; i < len(r.points); i += stride {
		if i%r.frames < 3 {
			continue
		}
		p := r.points[i-3 : i+1]
		v := r3.Add(r3.Sub(p[3], p[0]), r3.Scale(3, r3.Sub(p[1], p[2])))
		if x := math.Abs(v.X); x == x {
			d = append(d, x)
		}
	}
	const least = 1e-5
	if len(d) == 0 {
		return least
	}
	return max(least, median(d)/0.6745/math.Sqrt(20)) // 0.6745: the median of a normal deviation
}

// An openPart is a part with its points.
type openPart struct {
	Part
	track []r3.Vec
	owner int // of joiner.open, −1 for a part whose name says nothing
}

// A trajectory is one that may still go on.
type trajectory struct {
	parts  []Part
	owned  bool
	starts []int // of an owned one: when its own parts begin, the last first
	tail   []sighting
}

// A sighting is where a point was in a frame.
type sighting struct {
	frame int
	at    r3.Vec
}

// A joiner puts parts together in the order in which they begin.
type joiner struct {
	rec   *Recording
	noise float64
	open  []trajectory
	live  []int // those of open that may go on: they ended not long ago
}

// add joins parts that begin in one frame.
func (j *joiner) add(parts []openPart) {
	begin := parts[0].From
	within := int(joinWithin*j.rec.rate) + 1
	j.live = slices.DeleteFunc(j.live, func(i int) bool {
		t := &j.open[i]
		over := !t.owned && begin-t.parts[len(t.parts)-1].To > within
		if over {
			t.tail = nil
		}
		return over
	})
	type pairing struct {
		part, to int
		chi      float64
	}
	var pairings []pairing
	free := 0
	for k := range parts {
		if o := parts[k].owner; o >= 0 {
			t := &j.open[o]
			t.starts = t.starts[:len(t.starts)-1]
			if len(t.parts) == 0 {
				j.live = append(j.live, o)
			}
			continue
		}
		free++
	}
	if free <= joinMost && len(j.live) <= joinMost {
		for _, i := range j.live {
			t := &j.open[i]
			if len(t.parts) == 0 {
				continue // it begins in this very frame
			}
			gap := begin - t.parts[len(t.parts)-1].To
			if gap < 0 || gap > within {
				continue
			}
			to, sd := j.foretell(t, begin)
			for k, p := range parts {
				if p.owner >= 0 || len(t.starts) > 0 && p.To > t.starts[len(t.starts)-1] {
					continue
				}
				if chi := r3.Norm2(r3.Sub(p.track[begin], to)) / (sd * sd); chi < joinGate*joinGate {
					pairings = append(pairings, pairing{k, i, chi})
				}
			}
		}
	}
	slices.SortFunc(pairings, func(a, b pairing) int {
		return cmp.Or(cmp.Compare(a.chi, b.chi), cmp.Compare(a.part, b.part), cmp.Compare(a.to, b.to))
	})
	goesTo := make([]int, len(parts))
	taken := make(map[int]bool) // also by a part of its own that begins here
	for k, p := range parts {
		if goesTo[k] = p.owner; p.owner >= 0 {
			taken[p.owner] = true
		}
	}
	for n, p := range pairings {
		if goesTo[p.part] >= 0 || taken[p.to] {
			continue
		}
		rival := false
		for m, q := range pairings {
			if q.chi > p.chi+joinClear {
				break
			}
			rival = rival || m != n && (q.part == p.part && !taken[q.to] || q.to == p.to && goesTo[q.part] < 0)
		}
		if rival {
			continue
		}
		goesTo[p.part], taken[p.to] = p.to, true
	}
	for k, p := range parts {
		i := goesTo[k]
		if i < 0 {
			i = len(j.open)
			j.open = append(j.open, trajectory{})
			j.live = append(j.live, i)
		}
		j.open[i].extend(p)
	}
}

// extend puts a part at the end of a trajectory.
func (t *trajectory) extend(p openPart) {
	t.parts = append(t.parts, p.Part)
	for f := max(p.From, p.To-tailFrames); f < p.To; f++ {
		t.tail = append(t.tail, sighting{f, p.track[f]})
	}
	if n := len(t.tail) - tailFrames; n > 0 {
		t.tail = append(t.tail[:0], t.tail[n:]...)
	}
}

// foretell returns where a trajectory is in a frame after its end, and the
// standard deviation of the distance from there of a point that is seen, along
// each axis.
func (j *joiner) foretell(t *trajectory, frame int) (r3.Vec, float64) {
	tail := t.tail
	last := tail[len(tail)-1]
	ahead := float64(frame - last.frame)
	if len(tail) == 1 {
		return last.at, joinSpeed * ahead / j.rec.rate / 2 // the fastest are two of them away
	}
	// Least squares in the frame seen from the last; of two samples a line.
	degree := min(2, len(tail)-1)
	if len(tail) < 5 { // too few to tell acceleration from noise
		degree = 1
	}
	var ata [3][3]float64
	var aty [3]r3.Vec
	first := float64(tail[0].frame - last.frame)
	scale := max(1, -first)
	row := func(x float64) [3]float64 { x /= scale; return [3]float64{1, x, x * x} }
	for _, s := range tail {
		a := row(float64(s.frame - last.frame))
		for m := 0; m <= degree; m++ {
			for n := 0; n <= degree; n++ {
				ata[m][n] += a[m] * a[n]
			}
			aty[m] = r3.Add(aty[m], r3.Scale(a[m], s.at))
		}
	}
	// w = (AᵀA)⁻¹ a: the weights of the samples are A w, their squares' sum a·w.
	a := row(ahead)
	w := solve3(ata, a, degree+1)
	var at r3.Vec
	lever := 0.0
	for m := 0; m <= degree; m++ {
		at = r3.Add(at, r3.Scale(w[m], aty[m]))
		lever += a[m] * w[m]
	}
	// What a parabola, or a line, leaves out grows with the time from the middle
	// of the samples.
	h := (ahead - first/2) / j.rec.rate
	left := joinJerk * h * h * h / 6
	if degree == 1 {
		left = jumpAcceleration / 3 * h * h / 2
	}
	return at, math.Sqrt(j.noise*j.noise*(1+lever) + left*left/(joinGate*joinGate))
}

// solve3 solves the leading n × n equations of a positive definite a.
func solve3(a [3][3]float64, b [3]float64, n int) [3]float64 {
	for c := range n {
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k < n; k++ {
				a[r][k] -= f * a[c][k]
			}
			b[r] -= f * b[c]
		}
	}
	for r := n - 1; r >= 0; r-- {
		for k := r + 1; k < n; k++ {
			b[r] -= a[r][k] * b[k]
		}
		b[r] /= a[r][r]
	}
	return b
}

// Assembled returns the recording with a track for each name: the points of the
// trajectories that are given for it, in turn, each in the frames in which those
// before it do not show the marker. Tracks that no given trajectory takes from
// follow under their own names.
func (r *Recording) Assembled(names []string, of map[string][]Trajectory) (*Recording, error) {
	used := make(map[string]bool)
	var tracks [][]r3.Vec
	for _, name := range names {
		track := slices.Repeat([]r3.Vec{unseen}, r.frames)
		for _, t := range of[name] {
			for _, p := range t.Parts {
				used[p.Track] = true
				from := r.Track(p.Track)
				for f := p.From; f < p.To; f++ {
					if !isSeen(track[f]) {
						track[f] = from[f]
					}
				}
			}
		}
		tracks = append(tracks, track)
	}
	names = slices.Clone(names)
	for i, name := range r.names {
		if !used[name] && !slices.Contains(names, name) {
			names = append(names, name)
			tracks = append(tracks, r.points[i*r.frames:(i+1)*r.frames])
		}
	}
	return NewRecording(r.start, r.rate, names, tracks, r.origin)
}
