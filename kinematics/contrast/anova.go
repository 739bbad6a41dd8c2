package contrast

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// An Anova is a one-way analysis of variance.
type Anova struct {
	Mean      float64 // of all values
	Between   float64 // mean square between groups
	Within    float64 // mean square within groups
	F         float64
	DF1, DF2  float64 // between, within
	P         float64
	PerGroup  float64 // n̄: values a group, as weighed by Between
	Groups, N int
}

// OneWay analyses the variance of groups of values (Fisher, 1925). NaN is left
// out, and a group without values. It needs two groups and a second value in
// one of them.
func OneWay(groups [][]float64) (Anova, error) {
	var a Anova
	var sum, squares float64
	var s []Summary
	for _, g := range groups {
		if x := Summarize(g); x.N > 0 {
			s = append(s, x)
			a.N += x.N
			sum += float64(x.N) * x.Mean
			squares += float64(x.N) * float64(x.N)
		}
	}
	a.Groups = len(s)
	if a.Groups < 2 || a.N == a.Groups {
		return a, fmt.Errorf("%w: %d values in %d groups", ErrTooFew, a.N, a.Groups)
	}
	n := float64(a.N)
	a.Mean = sum / n
	a.DF1, a.DF2 = float64(a.Groups-1), n-float64(a.Groups)
	a.PerGroup = (n - squares/n) / a.DF1
	for _, x := range s {
		a.Between += float64(x.N) * (x.Mean - a.Mean) * (x.Mean - a.Mean) / a.DF1
		if x.N > 1 {
			a.Within += float64(x.N-1) * x.SD * x.SD / a.DF2
		}
	}
	// Within groups of equal values there is nothing but rounding.
	const ulp = 0x1p-52
	if a.Within <= math.Pow(10*ulp*a.Mean, 2) {
		return a, ErrNoSpread
	}
	a.F = a.Between / a.Within
	a.P = distuv.F{D1: a.DF1, D2: a.DF2}.Survival(a.F)
	return a, nil
}
