package kinematics

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Where a change puts markers. A grip is 270 mm long, and a marker on a stalk
// hinders nobody at 60 mm from the axis (common practice, no source).
const (
	gripEnd    = 0.27 // m
	gripOut    = 0.06 // m, of a marker added to the grip's cluster
	gripSpread = 0.02 // m, by which the cluster's markers move outwards
	shaftRoom  = 0.03 // m, least distance between markers on the shaft
)

// changes returns the changes worth a look: each marker left out, one added to
// the grip's cluster on each of four sides, one added on the shaft between the
// grip and the first or in the widest gap, and the grip's markers further out.
// Left out are those after which too few markers would be on the grip.
func changes(ref *Reference) []Change {
	var all []Change
	for _, t := range ref.Markers.all() {
		if !math.IsNaN(ref.Point[t].X) {
			all = append(all, Change{Kind: LeftOut, Track: t})
		}
	}
	var z, n float64
	for _, t := range ref.Markers.Grip {
		if p := ref.Point[t]; !math.IsNaN(p.X) {
			z += p.Z
			n++
		}
	}
	add := func(kind ChangeKind, p r3.Vec) { all = append(all, Change{Kind: kind, Track: -1, Point: p}) }
	for _, p := range []r3.Vec{{X: gripOut}, {X: -gripOut}, {Y: gripOut}, {Y: -gripOut}} {
		p.Z = z / n
		add(GripAdded, p)
	}
	var stations []float64
	for _, s := range ref.Markers.Shaft {
		if !math.IsNaN(ref.Point[s.Track].X) {
			stations = append(stations, s.Station)
		}
	}
	slices.Sort(stations)
	if len(stations) > 0 {
		if first := stations[0]; first-gripEnd >= shaftRoom {
			add(ShaftAdded, r3.Vec{Z: (first + gripEnd) / 2})
		}
		widest, at := 2*shaftRoom, 0.0
		for i := range stations {
			next := ref.Shaft.Length
			if i+1 < len(stations) {
				next = stations[i+1]
			}
			if gap := next - stations[i]; gap > widest {
				widest, at = gap, (stations[i]+next)/2
			}
		}
		if at > 0 {
			add(ShaftAdded, r3.Vec{Z: at})
		}
	}
	add(GripSpread, r3.Vec{X: gripSpread})
	return all
}

// apply returns the club with the change. ref stays as it is.
func (c Change) apply(ref *Reference) *Reference {
	n := *ref
	m := &n.Markers
	m.Grip, m.Shaft, m.Head = slices.Clone(m.Grip), slices.Clone(m.Shaft), slices.Clone(m.Head)
	n.Point, n.SD = slices.Clone(n.Point), slices.Clone(n.SD)
	added := func(p r3.Vec) int { // as well known as the middle one of the others
		sds := slices.DeleteFunc(slices.Clone(ref.SD), math.IsNaN)
		slices.Sort(sds)
		n.Point, n.SD = append(n.Point, p), append(n.SD, sds[len(sds)/2])
		return len(n.Point) - 1
	}
	switch c.Kind {
	case LeftOut:
		is := func(t int) bool { return t == c.Track }
		m.Grip, m.Head = slices.DeleteFunc(m.Grip, is), slices.DeleteFunc(m.Head, is)
		m.Shaft = slices.DeleteFunc(m.Shaft, func(s ShaftMark) bool { return is(s.Track) })
	case GripAdded:
		m.Grip = append(m.Grip, added(c.Point))
	case ShaftAdded:
		// On the side away from its nearest neighbour, at its offset.
		near := slices.MinFunc(m.Shaft, func(a, b ShaftMark) int {
			return cmp.Compare(math.Abs(a.Station-c.Point.Z), math.Abs(b.Station-c.Point.Z))
		})
		p := r3.Scale(-1, ref.Point[near.Track])
		p.Z = c.Point.Z
		m.Shaft = append(m.Shaft, ShaftMark{added(p), c.Point.Z, near.Offset})
	case GripSpread:
		for _, t := range m.Grip {
			p := &n.Point[t]
			if r := math.Hypot(p.X, p.Y); r > 0 {
				p.X *= 1 + c.Point.X/r
				p.Y *= 1 + c.Point.X/r
			}
		}
	}
	return &n
}

// NominalReference returns an unloaded club that was not seen hanging yet: its
// shaft markers are at their stations and offsets, a third of a turn from one
// to the next; those of the grip and of the head are where such clusters
// usually are (common practice, no source), known to sd, m.
func NominalReference(m Markers, shaft Shaft, hand Hand, sd float64) *Reference {
	tracks := 0
	for _, t := range m.all() {
		tracks = max(tracks, t+1)
	}
	ref := &Reference{Markers: m, Shaft: shaft, Hand: hand, Point: make([]r3.Vec, tracks), SD: make([]float64, tracks)}
	for t := range tracks {
		ref.Point[t], ref.SD[t] = nan3, math.NaN()
	}
	put := func(t int, centre r3.Vec, radius, angle, z float64) {
		sin, cos := math.Sincos(angle)
		p := r3.Add(centre, r3.Vec{X: radius * cos, Y: radius * sin, Z: z})
		if hand == Left {
			p.X = -p.X
		}
		ref.Point[t], ref.SD[t] = p, sd
	}
	// Around the centre, alternately below and above it.
	ring := func(ts []int, centre r3.Vec, radius, height float64) {
		for i, t := range ts {
			put(t, centre, radius, 2*math.Pi*float64(i)/float64(len(ts)), height*float64(i%2*2-1))
		}
	}
	ring(m.Grip, r3.Vec{}, 0.04, 0.03)
	ring(m.Head, r3.Vec{X: -0.03, Y: 0.05, Z: shaft.Length + 0.03}, 0.045, 0.02)
	for i, s := range m.Shaft {
		put(s.Track, r3.Vec{Z: s.Station}, s.Offset, 2*math.Pi/3*float64(i), 0)
	}
	return ref
}
