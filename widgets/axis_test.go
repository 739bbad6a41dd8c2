package widgets

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		e    extent
		n    int
		want []float64
		dec  int
	}{
		{extent{0, 10}, 5, []float64{0, 2, 4, 6, 8, 10}, 0},
		{extent{-0.05, 0.31}, 4, []float64{0, 0.1, 0.2, 0.3}, 1},
		{extent{-300, 20}, 6, []float64{-300, -200, -100, 0}, 0},
		{extent{0, 1}, 10, []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}, 1},
		{extent{9.98, 10.02}, 4, []float64{9.98, 9.99, 10, 10.01, 10.02}, 2},
		{extent{0, 9000}, 3, []float64{0, 5000}, 0},
		{extent{1, 1}, 3, nil, 0},
		{extent{math.NaN(), 1}, 3, nil, 0},
	} {
		got, dec := c.e.ticks(c.n)
		if !slices.Equal(got, c.want) || dec != c.dec {
			t.Errorf("%v in %d: %v with %d decimals, want %v with %d", c.e, c.n, got, dec, c.want, c.dec)
		}
	}
}

// Ticks lie in the extent, evenly, at steps of 1, 2 or 5, not many more than
// asked for, and their texts read back as them.
func TestTicksOfAnyExtent(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 3000 {
		lo := r.NormFloat64() * math.Pow(10, float64(r.IntN(9)-4))
		e := extent{lo, lo + math.Pow(10, float64(r.IntN(9)-4))*(0.1+r.Float64())}
		n := 2 + r.IntN(9)
		values, dec := e.ticks(n)
		if len(values) > n+1 || len(values) < n/3 {
			t.Fatalf("%v in %d: %v", e, n, values)
		}
		for i, v := range values {
			slack := 1e-9 * (e.hi - e.lo)
			if v < e.lo-slack || v > e.hi+slack {
				t.Fatalf("%v in %d: %v lies outside", e, n, v)
			}
			text, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', dec, 64), 64)
			if err != nil || math.Abs(text-v) > slack {
				t.Fatalf("%v in %d: %v reads as %v (%v)", e, n, v, text, err)
			}
			if i == 0 {
				continue
			}
			step := v - values[i-1]
			digit := step / math.Pow(10, math.Floor(math.Log10(step*(1+1e-6))))
			near := func(d float64) bool { return math.Abs(digit-d) < 1e-4 }
			if !near(1) && !near(2) && !near(5) {
				t.Fatalf("%v in %d: step %v", e, n, step)
			}
		}
	}
}

func TestExtentInverse(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 500 {
		e := extent{lo: r.NormFloat64()}
		e.hi = e.lo + r.ExpFloat64() + 1e-3
		v := e.value(r.Float64())
		if got := e.value(e.at(v)); math.Abs(got-v) > 1e-12 {
			t.Fatalf("%v: %v comes back as %v", e, v, got)
		}
	}
}

func TestRoomy(t *testing.T) {
	if got := nowhere.roomy(0.1); got != (extent{0, 1}) {
		t.Errorf("no values: %v", got)
	}
	if got := nowhere.with(5).with(math.NaN()).roomy(0.1); got != (extent{4.5, 5.5}) {
		t.Errorf("one value: %v", got)
	}
	if got := nowhere.with(1).with(3).roomy(0.5); got != (extent{0, 4}) {
		t.Errorf("two values: %v", got)
	}
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v    float64
		dec  int
		want string
	}{{-1.25, 1, "–1.2"}, {3, 2, "3.00"}, {-0.04, 1, "0.0"}, {math.NaN(), 1, "–"}, {math.Copysign(0, -1), 0, "0"}} {
		if got := number(c.v, c.dec); got != c.want {
			t.Errorf("%v to %d: %q, want %q", c.v, c.dec, got, c.want)
		}
	}
}
