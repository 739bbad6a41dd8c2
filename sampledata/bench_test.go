package sampledata

import (
	"math"
	"testing"
)

func linear(from, to, a, b float64) func(float64) float64 {
	return func(s float64) float64 { return a + (b-a)*(s-from)/(to-from) }
}

// Against the exact first frequency of a cantilever with a mass mu times its own
// at the tip: b² from 1 + cos b cosh b + mu b (cos b sinh b - sin b cosh b) = 0
// (roots as in Math. Probl. Eng. 2017, 1568019, Table 1).
func TestCyclesPerMinute(t *testing.T) {
	const ei, length, density = 40, 1, 0.06
	for mu, root := range map[float64]float64{1: 1.247917, 2: 1.076196, 4: 0.917358, 10: 0.735782} {
		want := 60 / (2 * math.Pi) * root * root * math.Sqrt(ei/density)
		got := cyclesPerMinute(func(float64) float64 { return ei }, 0, length, mu*density*length, density)
		near(t, "frequency", got/want, 1.0005, 0.0006) // Rayleigh's quotient is never low
	}
	// A weightless taper whose EI falls to a third deflects by 0.411980 P L³/EI at
	// its tip, with EI at the clamp.
	got := cyclesPerMinute(linear(0.1, 1.1, 60, 20), 0.1, 1.1, 0.2, 0)
	near(t, "frequency of a taper", got, 60/(2*math.Pi)*math.Sqrt(60/0.411980/0.2), 1e-3)
}

// Three-point bend of a uniform beam deflects by F S³ / 48 EI; a taper of
// 40 N m²/m at 25 N m² reads 0.257 % low over 200 mm, 0.582 % over 300 mm.
func TestThreePoint(t *testing.T) {
	uniform := threePointDeflection(func(float64) float64 { return 30 }, 0.5, 0.3, 50)
	near(t, "uniform, m", uniform, 50*0.027/48/30, 1e-9)
	for span, bias := range map[float64]float64{0.2: -0.00257, 0.3: -0.00582} {
		y := threePointDeflection(linear(0.4, 0.6, 29, 21), 0.5, span, 50)
		near(t, "bias of a taper", 50*math.Pow(span, 3)/48/y/25-1, bias, 1e-5)
	}
}

// 349.8 g balanced at 824 mm give 227.5 oz in.
func TestSwingWeight(t *testing.T) {
	near(t, "swing weight, oz in", swingWeight(0.3498, 0.824), 227.5, 0.05)
}
