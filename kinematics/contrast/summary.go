package contrast

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// A Summary is the number, mean and standard deviation (n − 1 in the divisor)
// of the values that are not NaN. Mean is NaN without values, SD with fewer
// than two.
type Summary struct {
	N        int
	Mean, SD float64
}

// Summarize returns the summary of x.
func Summarize(x []float64) Summary {
	x = known(x)
	switch len(x) {
	case 0:
		return Summary{Mean: math.NaN(), SD: math.NaN()}
	case 1:
		return Summary{N: 1, Mean: x[0], SD: math.NaN()}
	}
	mean, sd := stat.MeanStdDev(x, nil)
	return Summary{N: len(x), Mean: mean, SD: sd}
}

// known returns the values of x that are not NaN.
func known(x []float64) []float64 {
	out := make([]float64, 0, len(x))
	for _, v := range x {
		if !math.IsNaN(v) {
			out = append(out, v)
		}
	}
	return out
}
