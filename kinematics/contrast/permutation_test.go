package contrast

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func differences(a, b []float64) []float64 {
	d := make([]float64, len(a))
	for i := range d {
		d[i] = b[i] - a[i]
	}
	return d
}

func draw(rng *rand.Rand, n int, mean, sd float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = mean + sd*rng.NormFloat64()
	}
	return x
}

// By enumeration; R: pvalue(coin::oneway_test(extra ~ group, sleep,
// distribution = "exact")) is 0.0814479638 = 15048/184756.
func TestPermutationOnSleep(t *testing.T) {
	p, err := PermuteSigns(differences(drug1, drug2), 0.95, 1)
	if err != nil || !p.Exact || p.Ways != 1024 || p.SE != 0 {
		t.Errorf("signs: %+v, %v", p, err)
	}
	near(t, "signs: p", p.P, 4./1024, 0)
	near(t, "signs: difference", p.Difference, 1.58, 1e-12)
	p, err = PermuteLabels([][]float64{drug1}, [][]float64{drug2}, 0.95, 1)
	if err != nil || !p.Exact || p.Ways != 184756 {
		t.Errorf("labels: %+v, %v", p, err)
	}
	near(t, "labels: p", p.P, 15048./184756, 0)
	near(t, "labels: difference", p.Difference, 1.58, 1e-12)
}

// Two blocks: R's combn deals each, outer adds the differences of means, and
// 164 of 2450 halves of their sums are as large as that seen.
func TestPermutationInBlocks(t *testing.T) {
	a := [][]float64{{21, 20, 21.5, 23}, {24, 24.5, 22, 23.2}}
	b := [][]float64{{26, 25, 29, 31}, {21.5, 22.5, 23}}
	p, err := PermuteLabels(a, b, 0.95, 1)
	if err != nil || p.Ways != 2450 {
		t.Fatalf("%+v, %v", p, err)
	}
	near(t, "difference", p.Difference, 2.64166666667, 1e-11)
	near(t, "p", p.P, 164./2450, 0)
	gaps, err := PermuteLabels(append(a, []float64{1}), append(b, []float64{math.NaN()}), 0.95, 1)
	if err != nil || gaps != p {
		t.Errorf("with a block of one set: %+v, %v", gaps, err)
	}
}

// Where all cannot be tried, the share of those drawn is that of all within
// three standard errors.
func TestPermutationByDrawing(t *testing.T) {
	var a, b []float64
	for range 2 { // each value twice: 20 pairs have 2²⁰ turns
		a, b = append(a, drug1...), append(b, drug2...)
	}
	d := differences(a, b)
	for i := range d {
		d[i] -= 1.1
	}
	p, err := PermuteSigns(d, 0.95, 5)
	if err != nil || p.Exact || p.Ways != 10000 {
		t.Fatalf("%+v, %v", p, err)
	}
	seen, asLarge := 0.0, 0
	for _, v := range d {
		seen += v
	}
	for bits := range 1 << 20 {
		sum := 0.0
		for i, v := range d {
			if bits>>i&1 == 1 {
				v = -v
			}
			sum += v
		}
		if math.Abs(sum) >= math.Abs(seen)-1e-9 {
			asLarge++
		}
	}
	near(t, "p", p.P, float64(asLarge)/(1<<20), 3*p.SE)
	again, _ := PermuteSigns(d, 0.95, 5)
	if again != p {
		t.Error("the same seed gives another p")
	}
	labels, err := PermuteLabels([][]float64{a}, [][]float64{b}, 0.95, 5)
	if err != nil || labels.Exact || !(labels.SE > 0) {
		t.Errorf("labels: %+v, %v", labels, err)
	}
}

func TestPermutationTheOtherWayRound(t *testing.T) {
	a, b := [][]float64{drug1[:6]}, [][]float64{drug2[3:]}
	there, _ := PermuteLabels(a, b, 0.95, 1)
	back, _ := PermuteLabels(b, a, 0.95, 1)
	near(t, "difference", there.Difference, -back.Difference, 1e-14)
	near(t, "p", there.P, back.P, 0)
}

// Of five pairs the smallest p is 2/32, of three against three 2/20.
func TestNoPermutation(t *testing.T) {
	for name, c := range map[string]struct {
		run  func() (Permutation, error)
		want error
	}{
		"five pairs": {func() (Permutation, error) { return PermuteSigns([]float64{1, 2, 3, 4, 5}, 0.95, 1) }, ErrTooFew},
		"three and three": {func() (Permutation, error) {
			return PermuteLabels([][]float64{{1, 2, 3}}, [][]float64{{7, 8, 9}}, 0.95, 1)
		}, ErrTooFew},
		"nothing": {func() (Permutation, error) { return PermuteSigns([]float64{math.NaN()}, 0.95, 1) }, ErrTooFew},
		"equal": {func() (Permutation, error) {
			return PermuteLabels([][]float64{{2, 2, 2, 2}}, [][]float64{{2, 2, 2, 2}}, 0.95, 1)
		}, ErrNoSpread},
		"mostly ties": {func() (Permutation, error) {
			return PermuteLabels([][]float64{{0, 0, 0, 0}}, [][]float64{{0, 0, 0, 1}}, 0.95, 1)
		}, ErrTooFew},
	} {
		p, err := c.run()
		if !errors.Is(err, c.want) || !math.IsNaN(p.P) {
			t.Errorf("%s: %+v, error %v, want %v", name, p, err, c.want)
		}
	}
	if _, err := PermuteSigns([]float64{1, 2, 3, 4, 5, 6}, 0.95, 1); err != nil {
		t.Errorf("six pairs: %v", err)
	}
}

// R: p.adjust(c(0.01, 0.04, 0.03, 0.005, 0.2, NA), "holm").
func TestHolm(t *testing.T) {
	want := []float64{0.040, 0.090, 0.090, 0.025, 0.200, math.NaN()}
	for i, v := range Holm([]float64{0.01, 0.04, 0.03, 0.005, 0.2, math.NaN()}) {
		if math.IsNaN(v) != math.IsNaN(want[i]) || math.Abs(v-want[i]) > 1e-15 {
			t.Errorf("p %d is %v, want %v", i, v, want[i])
		}
	}
	if got := Holm([]float64{0.9, 0.8}); !slices.Equal(got, []float64{1, 1}) {
		t.Errorf("large p: %v", got)
	}
}

// Alike sets are told apart no more often than alpha; with seven measures and
// Holm, no more often in any of them. With 1500 samples the standard error of a
// share of 0.05 is 0.0056.
func TestErrorRates(t *testing.T) {
	const samples = 1500
	rng := rand.New(rand.NewPCG(31, 32))
	var signs, labels, blocks, family, covariance, alike float64
	count := func(n *float64, is bool) {
		if is {
			*n++
		}
	}
	for range samples {
		p, err := PermuteSigns(draw(rng, 7, 0, 1), 0.95, 1)
		if err != nil {
			t.Fatal(err)
		}
		count(&signs, p.P <= 0.05)
		p, err = PermuteLabels([][]float64{draw(rng, 4, 0, 1)}, [][]float64{draw(rng, 5, 0, 1)}, 0.95, 1)
		if err != nil {
			t.Fatal(err)
		}
		count(&labels, p.P <= 0.05)
		p, err = PermuteLabels([][]float64{draw(rng, 3, 0, 1), draw(rng, 4, 9, 2)}, [][]float64{draw(rng, 3, 0, 1), draw(rng, 3, 9, 2)}, 0.95, 1)
		if err != nil {
			t.Fatal(err)
		}
		count(&blocks, p.P <= 0.05)

		measures := make([]float64, 7)
		common := draw(rng, 8, 0, 1)
		for i := range measures {
			x := draw(rng, 8, 0, 1)
			for j := range x {
				x[j] += common[j] // measures hang together
			}
			test, err := OneSample(x, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			measures[i] = test.P
		}
		count(&family, slices.Min(Holm(measures)) <= 0.05)

		// The second set is faster, and the outcome follows speed alone.
		var runs []Run
		for block := range 3 {
			for i := range 8 {
				x := 45 + float64(block) + float64(i%2) + rng.NormFloat64()
				runs = append(runs, Run{Y: 2*x + 5*float64(block) + rng.NormFloat64(), X: x, Second: i%2 == 1, Block: block})
			}
		}
		a, err := Ancova(runs, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		count(&covariance, a.P <= 0.05)

		// A difference of exactly the margin is called alike as often as alpha.
		test, err := Welch(draw(rng, 8, 0, 1), draw(rng, 8, 3, 1), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		count(&alike, test.Equivalence(3) <= 0.05)
	}
	const three = 3 * 0.0056
	// Exact tests reject in steps: 6/128, 6/126 and 70/1400 are the largest
	// shares up to 0.05, and blocks of odd size lie below.
	near(t, "signs", signs/samples, 6./128, three)
	near(t, "labels", labels/samples, 6./126, three)
	near(t, "blocks", blocks/samples, 0.05, three)
	if rate := family / samples; rate > 0.05+three || rate < 0.01 {
		t.Errorf("some measure of seven differs in %v of the samples", rate)
	}
	near(t, "covariance", covariance/samples, 0.05, three)
	near(t, "alike", alike/samples, 0.05, three)
}
