package contrast

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrConfounded means that what is asked for cannot be told from the rest of
// the model: a covariate that is the same in every run, for example.
var ErrConfounded = errors.New("contrast: the effects cannot be told apart")

// linear is a linear model fitted by least squares.
type linear struct {
	coef    []float64
	inverse *mat.Dense // (XᵀX)⁻¹
	sd      float64    // of the residuals
	df      float64
}

// se returns the standard error of coefficient j.
func (l *linear) se(j int) float64 { return l.sd * math.Sqrt(l.inverse.At(j, j)) }

// leastSquares fits out = x·coef by the QR decomposition of x, a row an
// observation. Residuals need a degree of freedom.
func leastSquares(x [][]float64, out []float64) (*linear, error) {
	n := len(x)
	if n == 0 || n <= len(x[0]) {
		return nil, fmt.Errorf("%w: %d values", ErrTooFew, n)
	}
	design, r, err := orthogonal(x)
	if err != nil {
		return nil, err
	}
	_, p := design.Dims()
	y := mat.NewVecDense(n, out)
	var along, coef, fitted, res mat.VecDense
	along.MulVec(design.T(), y)
	if err := coef.SolveVec(r, &along); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrConfounded, err)
	}
	fitted.MulVec(design, &along)
	res.SubVec(y, &fitted)
	var inv, inverse mat.Dense
	if err := inv.Inverse(r); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrConfounded, err)
	}
	inverse.Mul(&inv, inv.T())
	df := float64(n - p)
	return &linear{coef.RawVector().Data, &inverse, mat.Norm(&res, 2) / math.Sqrt(df), df}, nil
}

// orthogonal returns the orthonormal columns Q and the upper triangle R of
// x = QR.
func orthogonal(x [][]float64) (q *mat.Dense, r *mat.Dense, err error) {
	n, p := len(x), len(x[0])
	if n < p {
		return nil, nil, ErrConfounded
	}
	design := mat.NewDense(n, p, nil)
	for i, row := range x {
		design.SetRow(i, row)
	}
	var qr mat.QR
	qr.Factorize(design)
	var whole, upper mat.Dense
	qr.QTo(&whole)
	qr.RTo(&upper)
	q, r = mat.DenseCopyOf(whole.Slice(0, n, 0, p)), mat.DenseCopyOf(upper.Slice(0, p, 0, p))
	// A column that the others hold already leaves nothing but rounding.
	const rounding = 1e-10
	for j := range p {
		if math.Abs(r.At(j, j)) <= rounding*mat.Norm(design.ColView(j), 2) {
			return nil, nil, ErrConfounded
		}
	}
	return q, r, nil
}
