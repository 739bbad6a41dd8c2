package contrast

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/combin"
)

// A set holds, at each point, the number, sum and sum of squares of the curves
// put into it.
type set struct{ n, sum, square []float64 }

func newSet(points int) set {
	return set{make([]float64, points), make([]float64, points), make([]float64, points)}
}

func (s set) clear() {
	clear(s.n)
	clear(s.sum)
	clear(s.square)
}

// add puts curve into the set, leaving out NaN.
func (s set) add(curve []float64, sign float64) {
	for i, v := range curve {
		if v == v {
			s.n[i]++
			s.sum[i] += sign * v
			s.square[i] += v * v
		}
	}
}

// variance returns the squared standard error of a mean of n values with the
// given sum and sum of squares. It is NaN where they do not spread by more than
// the rounding of their squares.
func variance(n, sum, square float64) float64 {
	const ulp = 0x1p-52
	if spread := square - sum*sum/n; n > 1 && spread > n*ulp*square {
		return spread / (n - 1) / n
	}
	return math.NaN()
}

// A welch computes Welch's t of curves dealt to two sets.
type welch struct {
	curves [][]float64
	all, a set
	value  []float64
}

func newWelch(curves [][]float64) *welch {
	n := points(curves)
	w := &welch{curves: curves, all: newSet(n), a: newSet(n), value: make([]float64, n)}
	for _, c := range curves {
		w.all.add(c, 1)
	}
	return w
}

// t returns the t of the rest minus the curves with the given indices, good
// until the next call.
func (w *welch) t(first []int) []float64 {
	w.a.clear()
	for _, i := range first {
		w.a.add(w.curves[i], 1)
	}
	for i := range w.value {
		na, sa, qa := w.a.n[i], w.a.sum[i], w.a.square[i]
		nb, sb, qb := w.all.n[i]-na, w.all.sum[i]-sa, w.all.square[i]-qa
		w.value[i] = (sb/nb - sa/na) / math.Sqrt(variance(na, sa, qa)+variance(nb, sb, qb))
	}
	return w.value
}

// largest returns the largest |t| along the curve of every way of dealing as many
// curves to the first set as were observed in it, or of some drawn from seed, with
// that observed.
func (w *welch) largest(observed []int, seed uint64) (largest []float64, exact bool) {
	n, k := len(w.curves), len(observed)
	if math.Exp(combin.LogGeneralizedBinomial(float64(n), float64(k))) <= relabellings+0.5 {
		for _, set := range combin.Combinations(n, k) {
			largest = append(largest, peak(w.t(set)))
		}
		return largest, true
	}
	rng := rand.New(rand.NewPCG(seed, 0))
	largest = append(largest, peak(w.t(observed)))
	for len(largest) < relabellings {
		largest = append(largest, peak(w.t(rng.Perm(n)[:k])))
	}
	return largest, false
}

// A flip computes the one-sample t of curves whose signs are turned.
type flip struct {
	curves [][]float64
	sum    set
	value  []float64
}

func newFlip(curves [][]float64) *flip {
	n := points(curves)
	return &flip{curves: curves, sum: newSet(n), value: make([]float64, n)}
}

// t returns the t of the curves with some turned, good until the next call.
func (f *flip) t(turned []bool) []float64 {
	f.sum.clear()
	for i, c := range f.curves {
		sign := 1.0
		if turned[i] {
			sign = -1
		}
		f.sum.add(c, sign)
	}
	for i := range f.value {
		n, s := f.sum.n[i], f.sum.sum[i]
		f.value[i] = s / n / math.Sqrt(variance(n, s, f.sum.square[i]))
	}
	return f.value
}

// largest returns the largest |t| along the curve of every way of turning signs,
// or of some drawn from seed, with that observed.
func (f *flip) largest(seed uint64) (largest []float64, exact bool) {
	n := len(f.curves)
	turned := make([]bool, n)
	largest = append(largest, peak(f.t(turned)))
	if n < 12 && 1<<n <= relabellings {
		for bits := 1; bits < 1<<n; bits++ {
			for i := range turned {
				turned[i] = bits>>i&1 == 1
			}
			largest = append(largest, peak(f.t(turned)))
		}
		return largest, true
	}
	rng := rand.New(rand.NewPCG(seed, 0))
	for len(largest) < relabellings {
		for i := range turned {
			turned[i] = rng.IntN(2) == 1
		}
		largest = append(largest, peak(f.t(turned)))
	}
	return largest, false
}

// centred returns the curves less their mean at each point, which keeps sums of
// squares from losing digits.
func centred(curves [][]float64) [][]float64 {
	mean := Summaries(curves)
	out := make([][]float64, len(curves))
	for i, c := range curves {
		out[i] = make([]float64, len(c))
		for j, v := range c {
			out[i][j] = v - mean[j].Mean
		}
	}
	return out
}
