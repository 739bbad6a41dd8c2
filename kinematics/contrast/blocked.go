package contrast

import (
	"fmt"
	"math"
	"slices"
)

// A Blocked is a difference between two sets of runs made by several blocks,
// such as players, found by a mixed model.
type Blocked struct {
	Adjusted           // the slope is NaN where the model has no covariate
	BlockSD    float64 // standard deviation of blocks
	BlockSetSD float64 // of a block's own taste for a set; NaN where no set of a block has two runs, which RunSD then holds
	RunSD      float64 // of runs of one set of a block
}

// MixedBlocks returns the difference b − a under Y = set + block + block's set +
// run, where all but set are random: the model of players who differ in how a
// club suits them. With even numbers it gives the paired test of the blocks'
// means; with uneven ones it weighs them by what they are worth. In R:
// lmerTest::lmer(y ~ set + (1 | block) + (1 | block:set)). Runs with NaN are left
// out, and blocks that then have runs of one set only. Two blocks are needed.
func MixedBlocks(runs []Run, level float64) (Blocked, error) {
	runs = slices.Clone(runs)
	for i := range runs {
		runs[i].X = 0
	}
	return mixedBlocks(runs, false, level)
}

// MixedAncova is MixedBlocks at equal values of the covariate X: Ancova for
// blocks like these, where Ancova tells about these blocks. X enters less the
// mean of its block, so that the slope is that of a block's own runs, whatever
// fast and slow blocks differ by besides (Neuhaus & Kalbfleisch, Biometrics
// 54:638-645, 1998). In R: lmerTest::lmer(y ~ set + I(x - ave(x, block)) +
// (1 | block) + (1 | block:set)).
func MixedAncova(runs []Run, level float64) (Blocked, error) { return mixedBlocks(runs, true, level) }

func mixedBlocks(runs []Run, covariate bool, level float64) (Blocked, error) {
	runs, blocks := inBothSets(runs)
	nan := math.NaN()
	none := Blocked{Adjusted{unknown(nan), nan, nan, nan}, nan, nan, nan}
	if len(blocks) < 2 {
		return none, fmt.Errorf("%w: %d blocks with runs of both sets, where 2 are needed", ErrTooFew, len(blocks))
	}
	centre := make([]float64, len(blocks))
	for i, b := range blocks {
		centre[i] = covariateMean(slices.DeleteFunc(slices.Clone(runs), func(r Run) bool { return r.Block != b }))
	}
	var y []float64
	var x [][]float64
	block, cell := Term{}, Term{}
	seen := map[int]bool{}
	twice := false
	for _, r := range runs {
		b, set := slices.Index(blocks, r.Block), 0
		if r.Second {
			set = 1
		}
		row := []float64{1, float64(set)}
		if covariate {
			row = append(row, r.X-centre[b])
		}
		y, x = append(y, r.Y), append(x, row)
		block.Level, cell.Level = append(block.Level, b), append(cell.Level, 2*b+set)
		twice = twice || seen[2*b+set]
		seen[2*b+set] = true
	}
	terms := []Term{block}
	if twice {
		terms = append(terms, cell)
	}
	m, err := FitMixed(y, x, terms...)
	if err != nil {
		return none, fmt.Errorf("%w (%d runs of %d blocks)", err, len(runs), len(blocks))
	}
	out := Blocked{Adjusted{CovariateDiff: nan, Slope: nan, SlopeSE: nan}, m.SD[0], nan, m.Residual}
	if twice {
		out.BlockSetSD = m.SD[1]
	}
	c := make([]float64, len(x[0]))
	c[1] = 1
	if covariate {
		out.Slope, out.SlopeSE, out.CovariateDiff = m.Coef[2], m.SE[2], covariateDiff(runs, blocks)
	}
	out.Test, err = m.Test(c, level)
	return out, err
}
