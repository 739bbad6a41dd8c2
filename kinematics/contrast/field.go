package contrast

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// fieldThreshold returns the two-tailed threshold of a smooth curve of Student's
// t over its length in resels: the t at which half of alpha is
// 1 − exp(−(ρ0 + resels·ρ1)), with ρ0 = P(T > t) and ρ1 = √(4 ln 2)/2π · (1 +
// t²/ν)^(−(ν−1)/2) (Worsley, Marrett, Neelin, Vandal, Friston & Evans, Human
// Brain Mapping 4:58-73, 1996, table II). It is NaN where resels or df is not
// known or 0.
func fieldThreshold(df, resels, alpha float64) float64 {
	if !(df > 0 && resels >= 0) || math.IsInf(df+resels, 0) {
		return math.NaN()
	}
	dist := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	chance := func(t float64) float64 {
		rho1 := math.Sqrt(4*math.Ln2) / (2 * math.Pi) * math.Pow(1+t*t/df, -(df-1)/2)
		return -math.Expm1(-(dist.Survival(t) + resels*rho1))
	}
	low, high := 0.0, 1.0
	for chance(high) > alpha/2 {
		if low, high = high, 2*high; math.IsInf(high, 0) {
			return math.NaN() // with one degree of freedom ρ1 does not fall
		}
	}
	for range 60 {
		if mid := (low + high) / 2; chance(mid) > alpha/2 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// resels returns the length of a curve in units of its smoothness, the full
// width at half maximum of the white noise filter that would make residuals as
// rough: √(Σ slope²/Σ residual²) gives it at each point, and its mean serves
// (Kiebel, Poline, Friston, Holmes & Worsley, NeuroImage 10:756-766, 1999).
// Points at which some curve has no value, or no neighbour with one, are left
// out; it is NaN if all are.
func resels(residuals [][]float64) float64 {
	n := points(residuals)
	var rough []float64
	for i := range n {
		var slope, size float64
		from, to := max(0, i-1), min(n-1, i+1)
		for _, r := range residuals {
			d := (r[to] - r[from]) / float64(to-from)
			slope += d * d
			size += r[i] * r[i]
		}
		if v := math.Sqrt(slope / size / (4 * math.Ln2)); !math.IsNaN(v) && !math.IsInf(v, 0) {
			rough = append(rough, v)
		}
	}
	// Over the points left out the curve is not searched.
	return Summarize(rough).Mean * float64(len(rough)-1)
}
