package capture

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// shortGap is the longest run of frames without a marker that is only
	// counted, and the longest run with the marker that does not part two gaps.
	shortGap = 5
	// maxGaps is the most gaps of one marker that are told one by one.
	maxGaps = 8
	// frozenFrames is the shortest run of frames in which a marker stands still
	// that makes it frozen.
	frozenFrames = 10
	// stillWithin is how far a marker may stray while it stands still, m. Optical
	// noise is larger, so a marker that was measured does not do this.
	stillWithin = 1e-6
	// movedBy is how far the other markers must go meanwhile, m.
	movedBy = 1e-3
	// movedSteps is how many of the file's smallest steps they must go, so that
	// slow motion in coarse numbers does not look frozen.
	movedSteps = 10
)

// Inspect returns what is worth knowing about how completely a recording shows
// the markers of set. Other markers do not count. The flags come in this order:
//
//   - UnitGuessed and RateGuessed, if they were.
//   - Those of the Origin: what is damaged in the file.
//   - Gap without a marker: frames that show none of the markers, whether the
//     file skips them or leaves them empty.
//   - MarkerMissing for a marker that the recording does not have or never
//     shows.
//   - Gap for each marker and each gap longer than 5 frames, from its first to
//     its last frame. Gaps with at most 5 frames between them are one, and
//     so are all those of a marker that has more than 8.
//   - Gap without a marker: one summary of all the shorter dropouts.
//   - Frozen for a marker that stays within 1 µm for 10 frames or more while
//     the other markers move: half of them by more than 1 mm and by more than
//     10 of the smallest steps in the file.
//   - Frozen without a marker: frames that repeat the one before to the last
//     digit, while into the frame before and out of the last of them half of the
//     markers move by more than 10 of the smallest steps in the file.
//   - LabelSwap for a marker that is not in its place, or two that have each
//     other's: the distance of two markers on the grip, of two on the head, or of
//     two on the shaft with at most one between them is off its median by more
//     than 5 mm, and on the shaft by more than bending makes of their offsets
//     from the axis besides. If to exchange two labels makes their distances
//     right, they are exchanged; else the marker of which most distances are off
//     is not in its place; and of two markers alone nothing tells which is not.
//     Times with at most 5 frames between them are one, and so are all
//     those of a fault that has more than 8.
//   - TimeSkew for the grip or the head if its markers are measured at different
//     times within a frame: that explains more than half of the variance of
//     their distances. The marker is the last to be measured.
func Inspect(r *Recording, set MarkerSet) []Flag {
	var flags []Flag
	if r.origin.UnitGuessed {
		flags = append(flags, Flag{Code: UnitGuessed, Detail: fmt.Sprintf("the file states no unit of length; %s was taken from the size of the numbers", r.origin.Unit.Word())})
	}
	if r.origin.RateGuessed {
		flags = append(flags, Flag{Code: RateGuessed, Detail: fmt.Sprintf("the file does not say for certain how many frames a second it has; %.6g is a guess", r.rate)})
	}
	flags = append(flags, r.origin.Flags...)
	var names []string
	var missing []Flag
	for _, name := range set.Names() {
		switch track := r.Track(name); {
		case track == nil:
			missing = append(missing, Flag{Code: MarkerMissing, Marker: name, Detail: fmt.Sprintf("marker %s is not in the file", name)})
		case countSeen(track) == 0:
			missing = append(missing, Flag{Code: MarkerMissing, Marker: name, Detail: fmt.Sprintf("marker %s is in the file but never seen", name)})
		default:
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return append(flags, missing...)
	}
	empty := r.emptyFrames(names)
	flags = append(flags, r.emptyFlag(empty)...)
	flags = append(flags, missing...)
	flags = append(flags, r.gapFlags(names, empty)...)
	stills := r.stills(names)
	flags = append(flags, r.frozenFlags(stills)...)
	flags = append(flags, r.repeatFlags(names)...)
	flags = append(flags, r.placeFlags(set, func(name string, f int) bool {
		return slices.ContainsFunc(stills, func(s still) bool { return s.name == name && s.first <= f && f < s.end })
	})...)
	return append(flags, r.skewFlags(set)...)
}

func isSeen(p r3.Vec) bool { return p.X == p.X && p.Y == p.Y && p.Z == p.Z }

func countSeen(track []r3.Vec) int {
	n := 0
	for _, p := range track {
		if isSeen(p) {
			n++
		}
	}
	return n
}

// emptyFrames tells for each frame whether it shows none of the markers.
func (r *Recording) emptyFrames(names []string) []bool {
	empty := make([]bool, r.frames)
	for i := range empty {
		empty[i] = true
	}
	for _, name := range names {
		for i, p := range r.Track(name) {
			if isSeen(p) {
				empty[i] = false
			}
		}
	}
	return empty
}

func (r *Recording) emptyFlag(empty []bool) []Flag {
	first, last, n := -1, -1, 0
	for i, e := range empty {
		if e {
			if first < 0 {
				first = i
			}
			last = i
			n++
		}
	}
	if n == 0 {
		return nil
	}
	detail := fmt.Sprintf("%s without any marker", count(n, "frame"))
	if r.origin.Skipped > 0 {
		detail += fmt.Sprintf(", %d of them absent from the file", r.origin.Skipped)
	}
	return []Flag{{Code: Gap, From: r.Time(first), To: r.Time(last), Detail: detail}}
}

// A gap is a run of frames in some of which a marker is missing, the first and
// the last among them.
type gap struct{ first, last, missing int }

// gaps returns the gaps in a track, apart from empty frames.
func gaps(track []r3.Vec, empty []bool) []gap {
	var list []gap
	for i, p := range track {
		if isSeen(p) || empty[i] {
			continue
		}
		if n := len(list) - 1; n >= 0 && i-list[n].last-1 <= shortGap {
			list[n].last = i
			list[n].missing++
			continue
		}
		list = append(list, gap{first: i, last: i, missing: 1})
	}
	return list
}

func (r *Recording) gapFlags(names []string, empty []bool) []Flag {
	var flags []Flag
	dropouts, positions, markers := 0, 0, 0
	for _, name := range names {
		var long []gap
		before := dropouts
		for _, g := range gaps(r.Track(name), empty) {
			if g.missing > shortGap {
				long = append(long, g)
				continue
			}
			dropouts++
			positions += g.missing
		}
		if dropouts > before {
			markers++
		}
		if len(long) > maxGaps {
			all := gap{first: long[0].first, last: long[len(long)-1].last}
			for _, g := range long {
				all.missing += g.missing
			}
			flags = append(flags, Flag{Code: Gap, Marker: name, From: r.Time(all.first), To: r.Time(all.last),
				Detail: fmt.Sprintf("marker %s is missing for %d frames in %d gaps", name, all.missing, len(long))})
			continue
		}
		for _, g := range long {
			detail := fmt.Sprintf("marker %s is missing for %d frames", name, g.missing)
			if span := g.last - g.first + 1; span > g.missing {
				detail = fmt.Sprintf("marker %s is missing in %d of %d frames", name, g.missing, span)
			}
			flags = append(flags, Flag{Code: Gap, Marker: name, From: r.Time(g.first), To: r.Time(g.last), Detail: detail})
		}
	}
	if dropouts > 0 {
		flags = append(flags, Flag{Code: Gap, Detail: fmt.Sprintf("%s of up to %d frames in %s, %.2g %% of all positions",
			count(dropouts, "short dropout"), shortGap, count(markers, "marker"), 100*float64(positions)/float64(len(names)*r.frames))})
	}
	return flags
}

// count returns a number with its noun in the singular or plural.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

// A still is a run of frames in which a marker stands still, first to end-1.
type still struct {
	name       string
	first, end int
}

// stills returns where markers stand still while the others move.
func (r *Recording) stills(names []string) []still {
	var list []still
	far := math.NaN() // how far the others must go
	for _, name := range names {
		track := r.Track(name)
		for first := 0; first < len(track); {
			end := first + 1
			for end < len(track) && distance(track[end], track[first]) <= stillWithin {
				end++
			}
			if end-first >= frozenFrames {
				if math.IsNaN(far) {
					far = max(movedBy, movedSteps*r.smallestStep(names))
				}
				if r.othersMove(names, name, first, end) > far {
					list = append(list, still{name, first, end})
				}
			}
			first = end
		}
	}
	return list
}

func (r *Recording) frozenFlags(list []still) []Flag {
	var flags []Flag
	for _, s := range list {
		flags = append(flags, Flag{Code: Frozen, Marker: s.name, From: r.Time(s.first), To: r.Time(s.end - 1),
			Detail: fmt.Sprintf("marker %s stands still for %d frames while the others move", s.name, s.end-s.first)})
	}
	return flags
}

// repeatFlags tells of frames in which every marker stands exactly where it did
// one frame before, between frames in which half of them go far.
func (r *Recording) repeatFlags(names []string) []Flag {
	repeats := func(f int) bool {
		n := 0
		for _, name := range names {
			p, q := r.Track(name)[f-1], r.Track(name)[f]
			if isSeen(p) != isSeen(q) || isSeen(p) && p != q {
				return false
			}
			if isSeen(p) {
				n++
			}
		}
		return n > 1
	}
	moved := func(f int) float64 { // into frame f
		var far []float64
		for _, name := range names {
			if d := distance(r.Track(name)[f], r.Track(name)[f-1]); !math.IsNaN(d) {
				far = append(far, d)
			}
		}
		if len(far) == 0 {
			return 0
		}
		return median(far)
	}
	first, last, n := 0, 0, 0
	far := math.NaN()
	for f := 2; f < r.frames-1; f++ {
		if !repeats(f) {
			continue
		}
		end := f + 1
		for end < r.frames && repeats(end) {
			end++
		}
		if math.IsNaN(far) {
			far = movedSteps * r.smallestStep(names)
		}
		if end < r.frames && moved(f-1) > far && moved(end) > far {
			if n == 0 {
				first = f
			}
			last, n = end-1, n+end-f
		}
		f = end
	}
	if n == 0 {
		return nil
	}
	return []Flag{{Code: Frozen, From: r.Time(first), To: r.Time(last),
		Detail: count(n, "frame") + " in which every marker stands exactly where it did one frame before, while the club moves"}}
}

// othersMove returns the median over the other markers of how far each gets
// from where it is first seen in frames first to end-1, m; 0 if none is seen.
func (r *Recording) othersMove(names []string, still string, first, end int) float64 {
	var far []float64
	for _, name := range names {
		if name == still {
			continue
		}
		track := r.Track(name)[first:end]
		from, most := unseen, 0.0
		for _, p := range track {
			if !isSeen(from) {
				from = p
			}
			if isSeen(p) {
				most = max(most, distance(p, from))
			}
		}
		if isSeen(from) {
			far = append(far, most)
		}
	}
	if len(far) == 0 {
		return 0
	}
	return median(far)
}

// smallestStep returns the median over the markers of the smallest change of a
// coordinate from one frame to the next, m: what the last digit in the file is
// worth, if not less.
func (r *Recording) smallestStep(names []string) float64 {
	var least []float64
	for _, name := range names {
		track := r.Track(name)
		step := math.Inf(1)
		for i := 1; i < len(track); i++ {
			d := r3.Sub(track[i], track[i-1])
			for _, x := range [...]float64{d.X, d.Y, d.Z} {
				// Less than a nanometre is the rounding of float64.
				if x = math.Abs(x); x > 1e-9 && x < step {
					step = x
				}
			}
		}
		if !math.IsInf(step, 0) {
			least = append(least, step)
		}
	}
	if len(least) == 0 {
		return 0
	}
	return median(least)
}
