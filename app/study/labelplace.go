package study

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// A placing finds which paths of a recording are which markers of a club, by
// their places in some frames.
type placing struct {
	rec   *capture.Recording
	names []string // of the set
	hang  *kinematics.Reference
	paths []capture.Trajectory
	hand  []string    // of the set, that were given by hand
	own   int         // paths[:own] are those of tracks under names of the set
	votes [][]float64 // by path and marker
	shown []int       // by path: frames in which it was seen and the club found
}

func newPlacing(rec *capture.Recording, set capture.MarkerSet, hang *kinematics.Reference) *placing {
	p := &placing{rec: rec, names: set.Names(), hang: hang}
	for _, name := range rec.Markers() {
		if slices.Contains(p.names, name) {
			p.own++
		}
	}
	p.paths = rec.Trajectories(func(name string) bool { return slices.Contains(p.names, name) })
	p.votes, p.shown = make([][]float64, len(p.paths)), make([]int, len(p.paths))
	for i := range p.votes {
		p.votes[i] = make([]float64, len(p.names))
	}
	return p
}

// vote has the frames say which path is which marker.
func (p *placing) vote() {
	in := make([][]int, p.rec.Frames()) // the sampled frames: nil where not
	frames := 0
	sample := func(f int) {
		if in[f] == nil && frames < framesMost {
			in[f], frames = []int{}, frames+1
		}
	}
	for _, f := range spread(len(in), sampledFrames) {
		sample(f)
	}
	// The longest first: a phantom of one frame may go without.
	order := make([]int, len(p.paths))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.paths[b].Frames(), p.paths[a].Frames()) })
	for _, i := range order {
		if n := p.paths[i].Frames(); n > 0 && frames < framesMost {
			for k := range pathFrames {
				sample(p.frame(i, (2*k+1)*n/(2*pathFrames)))
			}
		}
	}
	for i, path := range p.paths {
		for _, part := range path.Parts {
			for f := part.From; f < part.To; f++ {
				if in[f] != nil {
					in[f] = append(in[f], i)
				}
			}
		}
	}
	r := kinematics.NewRecogniser(p.hang)
	for f, paths := range in {
		if len(paths) == 0 || len(paths) > pointsMost {
			continue
		}
		points := make([]r3.Vec, len(paths))
		for k, i := range paths {
			points[k] = p.at(i, f)
		}
		share := r.Recognise(points)
		if share == nil {
			continue
		}
		for k, i := range paths {
			if points[k].X != points[k].X {
				continue
			}
			p.shown[i]++
			for m, v := range share[k] {
				p.votes[i][m] += v
			}
		}
	}
}

// frame returns the n-th frame that shows a path.
func (p *placing) frame(path, n int) int {
	for _, part := range p.paths[path].Parts {
		l := part.To - part.From
		if n < l {
			return part.From + n
		}
		n -= l
	}
	panic("study: no such frame")
}

// at returns where a path is in a frame.
func (p *placing) at(path, frame int) r3.Vec {
	for _, part := range p.paths[path].Parts {
		if part.From <= frame && frame < part.To {
			return p.rec.Track(part.Track)[frame]
		}
	}
	return unseen
}

// sure returns how likely it is that a path is the marker that most frames say,
// and that marker: its share of what the frames say, drawn towards doubt by a
// tenth of a frame, and by a tenth of the frames in which the path was no marker
// at all. TestLabelsAreAsSureAsTheySay holds it to the share that is right.
func (p *placing) sure(path int) (marker int, sure float64) {
	best, said := 0, 0.0
	for m, v := range p.votes[path] {
		said += v
		if v > p.votes[path][best] {
			best = m
		}
	}
	const doubt, none = 0.1, 0.1
	return best, p.votes[path][best] / (said + doubt + none*(float64(p.shown[path])-said))
}

// A claim is a path that may be a marker's.
type claim struct {
	path, marker int
	sure         float64
	own          bool // it has the marker's name
}

// claims returns what the paths may be, those with the marker's own name first,
// then what is surest of most frames, and whether a name is wrong.
func (p *placing) claims() (claims []claim, wrong bool) {
	for i, path := range p.paths {
		if len(path.Parts) == 0 {
			continue
		}
		best, sure := p.sure(i)
		c := claim{i, best, sure, false}
		if i < p.own {
			named := slices.Index(p.names, p.ownTrack(i))
			// A name is believed unless most frames put the marker elsewhere, and one
			// given by hand in any case.
			if best == named || sure < sureEnough || slices.Contains(p.hand, p.names[named]) {
				c = claim{i, named, 1, true}
			} else {
				wrong = true
			}
		}
		if c.sure > 0.5 {
			claims = append(claims, c)
		}
	}
	slices.SortStableFunc(claims, func(a, b claim) int {
		if a.own != b.own {
			if a.own {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.sure*float64(p.paths[b.path].Frames()), a.sure*float64(p.paths[a.path].Frames()))
	})
	return claims, wrong
}

// settle gives each marker the paths that are it, fills the labels of those that
// are not known by their names alone, and returns the paths by marker; nil if
// nothing is other than the names say.
func (p *placing) settle(labels Labels) map[string][]capture.Trajectory {
	claims, wrong := p.claims()
	of := make(map[string][]capture.Trajectory)
	taken := make([][]bool, len(p.names)) // by marker and frame
	weight, frames := make([]float64, len(p.names)), make([]float64, len(p.names))
	for i := range labels {
		taken[i] = make([]bool, p.rec.Frames())
		labels[i].Names, labels[i].Sure, labels[i].Used = nil, 0, false
	}
	for _, c := range claims {
		path, l := p.paths[c.path], &labels[c.marker]
		free := 0
		for _, part := range path.Parts {
			for f := part.From; f < part.To; f++ {
				if !taken[c.marker][f] {
					free++
				}
			}
		}
		// Of two at one time one is a phantom, unless they overlap by little.
		if 2*free < path.Frames() {
			continue
		}
		joined := len(path.Tracks()) > 1
		if !c.own || joined {
			l.How = ByPlace
		}
		if c.sure < sureEnough {
			if !l.Used { // told, and not used
				l.Names, l.Sure = path.Tracks(), c.sure
			}
			continue
		}
		if !l.Used {
			l.Names = nil
		}
		l.Used = true
		for _, part := range path.Parts {
			for f := part.From; f < part.To; f++ {
				taken[c.marker][f] = true
			}
		}
		for _, name := range path.Tracks() {
			if !slices.Contains(l.Names, name) {
				l.Names = append(l.Names, name)
			}
		}
		weight[c.marker] += c.sure * float64(free)
		frames[c.marker] += float64(free)
		l.Sure = weight[c.marker] / frames[c.marker]
		wrong = wrong || !c.own || joined
		of[l.Marker] = append(of[l.Marker], path)
	}
	if !wrong {
		return nil
	}
	return of
}

// ownTrack returns the track under a name of the set whose path it is.
func (p *placing) ownTrack(path int) string {
	n := 0
	for _, name := range p.rec.Markers() {
		if slices.Contains(p.names, name) {
			if n == path {
				return name
			}
			n++
		}
	}
	panic("study: no such path")
}
