package beam

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A taper of its own form is recovered, and a dent in it found where it is.
func TestTaper(t *testing.T) {
	var station, ei []float64
	for i := range 12 {
		s := 0.1 * float64(i)
		station = append(station, s)
		ei = append(ei, 70*math.Exp(-0.8*s-0.3*s*s))
	}
	fit, err := FitTaper(station, ei)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range fit.Departures(station, ei) {
		near(t, "departure", d.Share, 0, 1e-12)
	}
	if spots := SoftSpots(fit.Departures(station, ei), 0.01); spots != nil {
		t.Errorf("soft spots %v in a smooth taper", spots)
	}
	ei[6] *= 0.92
	ei[7] *= 0.94
	if fit, err = FitTaper(station, ei); err != nil {
		t.Fatal(err)
	}
	spots := SoftSpots(fit.Departures(station, ei), 0.03)
	if len(spots) != 1 || spots[0].From != station[6] || spots[0].To != station[7] || spots[0].Worst.Station != station[6] {
		t.Fatalf("soft spots %+v, want one from 0.6 to 0.7 m", spots)
	}
	near(t, "depth", spots[0].Worst.Share, -0.08, 0.006) // the fit hardly gives way to the dent
	if _, err := FitTaper(station[:3], ei[:3]); err == nil {
		t.Error("three stations gave a taper")
	}
}

// roughTaper returns a taper read at n stations with 1 % of noise, and what share
// of its stiffness a dent leaves at each: a cosine, depth deep and width wide
// about centre.
func roughTaper(rng *rand.Rand, n int, depth, centre, width float64) (station, ei, left []float64) {
	for i := range n {
		s := 1.1 * float64(i) / float64(n-1)
		l := 1.0
		if u := (s - centre) / width; math.Abs(u) < 0.5 {
			l -= depth * math.Pow(math.Cos(math.Pi*u), 2)
		}
		station, left = append(station, s), append(left, l)
		ei = append(ei, 70*math.Exp(-0.8*s-0.3*s*s)*l*(1+0.01*rng.NormFloat64()))
	}
	return station, ei, left
}

// Noise of 1 % makes no soft spot of 5 % in a clean taper.
func TestCleanTaperHasNoSoftSpot(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{7, 9, 12, 20} {
		for range 200 {
			station, ei, _ := roughTaper(rng, n, 0, 0, 1)
			fit, err := FitTaper(station, ei)
			if err != nil {
				t.Fatal(err)
			}
			if spots := SoftSpots(fit.Departures(station, ei), 0.05); spots != nil {
				t.Errorf("%d stations: soft spots %+v", n, spots)
			}
		}
	}
}

// A dent over 400 mm of the shaft's 1100, 20 % deep, is found where it is, near
// its depth, and nothing is found at the ends. (Least squares find a second one
// there in a quarter of the tapers of 20 stations, and two thirds of the depth.)
func TestWideDent(t *testing.T) {
	const depth = 0.2
	rng := rand.New(rand.NewPCG(3, 4))
	for _, centre := range []float64{0.3, 0.45, 0.55, 0.65, 0.8} {
		for range 50 {
			station, ei, left := roughTaper(rng, 20, depth, centre, 0.4)
			fit, err := FitTaper(station, ei)
			if err != nil {
				t.Fatal(err)
			}
			spots := SoftSpots(fit.Departures(station, ei), 0.05)
			if len(spots) != 1 {
				t.Fatalf("dent at %v m: soft spots %+v, want one", centre, spots)
			}
			if s := spots[0]; math.Abs(s.From-centre) > 0.2 || math.Abs(s.To-centre) > 0.2 {
				t.Errorf("dent at %v m: soft from %v to %v m", centre, s.From, s.To)
			}
			near(t, "depth", spots[0].Worst.Share, slices.Min(left)-1, 0.06)
		}
	}
}

// The example of ASTM E1049-85, figure 6.
func TestRainflow(t *testing.T) {
	got := map[float64]float64{}
	x := []float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}
	for _, c := range Rainflow(x) {
		got[c.Range] += c.Count
	}
	want := map[float64]float64{3: 0.5, 4: 1.5, 6: 0.5, 8: 1, 9: 0.5}
	if len(got) != len(want) {
		t.Errorf("ranges %v, want %v", got, want)
	}
	for r, n := range want {
		if got[r] != n {
			t.Errorf("range %v: %v cycles, want %v", r, got[r], n)
		}
	}
	// The full cycle is that between −1 and 3.
	for _, c := range Rainflow(x) {
		if c.Count == 1 && (c.Range != 4 || c.Mean != 1) {
			t.Errorf("full cycle %+v, want 4 about 1", c)
		}
	}
}

// Points on the way, repeats and gaps change nothing; a mirror image has the
// same ranges; no history, no cycles.
func TestRainflowKeepsTurns(t *testing.T) {
	x := []float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}
	want := Rainflow(x)
	var fine, mirror []float64
	for i, v := range x {
		mirror = append(mirror, -v)
		fine = append(fine, v, v, math.NaN())
		if i+1 < len(x) {
			fine = append(fine, v+0.3*(x[i+1]-v), v+0.7*(x[i+1]-v))
		}
	}
	for i, c := range Rainflow(fine) {
		if c != want[i] {
			t.Errorf("cycle %d is %+v, want %+v", i, c, want[i])
		}
	}
	for i, c := range Rainflow(mirror) {
		if c.Range != want[i].Range || c.Count != want[i].Count || c.Mean != -want[i].Mean {
			t.Errorf("mirrored cycle %d is %+v, want %+v", i, c, want[i])
		}
	}
	for _, none := range [][]float64{nil, {1}, {2, 2, 2}, {math.NaN()}} {
		if c := Rainflow(none); c != nil {
			t.Errorf("%v has cycles %v", none, c)
		}
	}
}

// Ten cycles of twice the range count as 10·2^m.
func TestRigCycles(t *testing.T) {
	for _, slope := range []float64{3, 8, 12} {
		near(t, "cycles", RigCycles([]Cycle{{Range: 2, Count: 9.5}, {Range: 2, Count: 0.5}}, 1, slope), 10*math.Pow(2, slope), 1e-9)
	}
}
