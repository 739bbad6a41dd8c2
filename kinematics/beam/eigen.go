package beam

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// lowest returns the n smallest v of k x = v m x, ascending, with their vectors
// as columns, for k positive definite and m of at least the given rank: false
// if k is not. Subspace iteration (Bathe, Finite Element Procedures, 1996,
// section 11.6): a few vectors are solved for together and made orthogonal to
// each other each time.
func lowest(k, m *mat.SymBandDense, n, rank int) (values []float64, vectors *mat.Dense, ok bool) {
	var chol mat.BandCholesky
	if !chol.Factorize(k) {
		return nil, nil, false
	}
	size := k.SymmetricDim()
	q := min(2*n, n+8, rank) // as in Bathe: the spare vectors make the others settle soon
	x := mat.NewDense(size, q, nil)
	for i := range size {
		for j := range q {
			x.Set(i, j, math.Cos(float64(j)*(float64(i)+0.5)*math.Pi/float64(size))) // no mode is square to all of these
		}
	}
	times := func(x *mat.Dense) *mat.Dense {
		out := mat.NewDense(size, q, nil)
		for j := range q {
			m.MulVecTo(out.ColView(j).(*mat.VecDense), false, x.ColView(j))
		}
		return out
	}
	values = make([]float64, q)
	// Each round shrinks the error of value i by (v_i/v_(q+1))², a factor of a
	// hundred or more; it then stays at rounding.
	const rounds, settled = 60, 1e-13
	for range rounds {
		mx := times(x)
		var y mat.Dense
		if err := chol.SolveTo(&y, mx); err != nil {
			return nil, nil, false
		}
		// Within the subspace: (y'my) z = μ (y'ky) z, with ky = mx and μ = 1/v.
		z, mu, ok := within(&y, times(&y), mx)
		if !ok {
			return nil, nil, false
		}
		x.Mul(&y, z)
		change := 0.0
		for i := range n {
			change = math.Max(change, math.Abs(values[i]*mu[i]-1))
		}
		for i := range q {
			values[i] = 1 / mu[i]
		}
		if change < settled {
			break
		}
	}
	return values[:n], x, true
}

// within solves (y'a) z = μ (y'b) z, descending, for y'b positive definite: z
// has y'b-orthonormal columns.
func within(y, a, b *mat.Dense) (z *mat.Dense, mu []float64, ok bool) {
	_, q := y.Dims()
	product := func(c *mat.Dense) *mat.SymDense {
		var p mat.Dense
		p.Mul(y.T(), c)
		s := mat.NewSymDense(q, nil)
		for i := range q {
			for j := i; j < q; j++ {
				s.SetSym(i, j, (p.At(i, j)+p.At(j, i))/2)
			}
		}
		return s
	}
	var chol mat.Cholesky
	if !chol.Factorize(product(b)) {
		return nil, nil, false
	}
	var l mat.TriDense
	chol.LTo(&l)
	var half, c mat.Dense
	if half.Solve(&l, product(a)) != nil || c.Solve(&l, half.T()) != nil {
		return nil, nil, false
	}
	s := mat.NewSymDense(q, nil)
	for i := range q {
		for j := i; j < q; j++ {
			s.SetSym(i, j, (c.At(i, j)+c.At(j, i))/2)
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(s, true) {
		return nil, nil, false
	}
	var v mat.Dense
	eig.VectorsTo(&v)
	z = mat.NewDense(q, q, nil)
	mu = eig.Values(nil)
	slices.Reverse(mu)
	for j := range q {
		for i := range q {
			c.Set(i, j, v.At(i, q-1-j))
		}
	}
	if z.Solve(l.T(), &c) != nil {
		return nil, nil, false
	}
	return z, mu, true
}

// sortedUnion returns the values of both, increasing, each once.
func sortedUnion(a, b []float64) []float64 {
	u := slices.Concat(a, b)
	slices.Sort(u)
	return slices.Compact(u)
}
