package kinematics

import "math"

// A band is the Cholesky factor U of a symmetric positive definite band matrix
// A = UᵀU. It is written out because a general routine spends most of its time
// around rows of so few elements.
type band struct {
	n, reach int       // rows, and elements right of the diagonal
	u        []float64 // u[i·(reach+1) + k] is element (i, i+k); the diagonal is inverted
}

func (b *band) row(i int) []float64 { return b.u[i*(b.reach+1) : (i+1)*(b.reach+1)] }

// factorBand factors the matrix whose upper band a holds, element (i, i+k) at
// i·(reach+1) + k, in its place. It reports false where the matrix is not
// positive definite to working precision.
func factorBand(a []float64, reach int) (*band, bool) {
	b := &band{len(a) / (reach + 1), reach, a}
	for i := range b.n {
		row := b.row(i)
		if !(row[0] > 0) {
			return nil, false
		}
		d := 1 / math.Sqrt(row[0])
		row[0] = d
		for k := 1; k <= reach; k++ {
			row[k] *= d
		}
		for k := 1; k <= min(reach, b.n-1-i); k++ {
			f, below := row[k], b.row(i+k)
			for l, v := range row[k:] {
				below[l] -= f * v
			}
		}
	}
	return b, true
}

// solve turns three right-hand sides into their solutions: x[i] holds the ith
// element of each, so that one need not wait for the other.
func (b *band) solve(x [][3]float64) {
	reach := b.reach
	for i := range x {
		row := b.row(i)
		v := &x[i]
		v[0], v[1], v[2] = v[0]*row[0], v[1]*row[0], v[2]*row[0]
		below := x[i+1:]
		below = below[:min(reach, len(below))]
		for k := range below {
			f, to := row[k+1], &below[k]
			to[0] -= f * v[0]
			to[1] -= f * v[1]
			to[2] -= f * v[2]
		}
	}
	for i := len(x) - 1; i >= 0; i-- {
		row := b.row(i)
		v := x[i]
		below := x[i+1:]
		below = below[:min(reach, len(below))]
		for k := range below {
			f, from := row[k+1], &below[k]
			v[0] -= f * from[0]
			v[1] -= f * from[1]
			v[2] -= f * from[2]
		}
		x[i] = [3]float64{v[0] * row[0], v[1] * row[0], v[2] * row[0]}
	}
}

// logDet returns the logarithm of the determinant of A.
func (b *band) logDet() float64 {
	var sum float64
	for i := range b.n {
		sum -= 2 * math.Log(b.u[i*(b.reach+1)])
	}
	return sum
}

// inverse returns the band of A⁻¹, element (i, i+k) at i·(reach+1) + k, from the
// last row up (Takahashi's recursion; Erisman and Tinney, Comm. ACM 18:177-179,
// 1975).
func (b *band) inverse() []float64 {
	reach, stride := b.reach, b.reach+1
	inv := make([]float64, len(b.u))
	for i := b.n - 1; i >= 0; i-- {
		row := b.row(i)
		reach := min(reach, b.n-1-i)
		to := inv[i*stride : (i+1)*stride]
		for k := reach; k >= 1; k-- {
			var sum float64
			for l := 1; l < k; l++ { // element (i+l, i+k)
				sum += row[l] * inv[(i+l)*stride+k-l]
			}
			for l := k; l <= reach; l++ { // element (i+k, i+l)
				sum += row[l] * inv[(i+k)*stride+l-k]
			}
			to[k] = -sum * row[0]
		}
		sum := row[0]
		for l := 1; l <= reach; l++ {
			sum -= row[l] * to[l]
		}
		to[0] = sum * row[0]
	}
	return inv
}
