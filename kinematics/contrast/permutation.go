package contrast

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/combin"
)

// A Permutation is the outcome of a permutation test of a difference of means:
// it supposes no distribution, only that without a difference every relabelling
// was as likely as the one seen.
type Permutation struct {
	Difference float64 // b − a
	P          float64 // two-sided: the share of relabellings with a difference as large
	SE         float64 // Monte Carlo standard error of P, 0 where Exact
	Ways       int     // relabellings that P is a share of
	Exact      bool    // they are all there are
}

const (
	exactWays   = 200_000 // most relabellings that are all tried: ten against ten runs have 184756
	drawnWays   = 9_999   // how many are drawn where there are more
	sameToRound = 1e-9    // sums of the same values in another order differ less, as a share of the largest
)

// PermuteSigns turns the signs of the differences d (Fisher, The Design of
// Experiments, 1935, section 21). NaN is left out. See PermuteLabels for the
// rest.
func PermuteSigns(d []float64, level float64, seed uint64) (Permutation, error) {
	d = known(d)
	n := float64(len(d))
	parts := make([]part, len(d))
	for i, v := range d {
		v /= n
		parts[i] = part{
			seen: v, ways: 2,
			all:  func() []float64 { return []float64{v, -v} },
			draw: func(rng *rand.Rand) float64 { return v - 2*v*float64(rng.IntN(2)) },
		}
	}
	return permute(parts, level, seed)
}

// PermuteLabels deals the values of a[i] and b[i] anew to the two sets, within
// each block i alone. The statistic is the mean over blocks of b's mean minus
// a's. One block is the two-sample permutation test (Pitman, Supplement to the
// Journal of the Royal Statistical Society 4:119-130, 1937); several tell about
// these blocks, not about others like them. It supposes that without a
// difference of means the two sets of a block spread alike too. NaN is left
// out, and with it a block that has none in one set.
//
// Up to 200000 relabellings are all tried and P is exact. Of more, 9999 are
// drawn from seed, and P = (1 + as large)/10000 (Phipson & Smyth, Statistical
// Applications in Genetics and Molecular Biology 9:39, 2010).
//
// ErrTooFew means that there is nothing to relabel, or that so few relabellings
// are to be had that even the most extreme has P above 1 − level. It panics when
// a and b differ in length or level is not between 0 and 1.
func PermuteLabels(a, b [][]float64, level float64, seed uint64) (Permutation, error) {
	if len(a) != len(b) {
		panic(fmt.Sprintf("contrast: %d and %d blocks", len(a), len(b)))
	}
	var parts []part
	for i := range a {
		if x, y := known(a[i]), known(b[i]); len(x) > 0 && len(y) > 0 {
			parts = append(parts, newDeal(x, y))
		}
	}
	for i := range parts {
		parts[i] = parts[i].times(1 / float64(len(parts)))
	}
	return permute(parts, level, seed)
}

// A part is what one pair or block adds to the statistic.
type part struct {
	seen float64                  // as labelled
	ways float64                  // relabellings
	all  func() []float64         // the value of each
	draw func(*rand.Rand) float64 // the value of one
}

// newDeal returns the part of a block: the difference of means of y and x when
// the values are dealt to them at random.
func newDeal(x, y []float64) part {
	k, n := len(x), len(x)+len(y)
	pool := append(append(make([]float64, 0, n), x...), y...)
	mean := Summarize(pool).Mean
	for i := range pool {
		pool[i] -= mean // so that the sums keep their digits
	}
	total := 0.0
	for _, v := range pool {
		total += v
	}
	difference := func(first float64) float64 { return (total-first)/float64(n-k) - first/float64(k) }
	seen := 0.0
	for _, v := range pool[:k] {
		seen += v
	}
	return part{
		seen: difference(seen),
		ways: math.Round(math.Exp(combin.LogGeneralizedBinomial(float64(n), float64(k)))),
		all: func() []float64 {
			var out []float64
			var choose func(from, left int, sum float64)
			choose = func(from, left int, sum float64) {
				if left == 0 {
					out = append(out, difference(sum))
					return
				}
				for i := from; i <= n-left; i++ {
					choose(i+1, left-1, sum+pool[i])
				}
			}
			choose(0, k, 0)
			return out
		},
		draw: func(rng *rand.Rand) float64 {
			sum := 0.0
			for i := range k { // the start of a shuffle (Fisher & Yates)
				j := i + rng.IntN(n-i)
				pool[i], pool[j] = pool[j], pool[i]
				sum += pool[i]
			}
			return difference(sum)
		},
	}
}

// times returns the part with its values times f.
func (p part) times(f float64) part {
	return part{
		seen: p.seen * f, ways: p.ways,
		all: func() []float64 {
			x := p.all()
			for i := range x {
				x[i] *= f
			}
			return x
		},
		draw: func(rng *rand.Rand) float64 { return p.draw(rng) * f },
	}
}

// permute finds how many relabellings have a sum over the parts as large as the
// one seen.
func permute(parts []part, level float64, seed uint64) (Permutation, error) {
	if !(level > 0 && level < 1) {
		panic(fmt.Sprintf("contrast: level %v is not between 0 and 1", level))
	}
	out := Permutation{Difference: math.NaN(), P: math.NaN(), SE: math.NaN()}
	if len(parts) == 0 {
		return out, fmt.Errorf("%w: there is nothing to relabel", ErrTooFew)
	}
	ways := 1.0
	out.Difference = 0
	for _, p := range parts {
		ways *= p.ways
		out.Difference += p.seen
	}
	var sums []float64
	out.Exact = ways <= exactWays
	if out.Exact {
		sums = []float64{0}
		for _, p := range parts {
			values := p.all()
			next := make([]float64, 0, len(sums)*len(values))
			for _, s := range sums {
				for _, v := range values {
					next = append(next, s+v)
				}
			}
			sums = next
		}
	} else {
		rng := rand.New(rand.NewPCG(seed, 0))
		sums = append(make([]float64, 0, drawnWays+1), out.Difference)
		for range drawnWays {
			s := 0.0
			for _, p := range parts {
				s += p.draw(rng)
			}
			sums = append(sums, s)
		}
	}
	out.Ways = len(sums)
	most := 0.0
	for _, s := range sums {
		most = math.Max(most, math.Abs(s))
	}
	if most == 0 {
		return out, ErrNoSpread
	}
	share := func(size float64) float64 {
		n := 0
		for _, s := range sums {
			if math.Abs(s) >= size-sameToRound*most {
				n++
			}
		}
		return float64(n) / float64(len(sums))
	}
	if least := share(most); out.Exact && least > 1-level {
		return out, fmt.Errorf("%w: of %d relabellings none has a p below %.2g", ErrTooFew, out.Ways, least)
	}
	out.P, out.SE = share(math.Abs(out.Difference)), 0
	if !out.Exact {
		out.SE = math.Sqrt(out.P * (1 - out.P) / drawnWays)
	}
	return out, nil
}
