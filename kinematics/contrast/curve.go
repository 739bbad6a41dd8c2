package contrast

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/combin"
)

// A CurveTest compares two sets of curves point by point.
type CurveTest struct {
	T         []float64  // t of b − a at each point, NaN where it cannot be had
	Threshold float64    // |T| above it differs, whichever point it is at; NaN where so few curves cannot show a difference
	Intervals []Interval // where |T| is above the threshold, in order

	// The difference at each point, and a band that holds the whole true
	// difference curve with chance 1 − alpha: Difference ± Threshold·standard
	// error. It leaves out 0 exactly in the intervals. NaN where T is, the band
	// also where there is no threshold.
	Difference, Low, High []float64

	Field float64 // threshold of random field theory (see fieldThreshold) beside the permutations'; NaN where the curves' smoothness cannot be had
	Ways  int     // relabellings that the threshold was taken from
	Exact bool    // they are all there are
}

// An Interval is a stretch of points of a curve, both ends included.
type Interval struct {
	From, To int
	P        float64 // of its largest |t|, corrected for the search along the curve
}

// relabellings is how many ways of relabelling the curves are tried where there
// are too many to try all. The standard error of a P of 0.05 is then
// √(0.05·0.95/2000) = 0.005.
const relabellings = 2000

// Summaries returns the summary of the curves at each point. All curves must
// have the same length, or it panics.
func Summaries(curves [][]float64) []Summary {
	out := make([]Summary, points(curves))
	column := make([]float64, len(curves))
	for i := range out {
		for j, c := range curves {
			column[j] = c[i]
		}
		out[i] = Summarize(column)
	}
	return out
}

// WelchCurves compares two independent sets of curves by Welch's t at each
// point. The threshold keeps the chance of any false difference along the whole
// curve at alpha: it comes from the largest |t| over the curve when the curves
// are dealt to the two sets at random (Nichols & Holmes, Human Brain Mapping
// 15:1-25, 2002). Dividing by Welch's standard error keeps this valid for large
// sets that spread differently (Janssen, Statistics & Probability Letters
// 36:9-21, 1997). With up to 2000 ways of dealing all are tried; else 2000 of
// them, drawn from seed. It panics when the curves differ in length.
func WelchCurves(a, b [][]float64, alpha float64, seed uint64) (CurveTest, error) {
	if len(a) < 2 || len(b) < 2 {
		return CurveTest{}, fmt.Errorf("%w: %d and %d curves where each set needs 2", ErrTooFew, len(a), len(b))
	}
	all := centred(slices.Concat(a, b))
	n, k := len(all), len(a)
	w := newWelch(all)
	observed := make([]int, k)
	for i := range observed {
		observed[i] = i
	}
	var largest []float64
	exact := math.Exp(combin.LogGeneralizedBinomial(float64(n), float64(k))) <= relabellings+0.5
	if exact {
		for _, set := range combin.Combinations(n, k) {
			largest = append(largest, peak(w.t(set)))
		}
	} else {
		rng := rand.New(rand.NewPCG(seed, 0))
		largest = append(largest, peak(w.t(observed)))
		for len(largest) < relabellings {
			largest = append(largest, peak(w.t(rng.Perm(n)[:k])))
		}
	}
	test := judge(slices.Clone(w.t(observed)), largest, alpha)
	sa, sb := Summaries(a), Summaries(b)
	df := make([]float64, len(sa))
	test.Exact = exact
	for i := range sa {
		test.band(sb[i].Mean-sa[i].Mean, math.Sqrt(sa[i].SD*sa[i].SD/float64(sa[i].N)+sb[i].SD*sb[i].SD/float64(sb[i].N)))
		df[i] = welchDF(sa[i], sb[i])
	}
	// The degrees of freedom of Welch change along the curve; their mean serves.
	test.Field = fieldThreshold(Summarize(df).Mean, resels(append(centred(a), centred(b)...)), alpha)
	return test, nil
}

// PairedCurves compares pairs of curves by the paired t of b[i] − a[i] at each
// point. The threshold is found as in WelchCurves, with the sign of each
// difference turned at random. It panics when the curves differ in number or
// length.
func PairedCurves(a, b [][]float64, alpha float64, seed uint64) (CurveTest, error) {
	if len(a) != len(b) || points(a) != points(b) {
		panic("contrast: curves that do not pair")
	}
	n := len(a)
	if n < 2 {
		return CurveTest{}, fmt.Errorf("%w: %d pairs of curves where 2 are needed", ErrTooFew, n)
	}
	d := make([][]float64, n)
	for i := range d {
		d[i] = make([]float64, len(a[i]))
		for j := range d[i] {
			d[i][j] = b[i][j] - a[i][j]
		}
	}
	w := newFlip(d)
	turned := make([]bool, n)
	observed := slices.Clone(w.t(turned))
	largest := []float64{peak(observed)}
	exact := n < 12 && 1<<n <= relabellings
	if exact {
		for bits := 1; bits < 1<<n; bits++ {
			for i := range turned {
				turned[i] = bits>>i&1 == 1
			}
			largest = append(largest, peak(w.t(turned)))
		}
	} else {
		rng := rand.New(rand.NewPCG(seed, 0))
		for len(largest) < relabellings {
			for i := range turned {
				turned[i] = rng.IntN(2) == 1
			}
			largest = append(largest, peak(w.t(turned)))
		}
	}
	test := judge(observed, largest, alpha)
	test.Exact = exact
	for _, s := range Summaries(d) {
		test.band(s.Mean, s.SD/math.Sqrt(float64(s.N)))
	}
	test.Field = fieldThreshold(float64(n-1), resels(centred(d)), alpha)
	return test, nil
}

// band adds a point to the difference and its band.
func (c *CurveTest) band(difference, se float64) {
	c.Difference = append(c.Difference, difference)
	c.Low = append(c.Low, difference-c.Threshold*se)
	c.High = append(c.High, difference+c.Threshold*se)
}

// judge finds the threshold and the intervals above it. largest holds the
// largest |t| of every relabelling, the observed one among them.
func judge(t, largest []float64, alpha float64) CurveTest {
	slices.Sort(largest)
	n := len(largest)
	// With c the whole part of alpha·n, at most c relabellings lie above the
	// (c+1)th largest (Nichols & Holmes 2002, p. 8).
	c := int(alpha * float64(n))
	threshold := largest[n-1-min(c, n-1)]
	// A relabelling and its mirror image have one |t| but for rounding, so
	// values this near count as equal.
	const rounding = 1e-9
	threshold *= 1 + rounding
	if threshold >= largest[n-1] {
		return CurveTest{T: t, Threshold: math.NaN(), Ways: n}
	}
	test := CurveTest{T: t, Threshold: threshold, Ways: n}
	for i := 0; i < len(t); i++ {
		if !(math.Abs(t[i]) > threshold) {
			continue
		}
		from := i
		for i+1 < len(t) && math.Abs(t[i+1]) > threshold {
			i++
		}
		first, _ := slices.BinarySearch(largest, peak(t[from:i+1])*(1-rounding))
		test.Intervals = append(test.Intervals, Interval{From: from, To: i, P: float64(n-first) / float64(n)})
	}
	return test
}

// peak returns the largest |t|, leaving out NaN; 0 if there is none.
func peak(t []float64) float64 {
	largest := 0.0
	for _, v := range t {
		if v = math.Abs(v); v > largest {
			largest = v
		}
	}
	return largest
}

// points returns the common length of the curves, and panics if there is none.
func points(curves [][]float64) int {
	if len(curves) == 0 {
		return 0
	}
	for _, c := range curves {
		if len(c) != len(curves[0]) {
			panic(fmt.Sprintf("contrast: curves of %d and %d points", len(curves[0]), len(c)))
		}
	}
	return len(curves[0])
}
