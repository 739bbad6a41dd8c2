package contrast

import (
	"fmt"
	"math"
	"slices"
)

// A Run is one observation of a set of runs: the outcome Y with a covariate X,
// made by a block such as a player. Second says that it is of the second set, b.
type Run struct {
	Y, X   float64
	Second bool
	Block  int
}

// An Adjusted is a difference at equal values of a covariate.
type Adjusted struct {
	Test
	Slope, SlopeSE float64 // of the outcome on the covariate
	CovariateDiff  float64 // mean of the covariate in b less that in a, over the blocks
}

// Ancova returns the difference b − a at equal X, with the block as a factor:
// the analysis of covariance Y = block + set + slope·X by least squares (Fisher,
// Statistical Methods for Research Workers, 4th ed., 1932, section 49.1). Its
// error is the spread of runs about this model, so that it tells about these
// blocks, not about others like them. Runs with NaN are left out, and so are
// blocks that then have runs of one set only. ErrConfounded means that X does
// not vary within the sets of a block.
func Ancova(runs []Run, level float64) (Adjusted, error) {
	runs, blocks := inBothSets(runs)
	var x [][]float64
	var y []float64
	centre := covariateMean(runs)
	size := 0.0
	for _, r := range runs {
		row := make([]float64, 2+len(blocks))
		row[slices.Index(blocks, r.Block)] = 1
		if r.Second {
			row[len(blocks)] = 1
		}
		row[len(blocks)+1] = r.X - centre
		x, y = append(x, row), append(y, r.Y)
		size = math.Max(size, math.Abs(r.Y))
	}
	nan := math.NaN()
	none := Adjusted{unknown(nan), nan, nan, nan}
	l, err := leastSquares(x, y)
	if err != nil {
		return none, fmt.Errorf("%w (%d runs of %d blocks)", err, len(runs), len(blocks))
	}
	at := len(blocks)
	t, err := student(l.coef[at], l.se(at), l.df, size, level)
	return Adjusted{t, l.coef[at+1], l.se(at + 1), covariateDiff(runs, blocks)}, err
}

// inBothSets returns the runs without NaN of blocks that have runs of both sets,
// and those blocks in the order of their first.
func inBothSets(runs []Run) (kept []Run, blocks []int) {
	type sets struct{ first, second bool }
	has := map[int]sets{}
	good := func(r Run) bool { return !math.IsNaN(r.Y + r.X) }
	for _, r := range runs {
		if good(r) {
			s := has[r.Block]
			has[r.Block] = sets{s.first || !r.Second, s.second || r.Second}
		}
	}
	for _, r := range runs {
		if good(r) && has[r.Block] == (sets{true, true}) {
			kept = append(kept, r)
			if !slices.Contains(blocks, r.Block) {
				blocks = append(blocks, r.Block)
			}
		}
	}
	return kept, blocks
}

func covariateMean(runs []Run) float64 {
	sum := 0.0
	for _, r := range runs {
		sum += r.X
	}
	return sum / float64(len(runs))
}

// covariateDiff returns the mean over blocks of the difference of X.
func covariateDiff(runs []Run, blocks []int) float64 {
	sum := 0.0
	for _, b := range blocks {
		var first, second []float64
		for _, r := range runs {
			switch {
			case r.Block != b:
			case r.Second:
				second = append(second, r.X)
			default:
				first = append(first, r.X)
			}
		}
		sum += Summarize(second).Mean - Summarize(first).Mean
	}
	return sum / float64(len(blocks))
}
