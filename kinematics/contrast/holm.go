package contrast

import (
	"math"
	"slices"
)

// Holm returns the p adjusted for how many there are: to call a difference
// where the adjusted p is at most alpha keeps the chance of any false one among
// them at alpha, however they hang together (Holm, Scandinavian Journal of
// Statistics 6:65-70, 1979). NaN is not counted and stays NaN.
func Holm(p []float64) []float64 {
	var order []int
	for i, v := range p {
		if !math.IsNaN(v) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case p[i] < p[j]:
			return -1
		case p[i] > p[j]:
			return 1
		}
		return 0
	})
	out := slices.Repeat([]float64{math.NaN()}, len(p))
	least := 0.0
	for rank, i := range order {
		least = math.Max(least, math.Min(1, float64(len(order)-rank)*p[i]))
		out[i] = least
	}
	return out
}
