package contrast

import (
	"fmt"
	"math"
	"slices"
)

// A CurveTest compares two sets of curves point by point.
type CurveTest struct {
	T         []float64  // t of b − a at each point, NaN where it cannot be had
	Threshold float64    // |T| above it differs, whichever point it is at; NaN where so few curves cannot show a difference
	Intervals []Interval // where |T| is above the threshold, in order

	// The difference at each point, and a band that holds the whole true
	// difference curve with chance 1 − alpha: Difference ± Reach·standard error.
	// It leaves out 0 in intervals alone. NaN where T is, the band also where there
	// is no threshold.
	//
	// Reach is Threshold, or what the curves less the mean of their own set give in
	// its place where that is more: where sets differ much, dealing their curves
	// anew mixes them, and t is small in all ways but the one observed.
	Difference, Low, High []float64
	Reach                 float64

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
	k := len(a)
	observed := make([]int, k)
	for i := range observed {
		observed[i] = i
	}
	w := newWelch(centred(slices.Concat(a, b)))
	largest, exact := w.largest(observed, seed)
	test := judge(slices.Clone(w.t(observed)), largest, alpha)
	residuals := append(centred(a), centred(b)...)
	largest, _ = newWelch(residuals).largest(observed, seed)
	test.reach(largest, alpha)
	sa, sb := Summaries(a), Summaries(b)
	df := make([]float64, len(sa))
	test.Exact = exact
	for i := range sa {
		test.band(sb[i].Mean-sa[i].Mean, math.Sqrt(sa[i].SD*sa[i].SD/float64(sa[i].N)+sb[i].SD*sb[i].SD/float64(sb[i].N)))
		df[i] = welchDF(sa[i], sb[i])
	}
	// The degrees of freedom of Welch change along the curve; their mean serves.
	test.Field = fieldThreshold(Summarize(df).Mean, resels(residuals), alpha)
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
	largest, exact := w.largest(seed)
	test := judge(slices.Clone(w.t(make([]bool, n))), largest, alpha)
	residuals := centred(d)
	largest, _ = newFlip(residuals).largest(seed)
	test.reach(largest, alpha)
	test.Exact = exact
	for _, s := range Summaries(d) {
		test.band(s.Mean, s.SD/math.Sqrt(float64(s.N)))
	}
	test.Field = fieldThreshold(float64(n-1), resels(residuals), alpha)
	return test, nil
}

// band adds a point to the difference and its band.
func (c *CurveTest) band(difference, se float64) {
	c.Difference = append(c.Difference, difference)
	c.Low = append(c.Low, difference-c.Reach*se)
	c.High = append(c.High, difference+c.Reach*se)
}

// reach sets Reach by the largest |t| of every relabelling of the curves less the
// mean of their own set.
func (c *CurveTest) reach(largest []float64, alpha float64) {
	c.Reach = math.Max(c.Threshold, limit(largest, alpha)) // NaN where there is no threshold
}

// limit returns the largest |t| that a share alpha of the relabellings pass. It
// sorts them.
func limit(largest []float64, alpha float64) float64 {
	slices.Sort(largest)
	n := len(largest)
	// With c the whole part of alpha·n, at most c relabellings lie above the
	// (c+1)th largest (Nichols & Holmes 2002, p. 8).
	return largest[n-1-min(int(alpha*float64(n)), n-1)]
}

// judge finds the threshold and the intervals above it. largest holds the
// largest |t| of every relabelling, the observed one among them.
func judge(t, largest []float64, alpha float64) CurveTest {
	n := len(largest)
	threshold := limit(largest, alpha)
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
