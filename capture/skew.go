package capture

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// skewExplains is the share of the variance of distances that has to come
	// from a time skew to tell of one: it then spoils them more than all else.
	skewExplains = 0.5
	// skewFrames is the fewest frames that a skew is sought in.
	skewFrames = 50
	// skewSample is about how many frames, spread over the recording, tell the
	// usual distance of a pair: its median need not be within a tenth of
	// placeWithin.
	skewSample = 500
)

// A regression sums up the distances d of a pair of markers against the speed
// at which the second runs ahead of the first, x = u·v, where u is the
// direction from the first to the second and v the velocity of the pair. If the
// second is measured τ later than the first, it has gone on by vτ, and d is
// longer by xτ, to first order in τ.
type regression struct{ n, x, d, xx, xd, dd float64 }

func (g *regression) add(x, d float64) {
	g.n++
	g.x += x
	g.d += d
	g.xx += x * x
	g.xd += x * d
	g.dd += d * d
}

// slope returns τ by least squares, and the sums of squares of d about its mean
// and of what τ explains of it.
func (g *regression) slope() (tau, total, explained float64) {
	xx, xd := g.xx-g.x*g.x/g.n, g.xd-g.x*g.d/g.n
	if !(xx > 0) {
		return 0, 0, 0
	}
	return xd / xx, g.dd - g.d*g.d/g.n, xd * xd / xx
}

// skews returns when each marker of a rigid cluster is measured after the mean
// of them, s, and the share of the variance of their distances that this
// explains. Frames in which a distance is off by more than a marker out of its
// place makes it do not count.
func (r *Recording) skews(names []string) (late []float64, share float64) {
	late = make([]float64, len(names))
	var total, explained float64
	distances := make([]float64, 0, r.frames)
	for i, a := range names {
		for j := range i {
			ta, tb := r.Track(a), r.Track(names[j])
			distances = distances[:0]
			for f := 0; f < r.frames; f += 1 + r.frames/skewSample {
				if d := distance(tb[f], ta[f]); !math.IsNaN(d) {
					distances = append(distances, d)
				}
			}
			if len(distances) == 0 {
				continue
			}
			usual := median(distances)
			var g regression
			for f := 1; f < r.frames-1; f++ {
				apart := r3.Sub(tb[f], ta[f])
				d := math.Sqrt(r3.Norm2(apart))
				v := r3.Scale(r.rate/4, r3.Add(r3.Sub(ta[f+1], ta[f-1]), r3.Sub(tb[f+1], tb[f-1])))
				if x := r3.Dot(apart, v) / d; math.Abs(d-usual) <= placeWithin && !math.IsNaN(x) {
					g.add(x, d-usual)
				}
			}
			if g.n < skewFrames {
				continue
			}
			tau, of, by := g.slope()
			total += of
			explained += by
			// Least squares over all pairs of n markers is the mean over them, each
			// with itself at 0.
			late[j] += tau / float64(len(names))
			late[i] -= tau / float64(len(names))
		}
	}
	if total == 0 {
		return late, 0
	}
	return late, explained / total
}

// skewFlags tells of clusters whose markers are not measured at one time.
func (r *Recording) skewFlags(set MarkerSet) []Flag {
	var flags []Flag
	for _, cluster := range [][]string{set.Grip, set.Head} {
		var names []string
		for _, name := range cluster {
			if r.Track(name) != nil {
				names = append(names, name)
			}
		}
		late, share := r.skews(names)
		if !(share > skewExplains) {
			continue
		}
		first, last := 0, 0
		for i, t := range late {
			if t < late[first] {
				first = i
			}
			if t > late[last] {
				last = i
			}
		}
		flags = append(flags, Flag{Code: TimeSkew, Marker: names[last], Detail: fmt.Sprintf(
			"markers are not measured at one time in a frame: %s comes %.2g ms after %s, which explains %.0f %% of the variance of their distances",
			names[last], 1000*(late[last]-late[first]), names[first], 100*share)})
	}
	return flags
}
