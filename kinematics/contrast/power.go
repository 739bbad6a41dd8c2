package contrast

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Power returns the chance that a two-sided t test at 1 − level finds a true
// difference, in its direction, when the difference has standard error se with
// df degrees of freedom.
//
// The spread behind se is often itself an estimate, with known degrees of
// freedom: then it is the mean of that chance over what the spread may truly be,
// P(T ≤ difference/se) of the noncentral t with known degrees of freedom and the
// test's limit as noncentrality. Studies planned by it find what they were
// planned for as often as they were to, on the whole; planned as if an estimate
// from three runs were the truth, 71 to 75 times in 100 instead of 80. known is +Inf
// where se is the true one. It panics unless se, df and known are positive and
// level lies between 0 and 1.
func Power(difference, se, df, known, level float64) float64 {
	checkPlan(se, df, known, level)
	return found(math.Abs(difference)/se, df, known, level)
}

// found is Power of a difference in standard errors.
func found(delta, df, known, level float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(0.5 + level/2)
	if math.IsInf(known, 1) {
		return aboveT(t, df, delta)
	}
	return 1 - aboveT(delta, known, t)
}

// Detectable returns the smallest true difference that such a test finds with
// the given power, 0.8 for four times in five. It panics as Power does, and when
// power is not between 1 − level and 1.
func Detectable(se, df, known, level, power float64) float64 {
	checkPlan(se, df, known, level)
	if !(power > 1-level && power < 1) {
		panic(fmt.Sprintf("contrast: power %v is not between %v and 1", power, 1-level))
	}
	low, high := 0.0, 1.0 // standard errors
	for found(high, df, known, level) < power {
		low, high = high, 2*high
	}
	for range 40 {
		if mid := (low + high) / 2; found(mid, df, known, level) < power {
			low = mid
		} else {
			high = mid
		}
	}
	return se * (low + high) / 2
}

func checkPlan(se, df, known, level float64) {
	if !(se > 0 && df > 0 && known > 0 && level > 0 && level < 1) {
		panic(fmt.Sprintf("contrast: standard error %v, %v degrees of freedom, known by %v, level %v", se, df, known, level))
	}
}

// Need returns the smallest n, from first to last, with which a difference is
// found with the given power; ok is false if there is none. plan returns the
// standard error and degrees of freedom that n gives: the one must not grow with
// n, nor the other shrink. known is as in Power.
func Need(difference, known, level, power float64, first, last int, plan func(n int) (se, df float64)) (n int, ok bool) {
	n = first + sort.Search(last-first+1, func(i int) bool {
		se, df := plan(first + i)
		return Power(difference, se, df, known, level) >= power
	})
	if n > last {
		return 0, false
	}
	return n, true
}

// aboveT returns P(T > t) of the noncentral t distribution with noncentrality
// delta: T = (Z + delta)/S, with S² distributed as χ²/df, so that it is the mean
// of P(Z > t·S − delta) over S (Johnson, Kotz & Balakrishnan, Continuous
// Univariate Distributions 2, 1995, chapter 31).
func aboveT(t, df, delta float64) float64 {
	lgamma, _ := math.Lgamma(df / 2)
	density := func(s float64) float64 {
		return math.Exp(math.Ln2 + df/2*math.Log(df/2) - lgamma + (df-1)*math.Log(s) - df*s*s/2)
	}
	// S has mean near 1 and standard deviation near 1/√(2·df); ten of them leave
	// out less than 1e-14, and 200 points resolve a tenth of one. The points lie
	// evenly in √S, where the density is smooth down to 0 with broken df too.
	const points = 200
	reach := 10 / math.Sqrt(2*df)
	return quad.Fixed(func(root float64) float64 {
		s := root * root
		return 2 * root * density(s) * distuv.UnitNormal.Survival(t*s-delta)
	}, math.Sqrt(math.Max(0, 1-reach)), math.Sqrt(1+reach), points, quad.Legendre{}, 0)
}
