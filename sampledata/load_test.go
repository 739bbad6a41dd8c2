package sampledata

import (
	"math"
	"testing"
)

// Along the shaft the moment is 0 at the butt, largest near the lower hand and
// not 0 at the tip; curvature has no jump.
func TestLoadsAlongTheShaft(t *testing.T) {
	const length = 1.13
	for _, pull := range []float64{0, 0.5, 1, 1.8} {
		l := Load{Hands: 0.21, Tip: 0.2, Pull: pull}
		largest, at := 0.0, 0.0
		for s := 0.0; s <= length; s += 1e-4 {
			v := l.along(s, length)
			if v > largest {
				largest, at = v, s
			}
			if step := math.Abs(l.along(s+1e-4, length) - v); step > 2e-3 {
				t.Errorf("pull %v: jump of %v at %v", pull, step, s)
			}
		}
		near(t, "station of the largest moment", at, l.Hands, 0.02)
		near(t, "largest", largest, 1, 0.05)
		near(t, "at the butt", l.along(0, length), 0, 0)
		near(t, "at the tip", l.along(length, length), l.Tip, 1e-12)
	}
	tiny := Load{Hands: 0.21, Tip: 0.2, Pull: 1e-4}
	none := Load{Hands: 0.21, Tip: 0.2}
	near(t, "limit of no pull", tiny.along(0.6, length), none.along(0.6, length), 1e-8)
}
