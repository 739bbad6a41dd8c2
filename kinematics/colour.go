package kinematics

import (
	"math"
)

// colour returns how the markers' noise wanders, from what the first pass
// leaves in the frames before upTo. The fit of a frame takes its share of the
// noise alike at every lag, so that the correlation of what is left from frame
// to frame is that of the noise.
//
// It is fitted as white noise and an autoregressive path of order 1 (correlation
// ρ to the power of the lag), over lags of up to 12 ms; correlation times from
// 0.5 to 10 ms are tried. Camera noise is not simply white (Skurowski and
// Pawlyta, Sensors 19:4435, 2019).
func (f *fit) colour(upTo int) colour {
	const (
		reach    = 0.012 // s
		shortest = 0.5e-3
		longest  = 10e-3
		steps    = 16
	)
	const starts = 1000 // frames, spread over the run, are compared with those after them
	lags := int(reach * f.rate)
	r := make([]float64, lags+1)
	n := make([]float64, lags+1)
	for _, left := range f.left {
		for i := 0; i < upTo; i += 1 + upTo/starts {
			a := left[i]
			if math.IsNaN(a.X) {
				continue
			}
			for k := range min(lags+1, upTo-i) {
				if b := left[i+k]; !math.IsNaN(b.X) {
					r[k] += a.X*b.X + a.Y*b.Y + a.Z*b.Z
					n[k]++
				}
			}
		}
	}
	for k := range r {
		if n[k] == 0 {
			return colour{}
		}
		r[k] /= n[k]
	}
	best := colour{}
	least := math.Inf(1)
	for step := range steps {
		time := shortest * math.Pow(longest/shortest, float64(step)/(steps-1))
		rho := math.Exp(-1 / (time * f.rate))
		var cross, square float64
		for k := 1; k <= lags; k++ {
			p := math.Pow(rho, float64(k))
			cross += p * r[k]
			square += p * p
		}
		wander := cross / square
		var left float64
		for k := 1; k <= lags; k++ {
			left += math.Pow(r[k]-wander*math.Pow(rho, float64(k)), 2)
		}
		if left < least && wander > 0 && wander < r[0] {
			least, best = left, colour{wander / (r[0] - wander), rho}
		}
	}
	// Below a fiftieth of the white part it changes no result.
	if best.share < 0.02 {
		return colour{}
	}
	return best
}

// white returns the variance of the white part of mark k's noise in one frame,
// m².
func (f *fit) white(k int) float64 { return f.sigma[k] * f.sigma[k] / (1 + f.noise.share) }
