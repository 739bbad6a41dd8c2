package kinematics

import (
	"math"
	"testing"
)

func TestCubicsPassThroughUnchanged(t *testing.T) {
	f := func(x int) float64 { v := float64(x); return 2 - v + 0.3*v*v - 0.01*v*v*v }
	x := []int{3, 9, 15, 16}
	for at := 3; at <= 20; at++ { // also beyond
		var sum float64
		for i, w := range through(x, at) {
			sum += w * f(x[i])
		}
		near(t, "cubic", sum, f(at), 1e-9*math.Abs(f(at))+1e-9)
	}
	one := through([]int{7}, 9)
	near(t, "a single value goes on", one[0], 1, 0)
}

// Every frame of a stretch has supports on both sides, no further apart than the
// smoothing allows; near impact every frame is one.
func TestSupportsTellOfEveryFrame(t *testing.T) {
	for _, c := range []struct {
		rate, cutOff float64
		apart        int
	}{{2500, 40, 5}, {5000, 40, 8}, {2000, 400, 1}} {
		f := &fit{n: 1000, before: 700, rate: c.rate, cutOff: c.cutOff}
		for _, p := range []*paths{{from: 13, n: 687}, {from: 700, n: 300}} {
			s := f.supports(p)
			if s.apart != c.apart {
				t.Errorf("%g Hz at %g frames a second: %d frames apart, want %d", c.cutOff, c.rate, s.apart, c.apart)
			}
			for i := p.from; i < p.from+p.n; i++ {
				first, last, ok := s.around(i)
				if !ok || last-first != 4 || s.frame[first] > i || s.frame[last-1] < i {
					t.Fatalf("frame %d has supports %d to %d, %v", i, first, last, ok)
				}
				if off := i - f.before; off >= -10 && off < 10 && c.apart >= 5 && s.frame[first] != i && s.frame[first+1] != i && s.frame[first+2] != i && s.frame[first+3] != i {
					t.Errorf("frame %d, near impact, is not fitted", i)
				}
			}
		}
	}
	// Where supports could not be fitted, the frames between are not known.
	s := &supports{apart: 5, frame: []int{0, 5, 10, 30, 35, 40}}
	for frame, want := range map[int]bool{7: true, 10: true, 12: false, 29: false, 30: true, 33: true} {
		if _, _, ok := s.around(frame); ok != want {
			t.Errorf("frame %d is known: %v, want %v", frame, ok, want)
		}
	}
}
