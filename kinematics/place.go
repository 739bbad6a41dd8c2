package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// setPlaces takes off what the first pass leaves of each marker throughout the
// frames before upTo: that is no noise of the run, but a marker that sits
// elsewhere on the club than the reference recording showed it, as where the
// cameras are off by a tenth of a millimetre there. How far such errors go is
// counted in the uncertainty of every marker's place.
//
// A fit takes its share of the errors of place as of noise; the middle marker
// stands for all (see setNoise), and one that is far off counts for itself. They
// mislead values by a fifth more than the equations say, since the prior, too, is
// learnt from markers that are off: a type B evaluation over simulated runs that
// were fitted with an exact reference and with one that is off.
func (f *fit) setPlaces(upTo int) {
	const (
		fewest = 10  // frames
		enough = 700 // frames: a middle of theirs is known to a twentieth of the noise
	)
	middle := make([]r3.Vec, len(f.marks))
	var far []float64
	for k, left := range f.left {
		var x, y, z []float64
		for i := 0; i < upTo; i += 1 + upTo/enough {
			if v := left[i]; !math.IsNaN(v.X) {
				x, y, z = append(x, v.X), append(y, v.Y), append(z, v.Z)
			}
		}
		if len(x) < fewest {
			continue
		}
		for _, c := range [][]float64{x, y, z} {
			slices.Sort(c)
		}
		h := len(x) / 2
		middle[k] = r3.Vec{X: x[h], Y: y[h], Z: z[h]}
		far = append(far, r3.Norm2(middle[k]))
		for i, v := range left {
			left[i] = r3.Sub(v, middle[k])
		}
	}
	if len(far) == 0 {
		return
	}
	slices.Sort(far)
	const misled = 1.2
	usual := misled * math.Sqrt(far[len(far)/2]/2.366) * f.share()
	for k := range f.marks {
		m := &f.marks[k]
		m.sd = math.Max(m.sd, math.Max(usual, r3.Norm(middle[k])/3))
	}
}

// share is by how much the standard deviation of what is put into a fit is more
// than that of what it leaves: its unknowns use up a part.
func (f *fit) share() float64 {
	return 1 / math.Sqrt(math.Max(0.2, 1-float64(dims)/float64(3*len(f.marks))))
}
