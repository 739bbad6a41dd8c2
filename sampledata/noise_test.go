package sampledata

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestNoise(t *testing.T) {
	const n, rate = 200_000, 2500
	track := make([]r3.Vec, n)
	Noise{Wander: 2e-4, Time: 4e-3}.spoil(track, rate, rand.New(rand.NewPCG(1, 1)))
	var square, lagged float64
	const lag = 10 // frames: one time constant
	for i := lag; i < n; i++ {
		square += r3.Norm2(track[i]) / 3
		lagged += r3.Dot(track[i], track[i-lag]) / 3
	}
	// About n/lag independent values in each axis: 1 % is two standard errors.
	near(t, "standard deviation of the drift, m", math.Sqrt(square/(n-lag)), 2e-4, 4e-6)
	near(t, "correlation over its time", lagged/square, math.Exp(-1), 0.03)

	clear(track)
	Noise{White: 1e-4, Dropouts: 2}.spoil(track, rate, rand.New(rand.NewPCG(1, 2)))
	square = 0
	seen := 0.0
	for _, p := range track {
		if !math.IsNaN(p.X) {
			square += r3.Norm2(p) / 3
			seen++
		}
	}
	near(t, "standard deviation of the white noise, m", math.Sqrt(square/seen), 1e-4, 5e-7)
	near(t, "share not seen", 1-seen/n, 2*3.5/rate, 6e-4)
}

func TestGapsHideAMarker(t *testing.T) {
	cfg := quiet(1)
	cfg.Gaps = []Gap{{"S09", -0.1, -0.088}}
	c := Simulate(cfg, nil)
	for i, p := range c.Recording.Track("S09") {
		at := c.Recording.Time(i) - cfg.Before
		if gap := at >= -0.1 && at < -0.088; math.IsNaN(p.Y) != gap {
			t.Fatalf("frame %d, %v s after contact: hidden %v, want %v", i, at, math.IsNaN(p.Y), gap)
		}
	}
	for _, p := range c.Recording.Track("S08") {
		if math.IsNaN(p.X) {
			t.Fatal("the gap hid another marker")
		}
	}
}
