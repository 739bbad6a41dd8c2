package capture

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

var units = []Unit{Millimetre, Centimetre, Metre, Inch}

// toMetres returns a length in the unit in metres. Millimetres and centimetres
// divide, because 1000 and 100 are exact and a thousandth is not.
func (u Unit) toMetres(x float64) float64 {
	switch u {
	case Millimetre:
		return x / 1000
	case Centimetre:
		return x / 100
	case Inch:
		return x * 0.0254
	}
	return x
}

// WithUnit returns what the recording is if the numbers in its file are in u,
// and not in the unit they were taken to be in, Origin.Unit. The unit stays
// marked as guessed if it was. It panics if u is not a known unit.
func (r *Recording) WithUnit(u Unit) *Recording {
	if u.Metres() == 0 {
		panic(fmt.Sprintf("capture: unknown unit %q", u))
	}
	if u == r.origin.Unit {
		return r
	}
	scaled := *r
	scaled.origin.Unit = u
	factor := u.Metres() / r.unitMetres()
	scaled.origin.Residual *= factor
	scaled.points = make([]r3.Vec, len(r.points))
	for i, p := range r.points {
		scaled.points[i] = r3.Scale(factor, p)
	}
	return &scaled
}

// unitMetres returns the length of the unit the recording was read in, a metre
// if it was not read from a file.
func (r *Recording) unitMetres() float64 {
	if m := r.origin.Unit.Metres(); m > 0 {
		return m
	}
	return 1
}

const (
	// unitTolerance is the most by which the distances between shaft markers
	// may be off their stations for a unit to fit. Bending and the markers'
	// offsets from the axis make a few percent; the nearest two units are a
	// factor of 2.54 apart.
	unitTolerance = 0.1
	// unitFrames is the number of frames, spread over the recording, that are
	// looked at.
	unitFrames = 200
)

// GuessUnit returns the unit of the numbers in the file of r in which the
// distances between shaft markers agree best with their stations. A pair of
// markers counts by the median of its distance over the frames that show both,
// and the unit by the median over the pairs more than a third of the marked
// shaft apart. It returns false if there is no such pair, or if no unit comes
// within a tenth.
func (s MarkerSet) GuessUnit(r *Recording) (Unit, bool) {
	var longest float64
	for i, a := range s.Shaft {
		for _, b := range s.Shaft[i+1:] {
			longest = max(longest, math.Abs(a.Station-b.Station))
		}
	}
	var ratios, distances []float64
	for i, a := range s.Shaft {
		for _, b := range s.Shaft[i+1:] {
			apart := math.Abs(a.Station - b.Station)
			pa, pb := r.Track(a.Name), r.Track(b.Name)
			if apart == 0 || apart < longest/3 || pa == nil || pb == nil {
				continue
			}
			distances = distances[:0]
			for f := 0; f < r.frames; f += 1 + r.frames/unitFrames {
				if d := distance(pa[f], pb[f]); !math.IsNaN(d) {
					distances = append(distances, d)
				}
			}
			if len(distances) > 0 {
				ratios = append(ratios, median(distances)/apart)
			}
		}
	}
	if len(ratios) == 0 {
		return "", false
	}
	ratio := median(ratios) / r.unitMetres()
	best, off := Unit(""), math.Inf(1)
	for _, u := range units {
		if o := math.Abs(ratio*u.Metres() - 1); o < off {
			best, off = u, o
		}
	}
	return best, off <= unitTolerance
}

// clubSize is about how large the markers of a club make their cloud, m.
const clubSize = 1.1

// unitOfSize returns the unit in which the markers of a recording, whose points
// are still in the unit of the file, make a cloud nearest to the size of a
// club: the median over frames of the diagonal of the box around them, or the
// diagonal of the box around all of it if a frame shows fewer than two. Metres
// stand for nothing seen.
func unitOfSize(r *Recording) Unit {
	var diagonals []float64
	whole := emptyBox()
	for f := 0; f < r.frames; f += 1 + r.frames/unitFrames {
		box := emptyBox()
		for m := range r.names {
			box = include(box, r.points[m*r.frames+f])
			whole = include(whole, r.points[m*r.frames+f])
		}
		if d := r3.Norm(r3.Sub(box.Max, box.Min)); d > 0 && !math.IsInf(d, 0) {
			diagonals = append(diagonals, d)
		}
	}
	if len(diagonals) == 0 {
		diagonals = append(diagonals, r3.Norm(r3.Sub(whole.Max, whole.Min)))
	}
	size := median(diagonals)
	best, off := Metre, math.Inf(1)
	for _, u := range units {
		if o := math.Abs(math.Log(size * u.Metres() / clubSize)); o < off {
			best, off = u, o
		}
	}
	return best
}

func emptyBox() r3.Box {
	inf := math.Inf(1)
	return r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

// include returns the box grown to hold p, the same box if p is NaN.
func include(b r3.Box, p r3.Vec) r3.Box {
	if p.X != p.X {
		return b
	}
	return r3.Box{
		Min: r3.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)},
		Max: r3.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)},
	}
}

// median returns the median of xs, which it sorts; the upper one of an even
// number.
func median(xs []float64) float64 {
	slices.Sort(xs)
	return xs[len(xs)/2]
}
