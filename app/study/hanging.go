package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// A hanging is the unloaded club.
type hanging struct {
	recording *capture.Recording // nil if it cannot be read
	pose      *kinematics.Reference
	flags     []capture.Flag // what its recording does not show, and why it may not be an unloaded club
	err       error
}

// hang reads and builds the reference of a club.
func (l *lab) hang(c *Club) hanging {
	rec, err := l.read(c.Reference, c.Import)
	var flags []capture.Flag
	if err == nil {
		rec, _, flags, err = ownNames(rec, c.Reference, c)
	}
	if err != nil {
		return hanging{err: fmt.Errorf("the reference of club %q: %w", c.ID, err)}
	}
	h := hanging{recording: rec, flags: flags}
	for _, name := range missing(rec, c.Markers) {
		h.flags = append(h.flags, capture.Flag{Code: capture.MarkerMissing, Marker: name,
			Detail: fmt.Sprintf("the reference recording %s does not show %s, so it is not used", c.Reference, name)})
	}
	h.pose, err = newReference(rec, c)
	if err != nil {
		h.err = fmt.Errorf("the reference of club %q, %s: %w", c.ID, c.Reference, err)
		return h
	}
	h.flags = append(h.flags, h.loaded(c, l.study.World.Up)...)
	return h
}

// What a hanging club may show at most. Markers of a still club move by their
// noise among themselves, 0.4 mm or less with cameras that can tell bend at all;
// stations and offsets are measured to a millimetre or so; and a driver held
// level droops by its own weight: 2 N on 0.9 m of 40 N m² by 12 mm. A
// club hung by hand passes; one laid on stands does not.
const (
	restless = 1e-3        // m
	misfit   = 2.5e-3      // m
	askew    = 30 / degree // rad from the vertical
)

// loaded returns the flags of a reference that does not look like an unloaded
// club: everything read out counts from it.
func (h hanging) loaded(c *Club, up string) []capture.Flag {
	var flags []capture.Flag
	add := func(format string, args ...any) {
		flags = append(flags, capture.Flag{Code: capture.PoorFit, Detail: fmt.Sprintf("the reference recording "+c.Reference+" "+format, args...)})
	}
	if n := h.pose.Noise; n > restless {
		add("moves in itself: its markers stray by %.1f mm from one rigid shape; record the club hanging still, with no hand on it", n*1e3)
	}
	if m := h.pose.Misfit; m > misfit {
		add("has the shaft's markers %.1f mm from their stations and offsets; measure these anew, or see that it is this club's", m*1e3)
	}
	if a := tilt(h.recording, c.Markers, up); a > askew {
		add("has the club %.0f° from the vertical, where its own weight bends it; record it hanging, or say which axis points up", a*degree)
	}
	return flags
}

// misscaled is the factor by which distances between markers must be off before
// that is the reason why a capture cannot be fitted: bending, and markers put on
// anew, change them by a few percent.
const misscaled = 1.2

// scale returns how many times as far apart neighbouring markers of the shaft are
// in a recording as on the hanging club: the median over markers and frames, NaN
// where there is none.
func (h hanging) scale(rec *capture.Recording, c *Club) float64 {
	var ratios []float64
	h.apart(rec, c, func(want float64, seen []float64) {
		for _, d := range seen {
			if k := d / want; !math.IsNaN(k) {
				ratios = append(ratios, k)
			}
		}
	})
	return median(ratios)
}

// apart calls do for every two neighbouring markers of the shaft: how far apart
// they are on the hanging club, m, and in the frames of a recording that show
// both.
func (h hanging) apart(rec *capture.Recording, c *Club, do func(want float64, seen []float64)) {
	marks := h.pose.Markers.Shaft
	for i := 1; i < len(marks); i++ {
		a, b := rec.Track(c.Markers.Shaft[i-1].Name), rec.Track(c.Markers.Shaft[i].Name)
		var seen []float64
		for f := range min(len(a), len(b)) {
			if d := r3.Norm(r3.Sub(a[f], b[f])); !math.IsNaN(d) {
				seen = append(seen, d)
			}
		}
		do(r3.Norm(r3.Sub(h.pose.Point[marks[i].Track], h.pose.Point[marks[i-1].Track])), seen)
	}
}

// median returns the median of x, which it sorts; the upper one of an even
// number, NaN of none.
func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return x[len(x)/2]
}

// tilt returns the angle between the club and the vertical, rad, NaN where it
// is not known which axis is vertical: the median over the frames.
func tilt(rec *capture.Recording, set capture.MarkerSet, up string) float64 {
	if up == "" {
		return math.NaN()
	}
	vertical := strings.IndexByte("xyz", up[1])
	var angles []float64
	for f := range rec.Frames() {
		club := r3.Sub(middle(rec, set.Head, f), middle(rec, set.Grip, f))
		along := [3]float64{club.X, club.Y, club.Z}[vertical]
		if a := math.Acos(math.Abs(along) / r3.Norm(club)); !math.IsNaN(a) {
			angles = append(angles, a)
		}
	}
	return median(angles)
}

// middle returns the mean position of the markers in a frame, NaN where one is
// not seen.
func middle(rec *capture.Recording, markers []string, frame int) r3.Vec {
	var sum r3.Vec
	for _, name := range markers {
		p := r3.Vec{X: math.NaN()}
		if track := rec.Track(name); frame < len(track) {
			p = track[frame]
		}
		sum = r3.Add(sum, p)
	}
	return r3.Scale(1/float64(len(markers)), sum)
}
