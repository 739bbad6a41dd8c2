package kinematics

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The first look finds the noise from all its frames, however many the recording
// has: of 3σ², the middle of 150 is within some 8 %.
func TestNoiseOfTheFirstLook(t *testing.T) {
	const sd = 2e-4
	for n := 1000; n <= 20000; n += 500 {
		rng := rand.New(rand.NewPCG(1, uint64(n)))
		f := &fit{bentClub: &bentClub{marks: make([]mark, 10)}, n: n, first: make([]state, n), sigma: make([]float64, 10)}
		for i := range n {
			f.first[i].pose = unknown
			if i%f.look() == 0 {
				f.first[i].pose = Identity
			}
		}
		for range f.marks {
			left := make([]r3.Vec, n)
			for i := range left {
				left[i] = nan3
				if f.first[i].pose.Known() {
					left[i] = r3.Vec{X: sd * rng.NormFloat64(), Y: sd * rng.NormFloat64(), Z: sd * rng.NormFloat64()}
				}
			}
			f.left = append(f.left, left)
		}
		f.setNoise(n)
		share := math.Sqrt(1 - dims/float64(3*len(f.marks))) // of the data that the unknowns leave
		for k, s := range f.sigma {
			if off := s*share/sd - 1; !(math.Abs(off) < 0.25) {
				t.Errorf("%d frames, marker %d: noise is off by %.0f %%", n, k, 100*off)
			}
		}
	}
}
