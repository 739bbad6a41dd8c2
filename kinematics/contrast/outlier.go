package contrast

import (
	"math"
	"slices"
)

// Outliers marks the values that lie apart from the others: 0.6745·|x −
// median|/MAD above 3.5, where MAD is the median distance from the median
// (Iglewicz & Hoaglin, How to Detect and Handle Outliers, 1993, section 3.3).
// Fewer than five values have no marks, nor has NaN. A mark is a reason to look
// at a run, not to drop it.
func Outliers(x []float64) []bool {
	const fewest, quarter, far = 5, 0.6745, 3.5
	marks := make([]bool, len(x))
	all := known(x)
	if len(all) < fewest {
		return marks
	}
	middle := median(all)
	away := make([]float64, len(all))
	for i, v := range all {
		away[i] = math.Abs(v - middle)
	}
	mad := median(away)
	for i, v := range x {
		marks[i] = mad > 0 && quarter*math.Abs(v-middle) > far*mad
	}
	return marks
}

// median returns the median of x, which is not empty.
func median(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}
