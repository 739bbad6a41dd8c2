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
	droopAngleDoubt = 1.2

	// Of lead through the swing: where it lags most the basis misleads it more
	// than at impact.
	swingDoubt = 1
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
