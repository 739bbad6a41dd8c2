package contrast

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/combin"
)

// BlockCurves compares two sets of curves made by several blocks, such as
// players: a[i] and b[i] are those of block i. At each point t is the mean over
// blocks of the difference of means, b − a, over its standard error from the
// spread of curves about the mean of their own set and block, pooled. The
// threshold is found as in WelchCurves, with the curves of each block dealt to
// its two sets at random. So it tells about these blocks, not about others like
// them, and has thresholds where PairedCurves has too few blocks for one. It
// supposes that without a difference the two sets of a block spread alike.
//
// t is NaN where a block has no value in a set. ErrTooFew means that there is no
// block, one without curves in a set, or no set of a block with two. It panics
// when a and b, or any curves, differ in length.
func BlockCurves(a, b [][][]float64, alpha float64, seed uint64) (CurveTest, error) {
	if len(a) != len(b) {
		panic(fmt.Sprintf("contrast: %d and %d blocks", len(a), len(b)))
	}
	d := newBlockDeal(a, b)
	if d == nil {
		return CurveTest{}, fmt.Errorf("%w: every block needs curves of both sets, and some set two", ErrTooFew)
	}
	se := make([]float64, len(d.value))
	observed := slices.Clone(d.t(d.first, se))
	difference := slices.Clone(d.difference)
	largest, exact := d.largest(seed)
	test := judge(observed, largest, alpha)
	test.Exact = exact
	var residuals [][]float64
	restA, restB := make([][][]float64, len(a)), make([][][]float64, len(b))
	for i := range a {
		restA[i], restB[i] = centred(a[i]), centred(b[i])
		residuals = append(append(residuals, restA[i]...), restB[i]...)
	}
	largest, _ = newBlockDeal(restA, restB).largest(seed)
	test.reach(largest, alpha)
	for i := range observed {
		test.band(difference[i], se[i])
	}
	test.Field = fieldThreshold(float64(len(residuals)-2*len(a)), resels(residuals), alpha)
	return test, nil
}

// A blockDeal computes the t of curves dealt to two sets within blocks.
type blockDeal struct {
	curves     [][][]float64 // by block, less the block's mean
	first      [][]int       // by block, the curves of the first set as observed
	all, a     []set         // by block
	value      []float64
	difference []float64
}

// newBlockDeal returns nil where nothing can be told.
func newBlockDeal(a, b [][][]float64) *blockDeal {
	d := &blockDeal{}
	twice := false
	for i := range a {
		if len(a[i]) == 0 || len(b[i]) == 0 {
			return nil
		}
		twice = twice || len(a[i])+len(b[i]) > 2
		curves := centred(slices.Concat(a[i], b[i]))
		first := make([]int, len(a[i]))
		for k := range first {
			first[k] = k
		}
		n := points(curves)
		if len(d.value) == 0 {
			d.value, d.difference = make([]float64, n), make([]float64, n)
		} else if n != len(d.value) {
			panic(fmt.Sprintf("contrast: curves of %d and %d points", len(d.value), n))
		}
		all := newSet(n)
		for _, c := range curves {
			all.add(c, 1)
		}
		d.curves, d.first, d.all, d.a = append(d.curves, curves), append(d.first, first), append(d.all, all), append(d.a, newSet(n))
	}
	if !twice {
		return nil
	}
	return d
}

// ways returns how many ways of dealing there are.
func (d *blockDeal) ways() float64 {
	n := 1.0
	for i, f := range d.first {
		n *= math.Round(math.Exp(combin.LogGeneralizedBinomial(float64(len(d.curves[i])), float64(len(f)))))
	}
	return n
}

// largest returns the largest |t| along the curve of every way of dealing, or of
// some drawn from seed, with that observed.
func (d *blockDeal) largest(seed uint64) (largest []float64, exact bool) {
	if d.ways() <= relabellings {
		d.each(func(first [][]int) { largest = append(largest, peak(d.t(first, nil))) })
		return largest, true
	}
	rng := rand.New(rand.NewPCG(seed, 0))
	largest = append(largest, peak(d.t(d.first, nil)))
	first := make([][]int, len(d.first))
	for len(largest) < relabellings {
		for i, f := range d.first {
			first[i] = rng.Perm(len(d.curves[i]))[:len(f)]
		}
		largest = append(largest, peak(d.t(first, nil)))
	}
	return largest, false
}

// each calls do with every way of dealing.
func (d *blockDeal) each(do func(first [][]int)) {
	first := make([][]int, len(d.first))
	var deal func(i int)
	deal = func(i int) {
		if i == len(first) {
			do(first)
			return
		}
		for _, first[i] = range combin.Combinations(len(d.curves[i]), len(d.first[i])) {
			deal(i + 1)
		}
	}
	deal(0)
}

// t returns the t of the rest minus the curves with the given indices, good until
// the next call, and puts the standard error into se unless that is nil.
func (d *blockDeal) t(first [][]int, se []float64) []float64 {
	for i, f := range first {
		d.a[i].clear()
		for _, k := range f {
			d.a[i].add(d.curves[i][k], 1)
		}
	}
	const ulp = 0x1p-52
	blocks := float64(len(first))
	for p := range d.value {
		var sum, parts, within, square, df float64
		for i := range first {
			na, sa := d.a[i].n[p], d.a[i].sum[p]
			nb, sb := d.all[i].n[p]-na, d.all[i].sum[p]-sa
			sum += sb/nb - sa/na // NaN where a set has no value
			parts += 1/na + 1/nb
			within += d.all[i].square[p] - sa*sa/na - sb*sb/nb
			square += d.all[i].square[p]
			df += na + nb - 2
		}
		error := math.NaN()
		if df > 0 && within > df*ulp*square {
			error = math.Sqrt(within/df*parts) / blocks
		}
		d.difference[p] = sum / blocks
		d.value[p] = d.difference[p] / error
		if se != nil {
			se[p] = error
		}
	}
	return d.value
}
