package contrast

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// A Term is a random effect of a mixed model: each level of a factor draws from
// a normal distribution of its own, and adds what it drew, times Value, to its
// observations.
type Term struct {
	Level []int     // of each observation, from 0
	Value []float64 // of each observation; nil for 1, which is a random intercept
}

// A Mixed is a linear mixed model y = X·Coef + random effects + residual, fitted
// by restricted maximum likelihood. Terms are independent of each other.
type Mixed struct {
	Coef     []float64 // one a column of X
	SE       []float64 // of Coef
	SD       []float64 // of each term; 0 where the data show none
	Residual float64   // standard deviation
	LogLik   float64   // restricted
	N        int       // observations

	size float64       // of y
	r    *mat.Dense    // X = QR
	at   reml          // the solution, in the columns of Q and the units of scale
	info *mat.SymDense // inverse Hessian of −2·LogLik in σ² and the γ of live terms
	live []int         // terms with an SD above 0
	unit float64       // of y in at
}

// FitMixed fits a mixed model to y, with a row of x for each observation and any
// number of random terms, nested or crossed (Patterson & Thompson, Biometrika
// 58:545-554, 1971; the criterion is profiled over Coef and Residual as in
// Bates, Mächler, Bolker & Walker, Journal of Statistical Software 67(1), 2015,
// eq. 41). It panics when the lengths differ. NaN is not allowed.
func FitMixed(y []float64, x [][]float64, terms ...Term) (*Mixed, error) {
	n := len(y)
	for _, t := range terms {
		if len(x) != n || len(t.Level) != n || t.Value != nil && len(t.Value) != n {
			panic(fmt.Sprintf("contrast: %d values, %d rows, a term of %d", n, len(x), len(t.Level)))
		}
	}
	if n == 0 || n <= len(x[0]) {
		return nil, fmt.Errorf("%w: %d values", ErrTooFew, n)
	}
	q, r, err := orthogonal(x)
	if err != nil {
		return nil, err
	}
	m := &Mixed{N: n, r: r}
	// What is left of y by least squares, in units of its spread: the fit is the
	// same, and keeps its digits.
	_, p := q.Dims()
	all := mat.NewVecDense(n, nil)
	for i, v := range y {
		all.SetVec(i, v)
		m.size = math.Max(m.size, math.Abs(v))
	}
	var along, fitted, rest mat.VecDense
	along.MulVec(q.T(), all)
	fitted.MulVec(q, &along)
	rest.SubVec(all, &fitted)
	m.unit = mat.Norm(&rest, 2) / math.Sqrt(float64(n-p))
	const ulp = 0x1p-52
	if m.unit <= 10*ulp*m.size {
		return nil, ErrNoSpread
	}
	rest.ScaleVec(1/m.unit, &rest)

	problem := newREML(&rest, q, terms)
	if err := problem.minimise(); err != nil {
		return nil, err
	}
	m.at = *problem
	sigma2 := problem.rss / float64(n-p)
	if sigma2 <= math.Pow(10*ulp*m.size/m.unit, 2) {
		return nil, ErrNoSpread
	}
	m.Residual = m.unit * math.Sqrt(sigma2)
	m.SD = make([]float64, len(terms))
	for k, g := range problem.gamma {
		m.SD[k] = m.Residual * math.Sqrt(g)
		if g > 0 {
			m.live = append(m.live, k)
		}
	}
	var sum, coef mat.VecDense
	sum.AddScaledVec(&along, m.unit, problem.coef)
	if err := coef.SolveVec(r, &sum); err != nil {
		return nil, fmt.Errorf("%w: %v", ErrConfounded, err)
	}
	m.Coef = coef.RawVector().Data
	logR := 0.0
	for j := range p {
		logR += 2 * math.Log(math.Abs(r.At(j, j)))
	}
	df := float64(n - p)
	m.LogLik = -(problem.criterion + logR + 2*df*math.Log(m.unit) + df*(1+math.Log(2*math.Pi/df))) / 2
	var ok bool
	if m.info, ok, err = problem.information(m.live); err != nil {
		return nil, err
	}
	if !ok {
		return nil, fmt.Errorf("%w: the variances of the mixed model", ErrConfounded)
	}
	for j := range p {
		c := make([]float64, p)
		c[j] = 1
		m.SE = append(m.SE, m.Residual*math.Sqrt(m.spread(c).variance))
	}
	return m, nil
}

// Test tests whether the sum of c·Coef is 0, with an interval of the given
// level. Its degrees of freedom are Satterthwaite's: 2v²/var(v), with var(v) by
// the delta method from the observed information (Fai & Cornelius, Journal of
// Statistical Computation and Simulation 54:363-378, 1996); with even numbers
// they are those of the classical analysis of variance. It panics when c does
// not have the length of Coef.
func (m *Mixed) Test(c []float64, level float64) (Test, error) {
	if len(c) != len(m.Coef) {
		panic(fmt.Sprintf("contrast: %d weights for %d coefficients", len(c), len(m.Coef)))
	}
	value := 0.0
	for j, v := range m.Coef {
		value += c[j] * v
	}
	s := m.spread(c)
	sigma2 := math.Pow(m.Residual/m.unit, 2)
	// Gradient of v = σ²·variance in σ² and each γ.
	grad := mat.NewVecDense(1+len(m.live), nil)
	grad.SetVec(0, s.variance)
	for i, k := range m.live {
		grad.SetVec(1+i, sigma2*s.slope[k])
	}
	v := sigma2 * s.variance
	df := v * v / mat.Inner(grad, m.info, grad) // the 2s cancel: var = 2·info
	return student(value, m.unit*math.Sqrt(v), df, m.size, level)
}

// spread is the variance of a contrast for σ = 1, and its slope in each γ.
type spread struct {
	variance float64
	slope    []float64
}

func (m *Mixed) spread(c []float64) spread {
	var l, cl, along mat.VecDense
	if err := l.SolveVec(m.r.T(), mat.NewVecDense(len(c), c)); err != nil {
		panic(err) // FitMixed has solved with it
	}
	cl.MulVec(m.at.cov, &l)
	s := spread{variance: mat.Dot(&l, &cl), slope: make([]float64, len(m.SD))}
	if len(m.SD) == 0 {
		return s
	}
	along.MulVec(m.at.zx, &cl)
	for k := range s.slope {
		for j := m.at.from[k]; j < m.at.from[k+1]; j++ {
			s.slope[k] += along.AtVec(j) * along.AtVec(j)
		}
	}
	return s
}

// minimise finds the gammas with the least criterion. It searches over their
// square roots, in which the criterion is even, so that 0 is no boundary; then
// Newton's steps take the last digits.
func (p *reml) minimise() error {
	terms := len(p.gamma)
	if terms == 0 {
		return p.evaluate(nil)
	}
	last := make([]float64, terms)
	theta := func(x []float64) error {
		if p.coef != nil && slices.Equal(x, last) {
			return nil
		}
		copy(last, x)
		g := make([]float64, len(x))
		for k, v := range x {
			g[k] = v * v
		}
		return p.evaluate(g)
	}
	var failed error
	problem := optimize.Problem{
		Func: func(x []float64) float64 {
			if err := theta(x); err != nil {
				failed = err
				return math.Inf(1)
			}
			return p.criterion
		},
		Grad: func(grad, x []float64) {
			if err := theta(x); err != nil {
				failed = err
				return
			}
			for k := range grad {
				grad[k] = 2 * x[k] * p.slope(k)
			}
		},
	}
	x := make([]float64, terms)
	for k := range x {
		x[k] = 1
	}
	const restarts = 10
	for range restarts {
		// A line search that can go no lower has arrived; polish judges whether
		// it has.
		result, err := optimize.Minimize(problem, x, &optimize.Settings{GradientThreshold: 1e-5, MajorIterations: 200}, &optimize.BFGS{})
		if failed != nil {
			return failed
		}
		if result == nil {
			return fmt.Errorf("contrast: the mixed model was not fitted: %w", err)
		}
		copy(x, result.X)
		g, saddle, err := p.settle(x)
		if err != nil {
			return err
		}
		if !saddle {
			return p.polish(g)
		}
	}
	return errors.New("contrast: the mixed model was not fitted: its likelihood leads back to 0")
}

// small is a standard deviation, as a share of the residual's, that is as good
// as none.
const small = 1e-3

// settle returns the gammas of the square roots x, with 0 for those that are as
// good as 0: small, where the criterion falls towards none. Where it rises
// instead, 0 is a saddle between the two signs of x, and x is moved away from
// it.
func (p *reml) settle(x []float64) (g []float64, saddle bool, err error) {
	const away = 0.3
	g = make([]float64, len(x))
	for k, v := range x {
		if math.Abs(v) >= small {
			g[k] = v * v
		}
	}
	if err := p.evaluate(g); err != nil {
		return nil, false, err
	}
	for k := range x {
		if g[k] == 0 && p.slope(k) < 0 {
			x[k], saddle = away, true
		}
	}
	return g, saddle, nil
}

// polish takes Newton's steps from g. Terms at 0 stay there, and one on its way
// to 0 ends there.
func (p *reml) polish(g []float64) error {
	if err := p.evaluate(g); err != nil {
		return err
	}
	const steps = 40
	for range steps {
		var live []int
		for k := range g {
			if g[k] < small*small && p.slope(k) > 0 {
				g[k] = 0
			}
			if g[k] > 0 {
				live = append(live, k)
			}
		}
		info, _, err := p.information(live)
		if err != nil {
			return err
		}
		// At the profiled σ² the slope in it is 0.
		slope := mat.NewVecDense(1+len(live), nil)
		for i, k := range live {
			slope.SetVec(1+i, p.slope(k))
		}
		var step mat.VecDense
		step.MulVec(info, slope)
		largest := 0.0 // change of a gamma, as a share of it
		for i, k := range live {
			// Never more than half the way to 0, nor more than as far again.
			d := math.Max(-g[k], math.Min(g[k]/2, step.AtVec(1+i)))
			largest = math.Max(largest, math.Abs(d)/g[k])
			g[k] -= d
		}
		if err := p.evaluate(g); err != nil {
			return err
		}
		if largest < 1e-12 {
			break
		}
	}
	const flat = 1e-6 // a change of the criterion that no one would see
	for k := range g {
		if g[k] > 0 && !(math.Abs(g[k]*p.slope(k)) < flat) {
			return fmt.Errorf("contrast: the mixed model was not fitted: the likelihood of term %d has no peak", k+1)
		}
	}
	return nil
}
