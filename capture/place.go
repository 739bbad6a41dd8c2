package capture

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// placeWithin is how far the distance of two markers on one rigid body may
	// be off its median, m: six standard deviations of it if each coordinate of
	// each marker is off by 0.6 mm, which is far more than a camera system makes,
	// and far less than from one marker to the next.
	placeWithin = 5e-3
	// maxCurvature is more than a shaft bends in a swing, 1/m: an arc of 1 m has
	// its end half a metre off its tangent.
	maxCurvature = 1
)

// A pair is two markers, by number, whose distance hardly changes.
type pair struct {
	a, b          int
	usual, within float64 // m
}

// pairs returns the pairs of the set that the recording shows, and the markers
// that they number: each two of the grip and of the head, and on the shaft each
// two with no other or one other between them. The usual distance is the median
// over frames that are spread over the recording.
func (r *Recording) pairs(set MarkerSet) (list []pair, markers []string) {
	number := make(map[string]int)
	for _, name := range set.Names() {
		if _, ok := number[name]; !ok && r.Track(name) != nil {
			number[name], markers = len(markers), append(markers, name)
		}
	}
	var distances []float64
	add := func(a, b string, curvature, offsets float64) {
		ta, tb := r.Track(a), r.Track(b)
		if a == b || ta == nil || tb == nil {
			return
		}
		distances = distances[:0]
		for f := 0; f < r.frames; f += 1 + r.frames/unitFrames {
			if d := distance(ta[f], tb[f]); !math.IsNaN(d) {
				distances = append(distances, d)
			}
		}
		if len(distances) == 0 {
			return
		}
		d := median(distances)
		// Markers at a distance from the axis come nearer on the inside of a bend
		// and farther apart on the outside; a chord is shorter than its arc by a
		// 24th of arc³ · curvature².
		bend := curvature*d*offsets + curvature*curvature*d*d*d/24
		list = append(list, pair{number[a], number[b], d, placeWithin + bend})
	}
	for _, cluster := range [][]string{set.Grip, set.Head} {
		for i, a := range cluster {
			for _, b := range cluster[i+1:] {
				add(a, b, 0, 0)
			}
		}
	}
	for i, a := range set.Shaft {
		for _, b := range set.Shaft[i+1 : min(i+3, len(set.Shaft))] {
			add(a.Name, b.Name, maxCurvature, math.Abs(a.Offset)+math.Abs(b.Offset))
		}
	}
	return list, markers
}

// A fault is a marker that is not in its place, a; or two with their labels
// exchanged; or two of which one is out of place, and nothing tells which.
type fault struct {
	a, b    int // b is -1 for one marker
	swapped bool
}

// A bout is a run of frames with a fault.
type bout struct {
	gap
	off float64 // the most a distance was off, m
}

// placeFlags tells which markers are not where their distances from others of
// the club put them. Frames in which still reports that a marker is frozen do
// not count for it.
func (r *Recording) placeFlags(set MarkerSet, still func(name string, frame int) bool) []Flag {
	pairs, markers := r.pairs(set)
	tracks := make([][]r3.Vec, len(markers))
	for m, name := range markers {
		tracks[m] = r.Track(name)
	}
	var order []fault
	bouts := make(map[fault][]bout)
	at := make([]r3.Vec, len(markers))
	for f := range r.frames {
		for m := range at {
			at[m] = tracks[m][f]
		}
		if whole(pairs, at, nil) {
			continue
		}
		for m, name := range markers {
			if still(name, f) {
				at[m] = unseen
			}
		}
		for _, found := range blame(pairs, at) {
			list, ok := bouts[found.fault]
			if !ok {
				order = append(order, found.fault)
			}
			if n := len(list) - 1; n >= 0 && f-list[n].last-1 <= shortGap {
				list[n].last = f
				list[n].missing++
				list[n].off = max(list[n].off, found.off)
			} else {
				list = append(list, bout{gap{f, f, 1}, found.off})
			}
			bouts[found.fault] = list
		}
	}
	var flags []Flag
	for _, fault := range order {
		list := bouts[fault]
		if len(list) > maxGaps {
			all := list[0]
			for _, b := range list[1:] {
				all.last, all.missing, all.off = b.last, all.missing+b.missing, max(all.off, b.off)
			}
			list = []bout{all}
		}
		for _, b := range list {
			flags = append(flags, Flag{Code: LabelSwap, Marker: markers[fault.a], From: r.Time(b.first), To: r.Time(b.last),
				Detail: fault.detail(markers, b)})
		}
	}
	return flags
}

// detail says what a fault is.
func (f fault) detail(markers []string, b bout) string {
	a, long := markers[f.a], "for "+count(b.missing, "frame")
	if span := b.last - b.first + 1; span > b.missing {
		long = fmt.Sprintf("in %d of %d frames", b.missing, span)
	}
	switch {
	case f.swapped:
		return fmt.Sprintf("the labels %s and %s are exchanged %s", a, markers[f.b], long)
	case f.b >= 0:
		return fmt.Sprintf("the distance of %s and %s is off by up to %.0f mm %s; one of them is not in its place", a, markers[f.b], b.off*1000, long)
	}
	return fmt.Sprintf("marker %s is not in its place %s, its distances from others off by up to %.0f mm", a, long, b.off*1000)
}

// off returns by how much a distance is off, 0 if by no more than it may be or
// a marker is not seen.
func (p pair) off(at []r3.Vec) float64 {
	if off := math.Abs(distance(at[p.a], at[p.b]) - p.usual); off > p.within {
		return off
	}
	return 0
}

// whole reports whether the distances are what they should be, of all pairs or
// of those that a marker of only is in.
func whole(pairs []pair, at []r3.Vec, only []int) bool {
	for _, p := range pairs {
		if only != nil && p.a != only[0] && p.b != only[0] && p.a != only[1] && p.b != only[1] {
			continue
		}
		if p.off(at) > 0 {
			return false
		}
	}
	return true
}

// A blamed is a fault in a single frame.
type blamed struct {
	fault
	off float64 // the most a distance of it is off, m
}

// blame returns the faults that explain the distances in a frame: first labels
// whose exchange makes every distance of the two right, then markers of which
// two distances or more are off, those with most first, then pairs.
func blame(pairs []pair, at []r3.Vec) []blamed {
	var broken []pair
	for _, p := range pairs {
		if p.off(at) > 0 {
			broken = append(broken, p)
		}
	}
	var found []blamed
	// take moves the pairs with marker a or b into a fault.
	take := func(f fault, is func(pair) bool) {
		worst, rest := 0.0, broken[:0]
		for _, p := range broken {
			if is(p) {
				worst = max(worst, p.off(at))
			} else {
				rest = append(rest, p)
			}
		}
		broken = rest
		found = append(found, blamed{f, worst})
	}
	votes := make([]int, len(at))
	tally := func() {
		clear(votes)
		for _, p := range broken {
			votes[p.a]++
			votes[p.b]++
		}
	}
	tally()
	for a := range at {
		for b := a + 1; b < len(at); b++ {
			if votes[a] == 0 || votes[b] == 0 {
				continue
			}
			at[a], at[b] = at[b], at[a]
			right := whole(pairs, at, []int{a, b})
			at[a], at[b] = at[b], at[a]
			if right {
				take(fault{a, b, true}, func(p pair) bool { return p.a == a || p.b == a || p.a == b || p.b == b })
				tally()
			}
		}
	}
	for len(broken) > 0 {
		most := 0
		for m, n := range votes {
			if n > votes[most] {
				most = m
			}
		}
		if votes[most] < 2 {
			break
		}
		take(fault{most, -1, false}, func(p pair) bool { return p.a == most || p.b == most })
		tally()
	}
	for len(broken) > 0 {
		first := broken[0]
		take(fault{first.a, first.b, false}, func(p pair) bool { return p == first })
	}
	return found
}

// distance returns how far a is from b. Lengths of a lab cannot overflow, which
// r3.Norm takes ten times as long to guard against.
func distance(a, b r3.Vec) float64 { return math.Sqrt(r3.Norm2(r3.Sub(a, b))) }
