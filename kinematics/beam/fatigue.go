package beam

import "math"

// A Cycle is a number of cycles of one range.
type Cycle struct {
	Range float64 // from lowest to highest
	Mean  float64
	Count float64 // 0.5 or 1
}

// Rainflow returns the cycles of a load history in the order in which they are
// counted, by the rule of ASTM E1049-85, 5.4.4 (rainflow counting): a range is
// counted once the next one is as large, as half a cycle where it holds the
// start of the history, and what is left at the end counts as half cycles.
// Units are those of x. NaN are left out.
func Rainflow(x []float64) []Cycle {
	var cycles []Cycle
	count := func(a, b, n float64) {
		cycles = append(cycles, Cycle{math.Abs(b - a), (a + b) / 2, n})
	}
	var open []float64 // turning points not yet counted
	for _, p := range turns(x) {
		open = append(open, p)
		for len(open) >= 3 {
			n := len(open)
			a, b, c := open[n-3], open[n-2], open[n-1]
			if math.Abs(c-b) < math.Abs(b-a) {
				break
			}
			if n == 3 {
				count(a, b, 0.5)
				open = open[1:]
				continue
			}
			count(a, b, 1)
			open = append(open[:n-3], c)
		}
	}
	for i := 1; i < len(open); i++ {
		count(open[i-1], open[i], 0.5)
	}
	return cycles
}

// turns returns first and last value of x and those between at which it turns.
func turns(x []float64) []float64 {
	var out []float64
	for _, v := range x {
		n := len(out)
		switch {
		case math.IsNaN(v), n > 0 && v == out[n-1]:
		case n > 1 && (v > out[n-1]) == (out[n-1] > out[n-2]):
			out[n-1] = v // still on its way
		default:
			out = append(out, v)
		}
	}
	return out
}

// RigCycles returns how many cycles of a range on a rig do the damage of the
// cycles, if damage adds up linearly (Palmgren and Miner) and goes with the
// range to the power of slope: Σ count (range/rig)^slope. Means are left out of
// account. It helps to plan a test and proves no durability.
func RigCycles(cycles []Cycle, rig, slope float64) float64 {
	sum := 0.0
	for _, c := range cycles {
		sum += c.Count * math.Pow(c.Range/rig, slope)
	}
	return sum
}
