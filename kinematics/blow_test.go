package kinematics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

// blown returns the path of a head, at 2500 frames a second, on a cubic that a
// blow of the given length, s, about frame x = middle turns into another.
func blown(middle, length float64) []r3.Vec {
	const rate = 2500
	path := make([]r3.Vec, 400)
	for i := range path {
		t := (float64(i) - 200) / rate
		u := blow(float64(i)-middle, length*rate) / rate
		path[i] = r3.Vec{
			X: 1 + 42*t - 900*t*t - 6e4*t*t*t - 14*u + 2000*u*u + 3e5*u*u*u,
			Y: 3*t + 1800*t*t - 3*u,
			Z: 0.1 - 5*t + 1500*t*t - 1e4*t*t*t + 2*u - 500*u*u,
		}
	}
	return path
}

// Without noise, a path of the very form that is fitted gives its middle and its
// length of contact back.
func TestBlowFitFindsWhatItIsMadeFor(t *testing.T) {
	for _, length := range []float64{0, 0.2e-3, 0.45e-3} {
		for _, middle := range []float64{200, 200.2, 200.5, 200.93} {
			m, err := findMeeting(blown(middle, length), 2500)
			if err != nil {
				t.Fatal(err)
			}
			if got := m.middle(length); math.Abs(got-middle) > 1e-3 {
				t.Errorf("contact of %.2f ms about frame %.2f: middle found at %.4f", length*1e3, middle, got)
			}
			// No length is likelier than the true one; with 0.45 ms a frame lies well
			// inside the contact, so that no other is as likely.
			j := int(math.Round(length / lengthsStep))
			if best := floats.MaxIdx(m.contact[:]); m.contact[best] > m.contact[j]+0.1 || length > 0.4e-3 && best != j {
				t.Errorf("contact of %.2f ms about frame %.2f: %.3f ms is likeliest", length*1e3, middle, float64(best)*lengthsStep*1e3)
			}
		}
	}
}

// blow is the double integral of a half-sine of force with the impulse 1.
func TestBlowIsTheIntegralOfItsRate(t *testing.T) {
	const length, d = 1.3, 1e-5
	for _, at := range []float64{-1, -0.6, -0.2, 0, 0.3, 0.6, 2} {
		rate := (blow(at+d, length) - blow(at-d, length)) / (2 * d)
		if math.Abs(rate-blowRate(at, length)) > 1e-9 {
			t.Errorf("at %v the rate is %v, not %v", at, blowRate(at, length), rate)
		}
	}
	if got := blowRate(0, length); math.Abs(got-0.5) > 1e-15 {
		t.Errorf("half of the impulse is given at the middle, not %v", got)
	}
}

func TestPathNoiseIsThatOfWhiteNoise(t *testing.T) {
	path := blown(200, 0)
	if got := pathNoise(path, 199, 2500); got > 1e-8 {
		t.Errorf("noise of a cubic: %v m", got)
	}
	for i := range path { // one frame in five off by 0.1 mm: fourth differences 1, −4, 6, −4, 1
		if i%5 == 0 {
			path[i].X += 0.1e-3
		}
	}
	// The sum of squares of the five is 70; one coordinate of three has it.
	if got, want := pathNoise(path, 199, 2500), 0.1e-3/math.Sqrt(15); math.Abs(got/want-1) > 0.05 {
		t.Errorf("noise %v m, not %v", got, want)
	}
}

func BenchmarkMeeting(b *testing.B) {
	path := blown(200.3, 0.45e-3)
	for b.Loop() {
		if _, err := findMeeting(path, 2500); err != nil {
			b.Fatal(err)
		}
	}
}
