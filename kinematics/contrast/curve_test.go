package contrast

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// smooth returns n curves of 40 points: wandering noise about bump in the
// middle.
func smooth(rng *rand.Rand, n int, bump float64) [][]float64 {
	curves := make([][]float64, n)
	for i := range curves {
		c := make([]float64, 40)
		v := rng.NormFloat64()
		for j := range c {
			v = 0.9*v + math.Sqrt(1-0.81)*rng.NormFloat64()
			c[j] = v
			if 15 <= j && j < 25 {
				c[j] += bump
			}
		}
		curves[i] = c
	}
	return curves
}

func column(curves [][]float64, j int) []float64 {
	x := make([]float64, len(curves))
	for i, c := range curves {
		x[i] = c[j]
	}
	return x
}

func TestCurvesAgreeWithTestsAtEachPoint(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	a, b := smooth(rng, 6, 0), smooth(rng, 6, 1)
	a[2][7] = math.NaN()
	w, err := WelchCurves(a, b, 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	p, err := PairedCurves(a, b, 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	for j := range w.T {
		welch, _ := Welch(column(a, j), column(b, j), 0.95)
		paired, _ := Paired(column(a, j), column(b, j), 0.95)
		near(t, "Welch t", w.T[j], welch.T, 1e-10)
		near(t, "paired t", p.T[j], paired.T, 1e-10)
	}
}

// On a curve of one point the permutation of the largest statistic is the
// permutation test: for the sleep data 4 of the 1024 turns of sign are as
// extreme, by enumeration.
func TestPairedCurvesOnSleep(t *testing.T) {
	rows := func(x []float64) [][]float64 {
		out := make([][]float64, len(x))
		for i, v := range x {
			out[i] = []float64{v}
		}
		return out
	}
	c, err := PairedCurves(rows(drug1), rows(drug2), 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Intervals) != 1 {
		t.Fatalf("intervals %v, want one", c.Intervals)
	}
	near(t, "p", c.Intervals[0].P, 4./1024, 1e-12)
}

// Two alike sets differ anywhere along the curve no more often than alpha: with
// 400 trials the standard error of the share is √(0.05·0.95/400) = 0.011. The
// threshold of random fields, made for curves smoother than these, which change
// within a point, is too high rather than too low.
func TestCurvesKeepTheErrorRate(t *testing.T) {
	const trials = 400
	rng := rand.New(rand.NewPCG(5, 6))
	var welch, paired, field float64
	for range trials {
		w, err := WelchCurves(smooth(rng, 4, 0), smooth(rng, 5, 0), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(w.Intervals) > 0 {
			welch++
		}
		p, err := PairedCurves(smooth(rng, 8, 0), smooth(rng, 8, 0), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Intervals) > 0 {
			paired++
		}
		if peak(p.T) > p.Field {
			field++
		}
	}
	if field /= trials; field > 0.05+3*0.011 {
		t.Errorf("the threshold of random fields is passed in %v of the trials", field)
	}
	near(t, "Welch rate", welch/trials, 0.05, 3*0.011)
	near(t, "paired rate", paired/trials, 0.05, 3*0.011)
}

func TestCurvesFindWhereTheyDiffer(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	c, err := WelchCurves(smooth(rng, 12, 0), smooth(rng, 12, -4), 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Intervals) != 1 || c.Intervals[0].From > 16 || c.Intervals[0].To < 23 || c.Intervals[0].P > 0.01 {
		t.Errorf("intervals %+v, want one over points 15 to 24", c.Intervals)
	}
	if c.T[20] > -c.Threshold {
		t.Errorf("t %v in the middle, want below −%v", c.T[20], c.Threshold)
	}
}

// Of three pairs the smallest possible p is 2/8, of three against three 2/20:
// no threshold can keep 0.05.
func TestFewCurvesHaveNoThreshold(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	a, b := smooth(rng, 3, 0), smooth(rng, 3, 50)
	p, err := PairedCurves(a, b, 0.05, 1)
	if err != nil || !math.IsNaN(p.Threshold) || p.Intervals != nil {
		t.Errorf("pairs: threshold %v, intervals %v, error %v", p.Threshold, p.Intervals, err)
	}
	w, err := WelchCurves(a, b, 0.05, 1)
	if err != nil || !math.IsNaN(w.Threshold) || w.Intervals != nil {
		t.Errorf("sets: threshold %v, intervals %v, error %v", w.Threshold, w.Intervals, err)
	}
}

func TestOneCurveIsTooFew(t *testing.T) {
	one := [][]float64{{1, 2}}
	if _, err := WelchCurves(one, one, 0.05, 1); err == nil {
		t.Error("WelchCurves of one curve each has no error")
	}
	if _, err := PairedCurves(one, one, 0.05, 1); err == nil {
		t.Error("PairedCurves of one pair has no error")
	}
}

func BenchmarkWelchCurves(b *testing.B) {
	rng := rand.New(rand.NewPCG(11, 12))
	x, y := smooth(rng, 20, 0), smooth(rng, 20, 1)
	for b.Loop() {
		WelchCurves(x, y, 0.05, 1)
	}
}

// Thresholds by the formula of Worsley and others (1996), as printed for pairs
// of ten and two sets of ten.
func TestFieldThreshold(t *testing.T) {
	for _, c := range []struct{ df, resels, one, two float64 }{
		{9, 3.766840, 3.22704, 3.75332},
		{18, 4.855399, 2.92942, 3.29469},
	} {
		near(t, "one-tailed", fieldThreshold(c.df, c.resels, 0.10), c.one, 5e-6)
		near(t, "two-tailed", fieldThreshold(c.df, c.resels, 0.05), c.two, 5e-6)
	}
	// Without length it is Student's t, at −ln(1 − 0.025) on each side.
	point := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 9}.Survival(fieldThreshold(9, 0, 0.05))
	near(t, "a point", point, -math.Log(0.975), 1e-12)
	if v := fieldThreshold(9, math.NaN(), 0.05); !math.IsNaN(v) {
		t.Errorf("unknown smoothness gives %v", v)
	}
}

// White noise under a Gaussian filter of full width at half maximum w has a
// length of n/w resels (its derivatives, taken over two points, are a little
// smoother: 2 % at a width of 12).
func TestResels(t *testing.T) {
	const n, width, curves = 400, 12., 60
	rng := rand.New(rand.NewPCG(61, 62))
	var all [][]float64
	sd := width / math.Sqrt(8*math.Ln2)
	for range curves {
		white := draw(rng, n+200, 0, 1)
		c := make([]float64, n)
		for i := range c {
			for j := -100; j <= 100; j++ {
				c[i] += white[i+100+j] * math.Exp(-float64(j*j)/(2*sd*sd))
			}
		}
		all = append(all, c)
	}
	near(t, "resels", resels(centred(all)), (n-1)/width, 0.03*n/width)
}

// Sets of curves of four points, a row a curve, from orthodont: R's
// multtest::mt.maxT(X, c(0,0,0,0,1,1,1,1,1), test = "t", side = "abs", B = 0)
// deals all 126 ways and has t of 4.70182782792 and adjusted p of 1/126 for the
// largest; mt.maxT(P, rep(0:1, 7), test = "pairt", side = "abs", B = 0) turns all
// 128 signs and has 2.93141950921 and 10/128.
func TestCurvesAgreeWithMaxT(t *testing.T) {
	rows := func(index ...int) (out [][]float64) {
		for _, i := range index {
			out = append(out, orthodont[i])
		}
		return out
	}
	w, err := WelchCurves(rows(5, 6, 7, 9), rows(11, 14, 16, 20, 25), 0.05, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{3.19230468327, 4.15644024209, 4.53178855034, 4.70182782792} {
		near(t, "Welch t", w.T[i], want, 1e-10)
	}
	if len(w.Intervals) != 1 || w.Ways != 126 || !w.Exact {
		t.Fatalf("%+v", w)
	}
	near(t, "p", w.Intervals[0].P, 1./126, 1e-15)
	// The threshold is passed by 0.05·126, 6 of them: the first three p of R lie
	// below 0.05, and so does the fourth, 3/126.
	if w.Intervals[0] != (Interval{0, 3, 1. / 126}) {
		t.Errorf("interval %+v", w.Intervals[0])
	}
	p, err := PairedCurves(rows(0, 1, 2, 3, 4, 6, 7), rows(11, 12, 13, 14, 15, 16, 17), 0.1, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "paired t", p.T[3], 2.93141950921, 1e-10)
	if len(p.Intervals) != 1 || p.Ways != 128 || !p.Exact {
		t.Fatalf("%+v", p)
	}
	near(t, "p", p.Intervals[0].P, 10./128, 1e-15)
}

// The band leaves out 0 in intervals alone, and holds the whole true curve as
// often as it says. With 400 trials the standard error of the share is 0.011.
func TestCurveBand(t *testing.T) {
	const trials, bump = 400, 3.0
	rng := rand.New(rand.NewPCG(63, 64))
	var welch, paired float64
	holds := func(c CurveTest) float64 {
		whole := 1.0
		for i := range c.T {
			truth := 0.0
			if 15 <= i && i < 25 {
				truth = bump
			}
			if !(c.Low[i] <= truth && truth <= c.High[i]) {
				whole = 0
			}
			in := false
			for _, v := range c.Intervals {
				in = in || v.From <= i && i <= v.To
			}
			if !in && (c.Low[i] > 0 || c.High[i] < 0) {
				t.Fatalf("at %d t %v of %v, band %v to %v", i, c.T[i], c.Threshold, c.Low[i], c.High[i])
			}
		}
		return whole
	}
	for range trials {
		w, err := WelchCurves(smooth(rng, 5, 0), smooth(rng, 6, bump), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		welch += holds(w)
		p, err := PairedCurves(smooth(rng, 8, 0), smooth(rng, 8, bump), 0.05, 1)
		if err != nil {
			t.Fatal(err)
		}
		paired += holds(p)
	}
	near(t, "Welch coverage", welch/trials, 0.95, 3*0.011)
	near(t, "paired coverage", paired/trials, 0.95, 3*0.011)
}

// The band holds a difference that is large all along the curve as often as a
// small one, which a band by the test's threshold does a quarter to three
// quarters of the time. Few curves make it wider than it need be.
func TestCurveBandOfALargeDifference(t *testing.T) {
	const trials, far = 400, 20.0
	rng := rand.New(rand.NewPCG(65, 66))
	shifted := func(n int) [][]float64 {
		c := smooth(rng, n, 0)
		for i := range c {
			for j := range c[i] {
				c[i][j] += far
			}
		}
		return c
	}
	for name, compare := range map[string]func() (CurveTest, error){
		"Welch":  func() (CurveTest, error) { return WelchCurves(smooth(rng, 4, 0), shifted(4), 0.05, 1) },
		"paired": func() (CurveTest, error) { return PairedCurves(smooth(rng, 6, 0), shifted(6), 0.05, 1) },
		"blocks": func() (CurveTest, error) {
			return BlockCurves([][][]float64{smooth(rng, 3, 0), smooth(rng, 3, 0)}, [][][]float64{shifted(3), shifted(3)}, 0.05, 1)
		},
	} {
		held, narrow := 0, 0
		for range trials {
			c, err := compare()
			if err != nil {
				t.Fatal(err)
			}
			whole, byThreshold := 1, 1
			for i := range c.T {
				if !(c.Low[i] <= far && far <= c.High[i]) {
					whole = 0
				}
				if math.Abs(c.Difference[i]-far) > (c.High[i]-c.Low[i])/2*c.Threshold/c.Reach {
					byThreshold = 0
				}
			}
			held, narrow = held+whole, narrow+byThreshold
		}
		t.Logf("%s: held %.3f, by the threshold %.3f", name, float64(held)/trials, float64(narrow)/trials)
		if held < 0.91*trials || narrow > 0.8*trials {
			t.Errorf("%s: held %d of %d, by the threshold %d", name, held, trials, narrow)
		}
	}
}
