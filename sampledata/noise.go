package sampledata

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"
)

// Noise is how the cameras miss a marker's place. The zero Noise is none.
type Noise struct {
	White    float64 // standard deviation in each axis, independent from frame to frame, m
	Wander   float64 // standard deviation in each axis of an error that drifts, m
	Time     float64 // over which the drift forgets itself, s
	Dropouts float64 // short gaps of 1 to 6 frames, a second and marker
}

// A Gap is a stretch in which a marker is not seen, s after contact.
type Gap struct {
	Marker   string
	From, To float64
}

var unseen = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// spoil adds noise to a track of the given rate and takes its dropouts out.
func (n Noise) spoil(track []r3.Vec, rate float64, rng *rand.Rand) {
	normal := func(sd float64) r3.Vec {
		return r3.Vec{X: sd * rng.NormFloat64(), Y: sd * rng.NormFloat64(), Z: sd * rng.NormFloat64()}
	}
	if n.White > 0 {
		for i := range track {
			track[i] = r3.Add(track[i], normal(n.White))
		}
	}
	if n.Wander > 0 {
		// A first-order autoregression keeps its standard deviation when the
		// fresh part is √(1-a²) of it.
		keep := math.Exp(-1 / (rate * n.Time))
		drift := normal(n.Wander)
		for i := range track {
			track[i] = r3.Add(track[i], drift)
			drift = r3.Add(r3.Scale(keep, drift), normal(n.Wander*math.Sqrt(1-keep*keep)))
		}
	}
	if n.Dropouts > 0 {
		for i := range track {
			if rng.Float64() < n.Dropouts/rate {
				hide(track, i, i+1+rng.IntN(6))
			}
		}
	}
}

// hide marks frames from to to-1 as not seen.
func hide(track []r3.Vec, from, to int) {
	for i := max(from, 0); i < min(to, len(track)); i++ {
		track[i] = unseen
	}
}
