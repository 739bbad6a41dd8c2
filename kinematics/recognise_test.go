package kinematics_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// shuffled shows every so many frames of a subject, its points in a random
// order with strays among them; is tells which track each point is, −1 for a
// stray.
func (s subject) shuffled(rng *rand.Rand, every, strays int, show func(points []r3.Vec, is []int)) {
	for i := rng.IntN(every); i < len(s.tracks[0]); i += every {
		var points []r3.Vec
		var is []int
		for t, path := range s.tracks {
			if path != nil && !math.IsNaN(path[i].X) {
				points, is = append(points, path[i]), append(is, t)
			}
		}
		about := points[0]
		for range strays {
			points = append(points, r3.Add(about, r3.Vec{X: 2*rng.Float64() - 1, Y: 2*rng.Float64() - 1, Z: 2*rng.Float64() - 1}))
			is = append(is, -1)
		}
		rng.Shuffle(len(points), func(a, b int) {
			points[a], points[b] = points[b], points[a]
			is[a], is[b] = is[b], is[a]
		})
		show(points, is)
	}
}

// Shuffled points of random clubs in random swings, with strays, are told by
// their places.
func TestRecognise(t *testing.T) {
	var right, wrong, missed, strays, taken, frames, found int
	for seed := range uint64(12) {
		s := newSubject(t, 500+seed, nil)
		rng := rand.New(rand.NewPCG(seed, 3))
		r := kinematics.NewRecogniser(s.ref)
		s.shuffled(rng, 150, 10, func(points []r3.Vec, is []int) {
			frames++
			share := r.Recognise(points)
			if share == nil {
				return
			}
			found++
			for p, row := range share {
				best, most := -1, 0.5
				for m, v := range row {
					if v > most {
						best, most = m, v
					}
				}
				switch {
				case is[p] < 0 && best >= 0:
					taken++
				case is[p] < 0:
					strays++
				case best < 0:
					missed++
				case best == is[p]:
					right++
				default:
					wrong++
				}
			}
		})
	}
	t.Logf("%d frames, the club found in %d; points right %d, wrong %d, missed %d; strays %d, taken for markers %d", frames, found, right, wrong, missed, strays, taken)
	if found < frames*98/100 {
		t.Errorf("the club was found in %d of %d frames", found, frames)
	}
	if wrong+taken > right/500 {
		t.Errorf("%d points got another's label and %d strays got one, of %d right", wrong, taken, right)
	}
	if missed > right/20 {
		t.Errorf("%d points were not told, of %d right", missed, right)
	}
}

func TestRecogniseFindsNoClubWhereThereIsNone(t *testing.T) {
	s := newSubject(t, 1, nil)
	r := kinematics.NewRecogniser(s.ref)
	rng := rand.New(rand.NewPCG(1, 3))
	for range 30 {
		points := make([]r3.Vec, 40)
		for i := range points {
			points[i] = r3.Vec{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}
		}
		if r.Recognise(points) != nil {
			t.Fatal("a club was found among points at random")
		}
	}
	if r.Recognise(nil) != nil || r.Recognise([]r3.Vec{gone, gone}) != nil {
		t.Error("a club was found where nothing is seen")
	}
}

func BenchmarkRecognise(b *testing.B) {
	s := newSubject(b, 1, nil)
	r := kinematics.NewRecogniser(s.ref)
	rng := rand.New(rand.NewPCG(1, 3))
	var all [][]r3.Vec
	s.shuffled(rng, 150, 10, func(points []r3.Vec, _ []int) { all = append(all, points) })
	for i := 0; b.Loop(); i++ {
		r.Recognise(all[i%len(all)])
	}
}
