package kinematics

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// ErrPoorSpread is returned by Register where the points seen do not fix a
// rotation: fewer than three, or nearly on one line.
var ErrPoorSpread = errors.New("kinematics: the points seen do not fix a rotation")

// A Registration is the rigid motion that takes one set of points to another.
type Registration struct {
	Frame
	RMS       float64 // weighted root mean square distance left, in the points' unit
	Condition float64 // ratio of the largest to the second singular value of the spread; large means near one line
	Seen      int     // points used
}

// Register returns the rotation and shift that take the points from to the
// points to with the smallest weighted sum of squared distances: the frame F
// with to ≈ F.ToLab(from). weights may be nil for equal ones. Pairs in which
// either point is NaN, or the weight is 0, are left out. A mirror image is
// never returned. It panics if the lengths differ; the error wraps
// ErrPoorSpread where fewer than three pairs are left or they lie nearly on a
// line (second singular value of the spread under 1 % of the first).
//
// Method: singular value decomposition of the cross-dispersion matrix
// (Söderkvist and Wedin, J. Biomech. 26:1473-1477, 1993; Umeyama, IEEE Trans.
// PAMI 13:376-380, 1991).
func Register(from, to []r3.Vec, weights []float64) (Registration, error) {
	if len(from) != len(to) || weights != nil && len(weights) != len(from) {
		panic("kinematics: Register needs as many points and weights on both sides")
	}
	weight := func(i int) float64 {
		if math.IsNaN(from[i].X) || math.IsNaN(to[i].X) {
			return 0
		}
		if weights == nil {
			return 1
		}
		return weights[i]
	}
	var sum float64
	var a, b r3.Vec // centroids
	seen := 0
	for i := range from {
		if w := weight(i); w > 0 {
			seen++
			sum += w
			a = r3.Add(a, r3.Scale(w, from[i]))
			b = r3.Add(b, r3.Scale(w, to[i]))
		}
	}
	reg := Registration{Frame: unknown, RMS: math.NaN(), Condition: math.Inf(1), Seen: seen}
	if seen < 3 {
		return reg, fmt.Errorf("%w: %d seen, 3 needed", ErrPoorSpread, seen)
	}
	a, b = r3.Scale(1/sum, a), r3.Scale(1/sum, b)
	cross := mat.NewDense(3, 3, nil)
	spread := mat.NewSymDense(3, nil)
	for i := range from {
		w := weight(i)
		if w == 0 {
			continue
		}
		p, q := r3.Sub(from[i], a), r3.Sub(to[i], b)
		u, v := [3]float64{p.X, p.Y, p.Z}, [3]float64{q.X, q.Y, q.Z}
		for r := range 3 {
			for c := range 3 {
				cross.Set(r, c, cross.At(r, c)+w*v[r]*u[c])
				if c >= r {
					spread.SetSym(r, c, spread.At(r, c)+w*u[r]*u[c])
				}
			}
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(spread, false) {
		return reg, fmt.Errorf("%w: no eigenvalues", ErrPoorSpread)
	}
	e := eig.Values(nil) // ascending squares of the singular values
	reg.Condition = math.Sqrt(e[2] / math.Max(e[1], 0))
	if !(reg.Condition < 100) {
		return reg, fmt.Errorf("%w: they lie on one line", ErrPoorSpread)
	}
	var svd mat.SVD
	if !svd.Factorize(cross, mat.SVDFull) {
		return reg, fmt.Errorf("%w: no singular values", ErrPoorSpread)
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	if mat.Det(&u)*mat.Det(&v) < 0 { // keep to rotations: turn the weakest direction
		for r := range 3 {
			u.Set(r, 2, -u.At(r, 2))
		}
	}
	var rot mat.Dense
	rot.Mul(&u, v.T())
	col := func(c int) r3.Vec { return r3.Vec{X: rot.At(0, c), Y: rot.At(1, c), Z: rot.At(2, c)} }
	reg.Frame = Frame{X: col(0), Y: col(1), Z: col(2)}
	reg.Origin = r3.Sub(b, reg.Turn(a))
	var left float64
	for i := range from {
		if w := weight(i); w > 0 {
			left += w * r3.Norm2(r3.Sub(to[i], reg.ToLab(from[i])))
		}
	}
	reg.RMS = math.Sqrt(left / sum)
	return reg, nil
}
