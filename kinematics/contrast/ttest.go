package contrast

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Errors of tests that cannot be made.
var (
	ErrTooFew   = errors.New("contrast: too few values for a test")
	ErrNoSpread = errors.New("contrast: the values do not spread, so a test says nothing")
)

// A Test is the outcome of a two-sided t test of the difference against 0.
type Test struct {
	Difference float64 // b − a
	SE         float64 // standard error of the difference
	Low, High  float64 // confidence interval of the difference
	T, DF      float64 // Student's t and its degrees of freedom
	P          float64 // two-sided
	Shared     float64 // see Sharing; 0 for none
}

// Welch compares the means of two independent samples that may spread
// differently, and returns b − a with an interval of the given level (0.95 for
// 95 %). The degrees of freedom are those of Welch (Biometrika 34:28-35, 1947)
// and Satterthwaite (Biometrics Bulletin 2:110-114, 1946). Each sample needs
// two values. It panics when level is not between 0 and 1.
func Welch(a, b []float64, level float64) (Test, error) {
	sa, sb := Summarize(a), Summarize(b)
	diff := sb.Mean - sa.Mean
	if sa.N < 2 || sb.N < 2 {
		return unknown(diff), fmt.Errorf("%w: %d and %d where each sample needs 2", ErrTooFew, sa.N, sb.N)
	}
	va, vb := sa.SD*sa.SD/float64(sa.N), sb.SD*sb.SD/float64(sb.N)
	return student(diff, math.Sqrt(va+vb), welchDF(sa, sb), math.Max(math.Abs(sa.Mean), math.Abs(sb.Mean)), level)
}

// welchDF returns the degrees of freedom of Welch's t.
func welchDF(a, b Summary) float64 {
	va, vb := a.SD*a.SD/float64(a.N), b.SD*b.SD/float64(b.N)
	return (va + vb) * (va + vb) / (va*va/float64(a.N-1) + vb*vb/float64(b.N-1))
}

// Paired compares the values of pairs a[i], b[i], such as two means of one
// player: it tests the differences b[i] − a[i] as OneSample does. It panics
// when the lengths differ or level is not between 0 and 1.
func Paired(a, b []float64, level float64) (Test, error) {
	if len(a) != len(b) {
		panic(fmt.Sprintf("contrast: pairs of %d and %d values", len(a), len(b)))
	}
	d := make([]float64, len(a))
	size := 0.0
	for i := range d {
		d[i] = b[i] - a[i]
		if !math.IsNaN(d[i]) {
			size = math.Max(size, math.Max(math.Abs(a[i]), math.Abs(b[i])))
		}
	}
	return oneSample(d, size, level)
}

// OneSample tests whether the mean of the differences d is 0 (Student,
// Biometrika 6:1-25, 1908), with an interval of the given level. It needs two
// values. It panics when level is not between 0 and 1.
func OneSample(d []float64, level float64) (Test, error) {
	return oneSample(d, 0, level)
}

// oneSample is OneSample of values that were computed from values of the given
// size.
func oneSample(d []float64, size, level float64) (Test, error) {
	s := Summarize(d)
	if s.N < 2 {
		return unknown(s.Mean), fmt.Errorf("%w: %d where 2 are needed", ErrTooFew, s.N)
	}
	return student(s.Mean, s.SD/math.Sqrt(float64(s.N)), float64(s.N-1), math.Max(math.Abs(s.Mean), size), level)
}

// student returns the test of a difference with standard error se. size is that
// of the values that went into it.
func student(diff, se, df, size, level float64) (Test, error) {
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("contrast: level %v is not between 0 and 1", level))
	}
	// A standard error of the size of the rounding of the means is none: equal
	// values such as 0.1 seldom sum to exactly their mean. Each mean is a sum
	// rounded a few times, hence ten units in the last place.
	const ulp = 0x1p-52
	if se <= 10*ulp*size {
		return unknown(diff), ErrNoSpread
	}
	dist := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	t := diff / se
	half := se * dist.Quantile(0.5+level/2)
	return Test{
		Difference: diff,
		SE:         se,
		Low:        diff - half,
		High:       diff + half,
		T:          t,
		DF:         df,
		P:          2 * dist.CDF(-math.Abs(t)),
	}, nil
}

// Equivalence returns the P of the hypothesis that the difference lies outside
// ±margin, by two one-sided t tests (Schuirmann, J Pharmacokinetics and
// Biopharmaceutics 15:657-680, 1987): small where the two are alike within the
// margin. What is shared counts (see Sharing). It is NaN where t is. It panics when margin is not positive.
func (t Test) Equivalence(margin float64) float64 {
	if !(margin > 0) {
		panic(fmt.Sprintf("contrast: margin %v is not positive", margin))
	}
	if math.IsNaN(t.T) {
		return math.NaN()
	}
	return t.tail(margin - math.Abs(t.Difference))
}

// unknown is a test that could not be made.
func unknown(diff float64) Test {
	nan := math.NaN()
	return Test{Difference: diff, SE: nan, Low: nan, High: nan, T: nan, DF: nan, P: nan}
}
