package contrast

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// An Item is one value of a precision experiment: which unit it belongs to
// (shaft, laboratory) and under which block it was found (player).
type Item struct {
	Value       float64
	Unit, Block int
}

// A Precision splits spread into that of one unit in one block and that between
// units (ISO 5725-2:1994, 7.4).
type Precision struct {
	Mean            float64 // of all values
	Repeatability   float64 // s_r: standard deviation within unit and block
	Between         float64 // s_L: standard deviation between units, 0 where the units spread less than chance would have them
	Reproducibility float64 // s_R: both together
	F, DF1, DF2, P  float64 // of the hypothesis that the units do not differ
	PerUnit         float64 // n̄: values a unit, as the mean square between units weighs them
	Units, Blocks   int
	N               int
}

// Limit returns the repeatability limit: two values of one unit differ by less
// 95 % of the time (ISO 5725-6:1994, 4.1.4).
func (p Precision) Limit() float64 { return 2.8 * p.Repeatability }

// Sharing returns the precision where all values of a unit also share an error of
// standard uncertainty u, such as that of a club's reference: Between and
// Reproducibility are then without it, and F and P are of the hypothesis that the
// units differ by no more. The mean square between units is then expected to be
// s_r² + n̄u²; as u is known, F spreads less than its distribution, and P is on the
// safe side. A u that is NaN or 0 leaves p as it is.
func (p Precision) Sharing(u float64) Precision {
	if !(u > 0) || !(p.F >= 0) {
		return p
	}
	within := p.Repeatability * p.Repeatability
	expected := within + p.PerUnit*u*u
	between := p.F * within
	p.F = between / expected
	p.P = distuv.F{D1: p.DF1, D2: p.DF2}.Survival(p.F)
	variance := math.Max(0, (between-expected)/p.PerUnit)
	p.Between, p.Reproducibility = math.Sqrt(variance), math.Sqrt(within+variance)
	return p
}

// Precise splits the spread of values of several units. With one block it is
// the layout of ISO 5725-2. With several, blocks may differ from each other
// freely: the mean square between units is taken after blocks, and its
// expectation s_r² + n̄·s_L² gives s_L (Henderson, Biometrics 9:226-252, 1953,
// method 3), so that a block's own taste for a unit counts as between units. NaN
// is left out. ErrTooFew means fewer than two units or no repeated value;
// ErrConfounded that each unit was found in blocks of its own.
func Precise(items []Item) (Precision, error) {
	items = slices.DeleteFunc(slices.Clone(items), func(i Item) bool { return math.IsNaN(i.Value) })
	var units, blocks []int
	cells := map[[2]int][]float64{}
	for _, i := range items {
		if !slices.Contains(units, i.Unit) {
			units = append(units, i.Unit)
		}
		if !slices.Contains(blocks, i.Block) {
			blocks = append(blocks, i.Block)
		}
		cell := [2]int{i.Unit, i.Block}
		cells[cell] = append(cells[cell], i.Value)
	}
	n := len(items)
	out := Precision{Units: len(units), Blocks: len(blocks), N: n}
	if len(units) < 2 || n == len(cells) {
		return out, fmt.Errorf("%w: %d values of %d units", ErrTooFew, n, len(units))
	}
	mean := 0.0
	for _, i := range items {
		mean += i.Value / float64(n)
	}
	out.Mean = mean
	within := 0.0
	for _, i := range items {
		cell := cells[[2]int{i.Unit, i.Block}]
		d := i.Value - Summarize(cell).Mean
		within += d * d
	}
	out.DF2 = float64(n - len(cells))
	within /= out.DF2
	const ulp = 0x1p-52
	if within <= math.Pow(10*ulp*mean, 2) {
		return out, ErrNoSpread
	}

	// Columns of blocks, then of all units but the first.
	rows := make([][]float64, n)
	for r, i := range items {
		rows[r] = make([]float64, len(blocks)+len(units)-1)
		rows[r][slices.Index(blocks, i.Block)] = 1
		if u := slices.Index(units, i.Unit); u > 0 {
			rows[r][len(blocks)+u-1] = 1
		}
	}
	q, _, err := orthogonal(rows)
	if err != nil {
		return out, fmt.Errorf("%w: each unit was found in blocks of its own", err)
	}
	after := q.Slice(0, n, len(blocks), len(blocks)+len(units)-1)
	y := mat.NewVecDense(n, nil)
	for r, i := range items {
		y.SetVec(r, i.Value-mean)
	}
	var along mat.VecDense
	along.MulVec(after.T(), y)
	out.DF1 = float64(len(units) - 1)
	between := mat.Dot(&along, &along) / out.DF1
	// n̄ is the mean, over those degrees of freedom, of the squared length of the
	// units' indicators along them.
	indicator := mat.NewDense(n, len(units), nil)
	for r, i := range items {
		indicator.Set(r, slices.Index(units, i.Unit), 1)
	}
	var shadow mat.Dense
	shadow.Mul(after.T(), indicator)
	out.PerUnit = math.Pow(mat.Norm(&shadow, 2), 2) / out.DF1

	variance := math.Max(0, (between-within)/out.PerUnit)
	out.Repeatability, out.Between, out.Reproducibility = math.Sqrt(within), math.Sqrt(variance), math.Sqrt(within+variance)
	out.F = between / within
	out.P = distuv.F{D1: out.DF1, D2: out.DF2}.Survival(out.F)
	return out, nil
}
