package kinematics_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"

	"gonum.org/v1/gonum/spatial/r3"
)

// late returns a subject in which tracks are measured later than the frames'
// times, by s: of the same swing, recorded eight times as fast without noise.
func late(t testing.TB, seed uint64, noise float64, by map[int]float64) subject {
	const fine = 8
	var rate float64
	quiet := newSubject(t, seed, func(cfg *sampledata.Config) {
		rate = cfg.Rate
		cfg.Rate *= fine
		cfg.Noise, cfg.Gaps = sampledata.Noise{}, nil
	})
	rng := rand.New(rand.NewPCG(seed, 21))
	s := quiet
	s.rate = rate
	s.tracks = nil
	for k, path := range quiet.tracks {
		var own []r3.Vec
		for i := fine; i+2*fine < len(path); i += fine {
			x := float64(i) + by[k]*rate*fine
			j := int(math.Floor(x))
			u := x - float64(j)
			p := r3.Add(r3.Scale(1-u, path[j]), r3.Scale(u, path[j+1]))
			own = append(own, r3.Add(p, r3.Scale(noise, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		s.tracks = append(s.tracks, own)
	}
	return s
}

// Skew of single markers, 30 to 200 µs either way, is found within its stated
// uncertainty, and what it does to the values is undone.
func TestSkewIsFoundAndPutRight(t *testing.T) {
	inside, all := 0, 0
	for seed := range uint64(5) {
		rng := rand.New(rand.NewPCG(seed, 9))
		by := map[int]float64{}
		ref := newSubject(t, seed, nil).ref
		for _, k := range rng.Perm(len(ref.Point))[:1+int(seed)%3] {
			by[k] = (30e-6 + 170e-6*rng.Float64()) * float64(1-2*rng.IntN(2))
		}
		s := late(t, seed, 0.2e-3, by)
		sw := s.fit(t, kinematics.Options{})
		clean := late(t, seed, 0.2e-3, nil)
		want := clean.fit(t, kinematics.Options{})
		for k, v := range by {
			i := slices.IndexFunc(sw.Skewed, func(w kinematics.Skew) bool { return w.Track == k })
			if i < 0 {
				t.Errorf("seed %d: track %d, %.0f µs late, was not found", seed, k, v*1e6)
				continue
			}
			got := sw.Skewed[i].By
			all++
			if math.Abs(got.Value-v) <= got.U95 {
				inside++
			}
			t.Logf("seed %d: track %2d %.1f µs late, found %.1f ± %.1f", seed, k, v*1e6, got.Value*1e6, got.U95*1e6)
		}
		for _, w := range sw.Skewed {
			if by[w.Track] == 0 {
				t.Errorf("seed %d: track %d is not late, found %.1f ± %.1f µs", seed, w.Track, w.By.Value*1e6, w.By.U95*1e6)
			}
		}
		d, e := sw.AtImpact, want.AtImpact
		if math.Abs(d.Lead.Value-e.Lead.Value) > 0.7e-3 || math.Abs(d.Droop.Value-e.Droop.Value) > 0.7e-3 || math.Abs(d.Twist.Value-e.Twist.Value)*deg > 0.15 {
			t.Errorf("seed %d: lead %.2f mm, droop %.2f mm, twist %.2f deg; without skew %.2f, %.2f, %.2f", seed,
				d.Lead.Value*1e3, d.Droop.Value*1e3, d.Twist.Value*deg, e.Lead.Value*1e3, e.Droop.Value*1e3, e.Twist.Value*deg)
		}
	}
	if all-inside > 1 {
		t.Errorf("%d of %d skews lie inside u95", inside, all)
	}
}

// Captures without skew show none: of random clubs and swings, with noise that
// wanders, gaps, and stiffness tables that are wrong.
func TestNoSkewIsFoundWhereThereIsNone(t *testing.T) {
	for seed := range uint64(8) {
		s := newSubject(t, 300+seed, nil)
		if sw := s.fit(t, kinematics.Options{}); len(sw.Skewed) > 0 {
			t.Errorf("seed %d, noise %+v: %+v", 300+seed, s.cfg.Noise, sw.Skewed)
		}
	}
}
