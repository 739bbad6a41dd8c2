package kinematics

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// The doubts are by how much the variance of a value is more than its normal
// equations say. Those know the markers' noise; of the shaft's moments, which are
// no polygon, they know the prior's widths, and so only roughly how far these
// mislead a value: too much for those that the markers at the tip hold, too
// little for the tip's slope across. The factors are a type B evaluation (JCGM
// 100, 4.3): they make the interval hold what it says over simulated swings of
// other clubs, players and noise than those of the tables (see DEVELOPERS.md).
const (
	leadDoubt       = 0.75
	droopDoubt      = 0.8
	twistDoubt      = 1
	leadAngleDoubt  = 0.85
	droopAngleDoubt = 1.4

	// Of lead through the swing: where it lags most the basis misleads it more
	// than at impact.
	swingDoubt = 1
)

// The model parts are how much of the variance that the prior leaves in a value
// is the same error for two clubs that a player swings, and does not fall out of
// their difference: how the player's hands spread the moment mostly does, as it
// misleads both alike; what a table of stiffness has wrong does not. A type B
// evaluation over simulated pairs of clubs of one player, of which one is 15 %
// softer at the tip and each table is wrong by 7 % in waves of its own.
const (
	leadModel       = 0.15
	droopModel      = 0.1
	twistModel      = 0
	leadAngleModel  = 0.35
	droopAngleModel = 0.4
)

// noise returns what the noise of the markers leaves of the variance of a value
// that changes with the amplitudes by g: with x = N⁻¹g, xᵀ(JᵀWJ)x.
func (s *solver) noise(g *[shapes]float64) float64 {
	clear(s.grad[:poseDims])
	copy(s.grad[poseDims:], g[:])
	s.solveFactored()
	x := blas64.Vector{N: dims, Inc: 1, Data: s.grad}
	var m [dims]float64
	mx := blas64.Vector{N: dims, Inc: 1, Data: m[:]}
	blas64.Symv(1, blas64.Symmetric{N: dims, Stride: dims, Data: s.info, Uplo: blas.Upper}, x, 0, mx)
	return blas64.Dot(x, mx)
}

// placed returns what the places of the marks leave of the variance of a value
// that changes with the amplitudes by g: with x = N⁻¹g, Σ sd²·|W J x|² over the
// marks, whose errors are independent.
func (s *solver) placed(g *[shapes]float64) float64 {
	clear(s.grad[:poseDims])
	copy(s.grad[poseDims:], g[:])
	s.solveFactored()
	n := len(s.res)
	by := make([]float64, n) // root of W, times J x
	blas64.Gemv(blas.Trans, 1, blas64.General{Rows: dims, Cols: n, Stride: n, Data: s.jac},
		blas64.Vector{N: dims, Inc: 1, Data: s.grad}, 0, blas64.Vector{N: n, Inc: 1, Data: by})
	sum := 0.0
	for i, v := range by {
		v *= s.root[i/3] * s.marks[i/3].sd
		sum += v * v
	}
	return sum
}
