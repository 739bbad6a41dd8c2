package study

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// otherShaft is how far the distances between neighbouring markers on the shaft
// may be off those of the hanging club, m, root mean square of their medians over
// a recording. Bending to 1 m radius with markers 11 mm off the axis and 100 mm
// apart changes a distance by 1.1 mm at most, and markers put on another shaft by
// hand are off by several.
const otherShaft = 3e-3

// fellFor is how long before the end a marker must be gone to have fallen off,
// s, and fewAway how many may be: at the end of a swing many go out of sight.
const (
	fellFor = 0.1
	fewAway = 2
)

// fault says in one sentence what is to be put right before the next swing, ""
// for nothing. Its result and the recording are those of a run of the lab's
// study.
func (l *lab) fault(rec *capture.Recording, r *Result) (sentence string) {
	if err := guard(func() { sentence = l.findFault(rec, r) }); err != nil {
		return Plain(err.Error())
	}
	return sentence
}

func (l *lab) findFault(rec *capture.Recording, r *Result) string {
	club := l.study.Club(r.Run.Club)
	if other := l.wrongShaft(rec, club); other != "" {
		return fmt.Sprintf("wrong shaft: the shaft's markers are spaced as on %s, not as on %s; choose %s, or hand the player %s", l.name(other), l.name(club.ID), l.name(other), l.name(club.ID))
	}
	if l.mirrored(rec, club) {
		return fmt.Sprintf("the markers lie as in a mirror: %s is %s-handed; see that the club is this one, and that no labels are exchanged", l.name(club.ID), club.Hand)
	}
	if known, _, err := l.labelled(rec, r.Run, club); err == nil {
		rec = known // by place too, as it was fitted
	}
	if gone := missing(rec, club.Markers); len(gone) > 0 {
		return fmt.Sprintf("never seen: %s; see that it is%s and that its label is right", shorten(gone), where(club, gone[0]))
	}
	if name, at := fell(rec, club.Markers); name != "" {
		return fmt.Sprintf("%s fell off: it is not seen after %.3f s; put it back%s", name, at, where(club, name))
	}
	switch {
	case errors.Is(r.Err, kinematics.ErrNoImpact):
		return "no impact: the head is never slowed as by a ball; hit one, and let the capture run on for 10 ms behind it"
	case errors.Is(r.Err, kinematics.ErrTooFew):
		return "too few markers are seen for long enough; see that the cameras see the whole swing"
	case r.Err != nil:
		return Plain(r.Err.Error())
	}
	if r.Swing == nil {
		return ""
	}
	if len(r.Swing.Slid) > 0 {
		s := r.Swing.Slid[0]
		name := club.Markers.Names()[s.Track]
		return fmt.Sprintf("%s slid by %.1f mm along the shaft; put it back%s", name, math.Abs(s.By)*1e3, where(club, name))
	}
	if r.Swing.Facing() > wrongSide {
		return fmt.Sprintf("the head goes backwards: %s is %s-handed, with heel at %s and toe at %s; see that the club is this one", l.name(club.ID), club.Hand, club.Markers.Heel, club.Markers.Toe)
	}
	if r.Swing.RMS > poorFit {
		return fmt.Sprintf("the markers lie %.1f mm from those of %s; see that none is loose and that the club is this one", r.Swing.RMS*1e3, l.name(club.ID))
	}
	return ""
}

// name returns what people call a club of the lab's study: its label, or its id.
func (l *lab) name(id string) string { return l.study.Club(id).name() }

// mirrored reports whether the markers lie as in a mirror image of the hanging
// club: they are on a club of the other hand, or labels are exchanged. It takes
// the four of them that span the largest volume.
func (l *lab) mirrored(rec *capture.Recording, c *Club) bool {
	h := l.reference(c)
	if h.err != nil {
		return false
	}
	volume := func(p [4]r3.Vec) float64 {
		return r3.Dot(r3.Cross(r3.Sub(p[1], p[0]), r3.Sub(p[2], p[0])), r3.Sub(p[3], p[0]))
	}
	names, at := c.Markers.Names(), h.pose.Point
	var four [4]int
	most := 0.0
	for i := range at {
		for j := range i {
			for k := range j {
				for m := range k {
					if v := volume([4]r3.Vec{at[i], at[j], at[k], at[m]}); math.Abs(v) > math.Abs(most) {
						four, most = [4]int{i, j, k, m}, v
					}
				}
			}
		}
	}
	if most == 0 {
		return false
	}
	if unit, ok := c.Markers.GuessUnit(rec); ok {
		rec = rec.WithUnit(unit)
	}
	var seen []float64
	const step = 10 // frames
	for f := 0; f < rec.Frames(); f += step {
		var p [4]r3.Vec
		for i, k := range four {
			p[i] = r3.Vec{X: math.NaN()}
			if track := rec.Track(names[k]); f < len(track) {
				p[i] = track[f]
			}
		}
		if v := volume(p); !math.IsNaN(v) {
			seen = append(seen, v/most)
		}
	}
	return median(seen) < -0.5
}

// where says where on the club a marker belongs, with a blank before it.
func where(c *Club, marker string) string {
	for _, m := range c.Markers.Shaft {
		if m.Name == marker {
			return fmt.Sprintf(" at %.0f mm from the butt end", m.Station*1e3)
		}
	}
	if slices.Contains(c.Markers.Grip, marker) {
		return " on the grip"
	}
	return " on the head"
}

// fell returns the marker of the set that is seen and then no more while nearly
// all others are, and when it was last seen, s; "" for none.
func fell(rec *capture.Recording, set capture.MarkerSet) (marker string, at float64) {
	names := set.Names()
	last := make([]int, len(names))
	end := 0 // last frame that shows any
	for i, name := range names {
		for f, p := range rec.Track(name) {
			if p.X == p.X {
				last[i] = f
			}
		}
		end = max(end, last[i])
	}
	away, first := 0, -1
	for i, f := range last {
		if float64(end-f) > fellFor*rec.Rate() {
			if away++; first < 0 || f < last[first] {
				first = i
			}
		}
	}
	if away == 0 || away > fewAway {
		return "", 0
	}
	return names[first], rec.Time(last[first])
}

// wrongShaft returns the club of the study whose shaft's markers are spaced as
// in the recording, where those of club are not; "" where they are, or where no
// other's are.
func (l *lab) wrongShaft(rec *capture.Recording, club *Club) string {
	own := l.spacing(rec, club)
	if own <= otherShaft {
		return ""
	}
	best, off := "", math.Min(own/2, otherShaft)
	for i := range l.study.Clubs {
		c := &l.study.Clubs[i]
		if c.ID == club.ID || c.Hand != club.Hand {
			continue
		}
		if o := l.spacing(rec, c); o < off {
			best, off = c.ID, o
		}
	}
	return best
}

// spacing returns how far the distances between neighbouring markers on the
// shaft are off those of the hanging club, m: the root mean square of their
// medians over the recording, +Inf where fewer than three can be told.
func (l *lab) spacing(rec *capture.Recording, c *Club) float64 {
	h := l.reference(c)
	if h.err != nil {
		return math.Inf(1)
	}
	if unit, ok := c.Markers.GuessUnit(rec); ok {
		rec = rec.WithUnit(unit)
	}
	var sum, n float64
	h.apart(rec, c, func(want float64, seen []float64) {
		if d := median(seen) - want; !math.IsNaN(d) {
			sum, n = sum+d*d, n+1
		}
	})
	if n < 3 {
		return math.Inf(1)
	}
	return math.Sqrt(sum / n)
}
