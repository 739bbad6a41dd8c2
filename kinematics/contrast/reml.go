package contrast

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A reml holds the cross products of a mixed model and, at the last gammas it
// was evaluated at, what follows from them. The variance of y is
// σ²(I + Σ γ_k·Z_k·Z_kᵀ) = σ²·W⁻¹, with γ_k the variance of term k over σ². X
// has orthonormal columns.
type reml struct {
	zz, zX *mat.Dense // ZᵀZ, ZᵀX
	zy, xy *mat.VecDense
	yy     float64
	from   []int // the columns of term k in Z are from[k] to from[k+1]
	df     float64

	gamma     []float64
	criterion float64       // −2·restricted log-likelihood over σ, but for constants
	rss       float64       // (y − X·coef)ᵀW(y − X·coef)
	coef      *mat.VecDense //
	cov       *mat.Dense    // (XᵀWX)⁻¹
	zx        *mat.Dense    // ZᵀWX
	zpz       *mat.Dense    // ZᵀPZ, with P = W − WX(XᵀWX)⁻¹XᵀW
	zpy       *mat.VecDense // ZᵀPy
}

func newREML(y *mat.VecDense, x *mat.Dense, terms []Term) *reml {
	n, p := x.Dims()
	m := &reml{from: []int{0}, gamma: make([]float64, len(terms)), df: float64(n - p), yy: mat.Dot(y, y)}
	for _, t := range terms {
		levels := 0
		for _, l := range t.Level {
			levels = max(levels, l+1)
		}
		m.from = append(m.from, m.from[len(m.from)-1]+levels)
	}
	m.xy = mat.NewVecDense(p, nil)
	m.xy.MulVec(x.T(), y)
	columns := m.from[len(terms)]
	if columns == 0 {
		return m
	}
	z := mat.NewDense(n, columns, nil)
	for k, t := range terms {
		for i, l := range t.Level {
			v := 1.0
			if t.Value != nil {
				v = t.Value[i]
			}
			z.Set(i, m.from[k]+l, v)
		}
	}
	m.zz, m.zX, m.zy = new(mat.Dense), new(mat.Dense), new(mat.VecDense)
	m.zz.Mul(z.T(), z)
	m.zX.Mul(z.T(), x)
	m.zy.MulVec(z.T(), y)
	return m
}

// evaluate works everything out for the gammas g, which it copies.
func (m *reml) evaluate(g []float64) error {
	copy(m.gamma, g)
	p := m.xy.Len()
	xwx := mat.NewDense(p, p, nil)
	for j := range p {
		xwx.Set(j, j, 1)
	}
	xwy := mat.VecDenseCopyOf(m.xy)
	ywy := m.yy
	logdet := 0.0
	var zwz mat.Dense
	var zwy mat.VecDense
	m.zx = new(mat.Dense)
	columns := m.from[len(m.gamma)]
	if columns > 0 {
		// With D the diagonal of gammas, W = I − ZD(I + ZᵀZD)⁻¹Zᵀ, and so
		// ZᵀW = (I + ZᵀZD)⁻¹Zᵀ.
		scale := make([]float64, columns)
		for k, v := range m.gamma {
			for j := m.from[k]; j < m.from[k+1]; j++ {
				scale[j] = v
			}
		}
		d := mat.NewDiagDense(columns, scale)
		var inner mat.Dense
		inner.Mul(m.zz, d)
		for j := range columns {
			inner.Set(j, j, inner.At(j, j)+1)
		}
		var lu mat.LU
		lu.Factorize(&inner)
		logdet, _ = lu.LogDet()
		for _, s := range []error{lu.SolveTo(&zwz, false, m.zz), lu.SolveTo(m.zx, false, m.zX), lu.SolveVecTo(&zwy, false, m.zy)} {
			if _, ill := s.(mat.Condition); s != nil && !ill {
				return fmt.Errorf("contrast: the mixed model was not fitted: %w", s)
			}
		}
		var dzx, less mat.Dense
		dzx.Mul(d, m.zx)
		less.Mul(m.zX.T(), &dzx)
		xwx.Sub(xwx, &less)
		var dzy, lessY mat.VecDense
		dzy.MulVec(d, &zwy)
		lessY.MulVec(m.zX.T(), &dzy)
		xwy.SubVec(xwy, &lessY)
		ywy -= mat.Dot(m.zy, &dzy)
	}
	m.cov = new(mat.Dense)
	if err := m.cov.Inverse(xwx); err != nil {
		return fmt.Errorf("%w: %v", ErrConfounded, err)
	}
	m.coef = new(mat.VecDense)
	m.coef.MulVec(m.cov, xwy)
	m.rss = ywy - mat.Dot(m.coef, xwy)
	logX, _ := mat.LogDet(xwx)
	m.criterion = logdet + logX + m.df*math.Log(m.rss)
	if columns > 0 {
		var cx, less mat.Dense
		cx.Mul(m.zx, m.cov)
		less.Mul(&cx, m.zx.T())
		m.zpz = new(mat.Dense)
		m.zpz.Sub(&zwz, &less)
		var along mat.VecDense
		along.MulVec(m.zx, m.coef)
		m.zpy = new(mat.VecDense)
		m.zpy.SubVec(&zwy, &along)
	}
	return nil
}

// block returns the part of ZᵀPZ of terms j and k, and that of ZᵀPy of term k.
func (m *reml) block(j, k int) mat.Matrix {
	return m.zpz.Slice(m.from[j], m.from[j+1], m.from[k], m.from[k+1])
}

func (m *reml) part(k int) mat.Vector { return m.zpy.SliceVec(m.from[k], m.from[k+1]) }

// slope returns the derivative of the criterion in γ_k.
func (m *reml) slope(k int) float64 {
	u := m.part(k)
	return mat.Trace(m.block(k, k)) - m.df*mat.Dot(u, u)/m.rss
}

// information returns the inverse of the Hessian of −2·log-likelihood in σ² and
// the γ of the given terms, which are above 0, at the σ² that makes it least.
// Away from a minimum, where the Hessian is not positive definite, it is that of
// the average of observed and expected information, which always is (Gilmour,
// Thompson & Cullis, Biometrics 51:1440-1450, 1995), and ok is false.
func (m *reml) information(live []int) (inverse *mat.SymDense, ok bool, err error) {
	sigma2 := m.rss / m.df
	n := 1 + len(live)
	// Parameters count as shares of their values, which may lie far apart.
	size := []float64{sigma2}
	for _, k := range live {
		size = append(size, m.gamma[k])
	}
	observed, average := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	observed.SetSym(0, 0, m.df)
	average.SetSym(0, 0, m.df)
	for i, j := range live {
		u := m.part(j)
		d := mat.Dot(u, u) / sigma2 * m.gamma[j]
		observed.SetSym(0, 1+i, d)
		average.SetSym(0, 1+i, d)
		for l, k := range live {
			b := m.block(j, k)
			scale := m.gamma[j] * m.gamma[k]
			v := mat.Inner(u, b, m.part(k)) / sigma2
			observed.SetSym(1+i, 1+l, scale*(2*v-math.Pow(mat.Norm(b, 2), 2)))
			average.SetSym(1+i, 1+l, scale*v)
		}
	}
	var chol mat.Cholesky
	if ok = chol.Factorize(observed); !ok && !chol.Factorize(average) {
		return nil, false, fmt.Errorf("%w: the variances of the mixed model", ErrConfounded)
	}
	inverse = mat.NewSymDense(n, nil)
	if err := chol.InverseTo(inverse); err != nil {
		return nil, false, fmt.Errorf("%w: the variances of the mixed model: %v", ErrConfounded, err)
	}
	for i := range n {
		for j := i; j < n; j++ {
			inverse.SetSym(i, j, inverse.At(i, j)*size[i]*size[j])
		}
	}
	return inverse, ok, nil
}
