package beam

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// departures returns how far stiffness departs from its taper.
func departures(t *testing.T, station, ei []float64) []Departure {
	t.Helper()
	d, err := Departures(station, ei)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A taper of its own form is recovered, and a dent in it found where it is.
func TestTaper(t *testing.T) {
	var station, ei []float64
	for i := range 12 {
		s := 0.1 * float64(i)
		station = append(station, s)
		ei = append(ei, 70*math.Exp(-0.8*s-0.3*s*s))
	}
	for _, d := range departures(t, station, ei) {
		near(t, "departure", d.Share, 0, 1e-12)
		near(t, "departure beside a bow", d.Bowed, 0, 1e-12)
	}
	if spots := SoftSpots(departures(t, station, ei), 0.01); spots != nil {
		t.Errorf("soft spots %v in a smooth taper", spots)
	}
	ei[6] *= 0.92
	ei[7] *= 0.94
	spots := SoftSpots(departures(t, station, ei), 0.03)
	if len(spots) != 1 || spots[0].From != station[6] || spots[0].To != station[7] || spots[0].Worst.Station != station[6] {
		t.Fatalf("soft spots %+v, want one from 0.6 to 0.7 m", spots)
	}
	near(t, "depth", spots[0].Worst.Share, -0.08, 0.006) // the fit hardly gives way to the dent
	if _, err := FitTaper(station[:3], ei[:3]); err == nil {
		t.Error("three stations gave a taper")
	}
	if _, err := Departures(station[:3], ei[:3]); err == nil {
		t.Error("three stations gave departures")
	}
}

// A shape is what a rough taper has besides: an S-shaped bow, as a share of EI,
// and a dent, a cosine, so deep and so wide about a centre, m.
type shape struct{ bow, depth, centre, width float64 }

// rough returns a taper of the shape, read at n stations with 1 % of noise, and
// what share of its stiffness the dent leaves at each.
func (b shape) rough(rng *rand.Rand, n int) (station, ei, left []float64) {
	for i := range n {
		s := 1.1 * float64(i) / float64(n-1)
		l := 1.0
		if u := (s - b.centre) / b.width; math.Abs(u) < 0.5 {
			l -= b.depth * math.Pow(math.Cos(math.Pi*u), 2)
		}
		station, left = append(station, s), append(left, l)
		smooth := 70 * math.Exp(-0.8*s-0.3*s*s+b.bow*math.Sin(2*math.Pi*s/1.1))
		ei = append(ei, smooth*l*(1+0.01*rng.NormFloat64()))
	}
	return station, ei, left
}

// A soft spot of 5 % is found in a shaft without one in at most 1 % of readings:
// never in a clean taper with 1 % of noise, and with an S-shaped bow of 3 % in
// 0.1 to 0.7 % (0.9 to 7 % by the parabola alone, which is what there is with
// fewer than six stations). Of 600 shafts with 0.7 %, more than 12 have one in
// less than a tenth of a percent of trials.
func TestNoSoftSpotWhereThereIsNone(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{6, 7, 9, 12, 20} {
		for _, bow := range []float64{0, 0.03, -0.03} {
			const shafts = 600
			found := 0
			for range shafts {
				station, ei, _ := shape{bow: bow, width: 1}.rough(rng, n)
				if SoftSpots(departures(t, station, ei), 0.05) != nil {
					found++
				}
			}
			t.Logf("%2d stations, bow %+.2f: %.1f %%", n, bow, 100*float64(found)/shafts)
			if found > 12 || bow == 0 && found > 3 {
				t.Errorf("%d stations, bow %v: soft spots in %d of %d shafts", n, bow, found, shafts)
			}
		}
	}
}

// How often a soft spot is found, wherever along the shaft it is, with a bow or
// without: what stands in DEVELOPERS.md. 400 draws know a share of 80 % to
// within 2 %; the least is what was found less three times as much or more.
func TestSoftSpotPower(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct {
		stations     int
		width, depth float64
		least        float64
	}{
		{9, 0.25, 0.10, 0.64}, {9, 0.25, 0.15, 0.86}, {9, 0.4, 0.10, 0.73}, {9, 0.4, 0.15, 0.91},
		{12, 0.15, 0.10, 0.60}, {12, 0.15, 0.15, 0.81}, {12, 0.25, 0.10, 0.81}, {12, 0.4, 0.10, 0.83},
		{20, 0.15, 0.10, 0.92}, {20, 0.25, 0.08, 0.76}, {20, 0.25, 0.10, 0.94}, {20, 0.4, 0.10, 0.91},
	} {
		const shafts = 400
		found, elsewhere := 0, 0
		for range shafts {
			b := shape{0.03 * float64(rng.IntN(3)-1), c.depth, 0.2 + 0.7*rng.Float64(), c.width}
			station, ei, _ := b.rough(rng, c.stations)
			for _, s := range SoftSpots(departures(t, station, ei), 0.05) {
				if math.Abs(s.Worst.Station-b.centre) < math.Max(c.width/2, 0.1) {
					found++
				} else {
					elsewhere++
				}
			}
		}
		share := float64(found) / shafts
		t.Logf("%2d stations, %.0f mm wide, %.0f %% deep: found %.0f %%, elsewhere %.1f %%", c.stations, c.width*1e3, c.depth*100, 100*share, 100*float64(elsewhere)/shafts)
		if share < c.least || float64(elsewhere) > 0.03*shafts {
			t.Errorf("%+v: found in %.2f, elsewhere %d of %d", c, share, elsewhere, shafts)
		}
	}
}

// A dent over 400 mm of the shaft's 1100, 20 % deep, is found where it is, near
// its depth, and nothing is found at the ends. (Least squares find a second one
// there in a quarter of the tapers of 20 stations, and two thirds of the depth.)
func TestWideDent(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, centre := range []float64{0.3, 0.45, 0.55, 0.65, 0.8} {
		for range 50 {
			station, ei, left := shape{0, 0.2, centre, 0.4}.rough(rng, 20)
			spots := SoftSpots(departures(t, station, ei), 0.05)
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
