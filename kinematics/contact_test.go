package kinematics

import (
	"math"
	"math/rand/v2"
	"testing"
)

// How well first contact can be told from one run: the least root mean square
// error that any estimator reaches (the Bayes risk) who knows the head's paths
// before and after the blow exactly, the law of the force, and how often each
// length of contact occurs, and lacks nothing but the length. A run's own
// estimate must come close to it; that it lies above what one would wish for is
// why a study's runs are pooled.
//
// Lengths and rates are those of sampledata.RandomConfig; the head loses
// 14.4 m/s; a coordinate of the head point of one frame is known to 0.42 of a
// marker's noise, as the fit of one frame leaves it. Where noise wanders over 4 ms,
// what is new in a frame of the contact is the white part.
func TestContactOfOneRunIsBounded(t *testing.T) {
	for _, c := range []struct {
		noise float64 // of a marker, m
		fit   float64 // what Fit reaches in DEVELOPERS.md, ms
	}{{0.02e-3, 0.035}, {0.2e-3, 0.077}, {0.4e-3, 0.100}, {0.1e-3, 0.064}} {
		bound := contactBound(0.42*c.noise) * 1e3
		t.Logf("%.3f mm: first contact of one run to %.3f ms at best, Fit %.3f ms", c.noise*1e3, bound, c.fit)
		if c.fit < 0.97*bound {
			t.Errorf("%.3f mm: Fit is said to reach %.3f ms, less than the least there can be, %.3f ms", c.noise*1e3, c.fit, bound)
		}
	}
}

// contactBound returns the least root mean square error of first contact, s, for
// a head point known to within sd in each coordinate, m.
func contactBound(sd float64) float64 {
	const (
		runs  = 4000
		lost  = 14.4 // m/s
		kinds = 22   // of contact: instant, and 21 lengths from 0.4 to 0.5 ms
	)
	var length, prior [kinds]float64
	prior[0] = 1. / 3
	for k := 1; k < kinds; k++ {
		length[k], prior[k] = 0.4e-3+0.1e-3*float64(k-1)/(kinds-2), 2./3/(kinds-1)
	}
	rng := rand.New(rand.NewPCG(11, 1))
	var sum float64
	for range runs {
		rate := 2000 + 3000*rng.Float64()
		truth := 0.0
		if rng.IntN(3) > 0 {
			truth = length[1+rng.IntN(kinds-1)]
		}
		var log [kinds]float64
		for at := (rng.Float64() - 2) / rate; at < 0.3e-3; at += 1 / rate { // of a frame, from the middle of the blow
			off := lost*blow(at, truth) + sd*rng.NormFloat64()
			for k := range kinds {
				d := (off - lost*blow(at, length[k])) / sd
				log[k] -= d * d / 2
			}
		}
		most := math.Inf(-1)
		for _, l := range log {
			most = math.Max(most, l)
		}
		var total, mean float64
		for k, l := range log {
			w := prior[k] * math.Exp(l-most)
			total += w
			mean += w * length[k]
		}
		// First contact lies half the length before the middle, which is known.
		sum += math.Pow((mean/total-truth)/2, 2)
	}
	return math.Sqrt(sum / runs)
}
