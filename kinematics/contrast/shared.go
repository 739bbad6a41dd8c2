package contrast

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Sharing returns the test of a difference with a further standard uncertainty u
// that the spread of its values cannot show, since it is the same error in all
// values of a set and is no smaller for more of them: a systematic effect (JCGM
// 100:2008, 5.1 and F.2.4.5), such as what is not known of a club's reference.
//
// Low and High are then at the root of the sum of the squares of the two
// expanded uncertainties, of the values by Student's t and of u by the normal
// distribution, and P is 1 less the level at which that interval ends at 0; SE, T
// and DF stay those of the values. One t for both, with the degrees of freedom of
// Welch and Satterthwaite (JCGM 100, G.4), holds the truth too seldom where the
// values are few: by simulation 87 % of the time with one degree of freedom and
// a u of 0.3 of the true standard error, 92 % with two; this interval holds it
// 95 % to 98 % of the time.
//
// A test that could not be made, and a u that is NaN or 0, leave it as it is. It
// panics when level is not between 0 and 1.
func (t Test) Sharing(u, level float64) Test {
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("contrast: level %v is not between 0 and 1", level))
	}
	if !(u > 0) || math.IsNaN(t.T) {
		return t
	}
	t.Shared = u
	half := t.half((1 - level) / 2)
	t.Low, t.High = t.Difference-half, t.Difference+half
	t.P = 2 * t.tail(math.Abs(t.Difference))
	return t
}

// half returns how far from the difference an interval ends that leaves out a
// chance of tail on each side.
func (t Test) half(tail float64) float64 {
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: t.DF}
	return math.Hypot(t.SE*student.Quantile(tail), t.Shared*distuv.UnitNormal.Quantile(tail))
}

// tail returns the chance that an interval leaves out on each side that ends at
// a distance from the difference; that on the other side for a negative
// distance.
func (t Test) tail(distance float64) float64 {
	if distance < 0 {
		return 1 - t.tail(-distance)
	}
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: t.DF}
	// By Student's t, x standard errors leave out a chance that the normal
	// distribution turns into so many of u. Nothing shared: x = high.
	low, high := 0.0, distance/t.SE
	for i := 0; i < 60 && t.Shared > 0; i++ { // to the last bit
		mid := (low + high) / 2
		if math.Hypot(t.SE*mid, t.Shared*distuv.UnitNormal.Quantile(student.CDF(-mid))) > distance {
			high = mid
		} else {
			low = mid
		}
	}
	return student.CDF(-high)
}

// Remaining returns how much of a difference is left to be found by the spread
// of values where a standard uncertainty u is shared: such that the smallest
// difference that is found with the given power is the root of the sum of the
// squares of what either asks for alone. It is 0 where u alone hides the
// difference, however many values there are.
func Remaining(difference, u, level, power float64) float64 {
	return math.Sqrt(math.Max(0, difference*difference-math.Pow(SharedReach(u, level, power), 2)))
}

// SharedReach returns the smallest true difference that is found with the given
// power where a standard uncertainty u is shared and the values themselves do not
// spread; 0 for a u that is NaN or 0.
func SharedReach(u, level, power float64) float64 {
	if !(u > 0) {
		return 0
	}
	return u * (distuv.UnitNormal.Quantile(0.5+level/2) + distuv.UnitNormal.Quantile(power))
}
