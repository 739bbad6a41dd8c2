package kinematics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Skew is a marker that is measured later in a frame than the others, as by a
// camera that runs behind or reads its rows one by one; earlier where By is
// negative. The fit takes the marker's path to where it was at the frame's time.
type Skew struct {
	Track int
	By    Estimate // s
}

const (
	// skewFrames are looked at for skew: at 20 m/s and 0.2 mm of noise a single
	// one tells it to 10 µs.
	skewFrames = 48
	// skewBlocks are stretches of those frames. What the rod leaves besides noise
	// is alike in neighbouring frames, so that the scatter from one stretch to the
	// next says how far it misleads.
	skewBlocks = 8
	// skewSpeed is the least speed of the head at which skew is looked for, m/s.
	skewSpeed = 8
	// skewSpan is how long before the head is fastest they begin, s.
	skewSpan = 0.25
	// skewSure is how many standard uncertainties a skew must be, and skewWorth how
	// many times the noise it must move the marker at its fastest, to be put right.
	skewSure, skewWorth = 6, 1
	// skewStray is how far a point may be off that counts, m: a whole frame at the
	// fastest is less.
	skewStray = 0.06
)

// perMark is how many unknowns a mark has beside the rod's: its skew, and a place
// off where it hung, in the directions of its section. Without the latter one
// that was knocked would look late, as its velocity hardly turns in the club.
const perMark = 4

// A skewSum sums up, over frames, what is known of the marks' skews τ and shifts
// o, together p. Measured at t+τ, a mark is off its place at t by v τ, v its
// velocity; the fit follows in part. With r the residuals, J their derivatives by
// the unknowns of a frame and V by p, and N = JᵀWJ and the prior, the least sum
// of squares leaves normal equations a p = b:
//
//	a = VᵀWV − VᵀWJ N⁻¹ JᵀWV,  b = VᵀWr − VᵀWJ N⁻¹ (JᵀWr − prior's pull)
type skewSum struct {
	a    []float64 // n × n for n = perMark · marks, upper
	b    []float64
	fast []float64 // by mark: largest speed, m/s
}

func newSkewSum(marks int) *skewSum {
	n := perMark * marks
	return &skewSum{make([]float64, n*n), make([]float64, n), make([]float64, marks)}
}

func (q *skewSum) add(o *skewSum) {
	for i, v := range o.a {
		q.a[i] += v
	}
	for i, v := range o.b {
		q.b[i] += v
	}
	for k, v := range o.fast {
		q.fast[k] = math.Max(q.fast[k], v)
	}
}

// findSkew returns by how much each mark is measured late, s, 0 where that is not
// sure or not worth telling; nil if none is. It goes by the frames that the first
// look fitted.
func (f *fit) findSkew() ([]Estimate, error) {
	frames, err := f.fastFrames()
	if err != nil || len(frames) < skewFrames/2 {
		return nil, err
	}
	sums := make([]*skewSum, len(frames))
	err = f.each(0, len(frames), 4, func(s *solver, lo, hi int) {
		for j := lo; j < hi; j++ {
			sums[j] = f.skewAt(s, frames[j])
		}
	})
	if err != nil {
		return nil, err
	}
	m := len(f.marks)
	blocks := make([]*skewSum, skewBlocks)
	all := newSkewSum(m)
	for j, q := range sums {
		k := j * skewBlocks / len(sums)
		if blocks[k] == nil {
			blocks[k] = newSkewSum(m)
		}
		blocks[k].add(q)
		all.add(q)
	}
	// The surest is let differ from the others, then the next beside it, until no
	// more is sure: a skew that all share cannot be told from none.
	out := make([]Estimate, m)
	var free []int
	for len(free) < m-1 {
		best, most := -1, float64(skewSure)
		for k := range m {
			if slices.Contains(free, k) {
				continue
			}
			tau, sd := f.skewsOf(append(free[:len(free):len(free)], k), all, blocks)
			if tau == nil {
				continue
			}
			t, u := tau[len(tau)-1], sd[len(sd)-1]
			if z := math.Abs(t) / u; z > most && math.Abs(t)*all.fast[k] > skewWorth*f.sigma[k] {
				best, most = k, z
			}
		}
		if best < 0 {
			break
		}
		free = append(free, best)
		tau, sd := f.skewsOf(free, all, blocks)
		for i, k := range free {
			out[k] = Estimate{tau[i], coverage * sd[i]}
		}
	}
	if free == nil {
		return nil, nil
	}
	return out, nil
}

// skewed puts skew right that the first look shows, and then looks again: what
// is measured late spoils the noise that is found, and what is left of a large
// skew is told better once most of it is gone.
func (f *fit) skewed(stride int) error {
	const looks = 3
	total := make([]Estimate, len(f.marks))
	var raw [][]r3.Vec // with the labels that the first look gave back
	var given [][]int32
	for look := range looks {
		late, err := f.findSkew()
		if err != nil {
			return err
		}
		if late == nil {
			break
		}
		for k, t := range late {
			if t.Value != 0 {
				total[k] = Estimate{total[k].Value + t.Value, t.U95}
			}
		}
		if look == 0 {
			for k := range f.y {
				raw, given = append(raw, slices.Clone(f.y[k])), append(given, slices.Clone(f.given[k]))
			}
		}
		for k := range raw {
			copy(f.y[k], raw[k])
			copy(f.given[k], given[k])
		}
		f.unskew(total)
		if err := f.each(0, f.n, 128, func(s *solver, lo, hi int) { f.passOver(s, lo, hi, stride) }); err != nil {
			return err
		}
		f.setNoise(f.n)
	}
	for k, t := range total {
		if t.Value != 0 {
			f.skews = append(f.skews, Skew{f.marks[k].track, t})
		}
	}
	return nil
}

// fastFrames returns frames from before the head is fastest, while it is fast,
// and makes the first look dense about them.
func (f *fit) fastFrames() ([]int, error) {
	stride := f.look()
	peak, fastest := 0, 0.0
	speed := func(i, stride int) float64 {
		return r3.Norm(r3.Sub(f.head[i], f.head[i-stride])) * f.rate / float64(stride)
	}
	for i := stride; i < f.n; i += stride {
		if v := speed(i, stride); v > fastest {
			peak, fastest = i, v
		}
	}
	first := max(2*stride, peak-int(skewSpan*f.rate)) / stride * stride
	if stride > dense {
		if err := f.each(first-stride, peak, 64, func(s *solver, lo, hi int) { f.passOver(s, lo, hi, dense) }); err != nil {
			return nil, err
		}
	}
	var list []int
	for i := first; i < peak-2*dense; i += dense {
		if speed(i, dense) > skewSpeed {
			list = append(list, i)
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	// Frames between those of the first look start from their neighbour's state.
	var all []int
	step := max(1, dense*len(list)/skewFrames)
	for i := list[0]; i < list[len(list)-1]; i += step {
		all = append(all, i)
	}
	return all, nil
}

// skewAt returns what frame i says of the skews.
func (f *fit) skewAt(s *solver, i int) *skewSum {
	m := len(f.marks)
	q := newSkewSum(m)
	near := (i + dense/2) / dense * dense
	if near >= f.n || !f.first[near].pose.Known() {
		return q
	}
	y, w, v := make([]r3.Vec, m), make([]float64, m), make([]r3.Vec, m)
	st := f.first[near]
	if near != i { // carried along with the grip's markers
		var was, is []r3.Vec
		for k := range f.grips {
			was, is = append(was, f.y[k][near]), append(is, f.y[k][i])
		}
		moved, err := Register(was, is, nil)
		if err != nil {
			return q
		}
		st.pose = moved.Then(st.pose)
	}
	h := max(1, int(0.5e-3*f.rate))
	for k := range f.marks {
		y[k] = nan3
		if i-h < 0 || i+h >= f.n {
			return q
		}
		v[k] = r3.Scale(f.rate/float64(2*h), r3.Sub(f.y[k][i+h], f.y[k][i-h]))
		if !math.IsNaN(v[k].X) && !math.IsNaN(f.y[k][i].X) {
			y[k], w[k] = f.y[k][i], f.weight(k)
		}
	}
	if !f.enough(y) {
		return q
	}
	s.gate = skewStray
	ok := s.form(&st, y, w, f.prior)
	s.gate = 0
	if !ok {
		return q
	}
	n := len(s.res)
	s.gradient(f.prior, &st.amp)
	pull := blas64.Vector{N: dims, Inc: 1, Data: slices.Clone(s.grad)}
	all := perMark * m
	d := blas64.General{Rows: all, Cols: dims, Stride: dims, Data: make([]float64, all*dims)} // VᵀWJ
	for k := range f.marks {
		if s.root[k] == 0 {
			continue
		}
		q.fast[k] = r3.Norm(v[k])
		turn := Identity
		if i := s.marks[k].section; i >= 0 {
			turn = s.sections[i].Frame
		}
		by := [perMark]r3.Vec{st.pose.TurnBack(v[k]), turn.X, turn.Y, turn.Z}
		for e := range by {
			by[e] = r3.Scale(s.root[k], by[e])
		}
		for e, u := range by {
			row := perMark*k + e
			for j := range dims {
				c := j*n + 3*k
				d.Data[row*dims+j] = s.jac[c]*u.X + s.jac[c+1]*u.Y + s.jac[c+2]*u.Z
			}
			for g, o := range by {
				q.a[row*all+perMark*k+g] = r3.Dot(u, o)
			}
			q.b[row] = r3.Dot(u, s.residual(k))
		}
	}
	// With N = UᵀU, VᵀWJ N⁻¹ JᵀWV is the square of VᵀWJ U⁻¹.
	blas64.Trsm(blas.Right, blas.NoTrans, 1, s.factor(), d)
	blas64.Trsv(blas.Trans, s.factor(), pull)
	blas64.Syrk(blas.NoTrans, -1, d, 1, blas64.Symmetric{N: all, Stride: all, Data: q.a, Uplo: blas.Upper})
	blas64.Gemv(blas.NoTrans, -1, d, pull, 1, blas64.Vector{N: all, Inc: 1, Data: q.b})
	return q
}

// skewsOf returns the skews of some marks, s, the others having none, and their
// standard uncertainties: by the noise, or by the scatter of the blocks where
// that is larger. It returns nil where they cannot be told.
func (f *fit) skewsOf(free []int, all *skewSum, blocks []*skewSum) (tau, sd []float64) {
	const knocked = 5e-3 // standard deviation of a shift, m
	m, n := perMark*len(f.marks), perMark*len(free)
	of := func(q *skewSum) (*mat.SymDense, *mat.VecDense) {
		a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		at := func(i int) int { return perMark*free[i/perMark] + i%perMark }
		for i := range n {
			b.SetVec(i, q.b[at(i)])
			for j := i; j < n; j++ {
				a.SetSym(i, j, q.a[min(at(i), at(j))*m+max(at(i), at(j))])
			}
		}
		return a, b
	}
	a, b := of(all)
	for i := range n {
		prior := f.rate // none is believed to be more than a frame late
		if i%perMark > 0 {
			prior = 1 / knocked
		}
		a.SetSym(i, i, a.At(i, i)+prior*prior)
	}
	var chol mat.Cholesky
	var t mat.VecDense
	var cov mat.SymDense
	if !chol.Factorize(a) || chol.SolveVecTo(&t, b) != nil || chol.InverseTo(&cov) != nil {
		return nil, nil
	}
	var scatter mat.SymDense
	scatter.ReuseAsSym(n)
	used := 0.0
	for _, q := range blocks {
		if q == nil {
			continue
		}
		used++
		ab, u := of(q)
		var fitted mat.VecDense
		fitted.MulVec(ab, &t)
		u.SubVec(u, &fitted)
		scatter.SymRankOne(&scatter, 1, u)
	}
	if used < 3 {
		return nil, nil
	}
	var sandwich, half mat.Dense
	half.Mul(&cov, &scatter)
	sandwich.Mul(&half, &cov)
	for i := 0; i < n; i += perMark {
		tau = append(tau, t.AtVec(i))
		sd = append(sd, math.Sqrt(math.Max(cov.At(i, i), sandwich.At(i, i)*used/(used-1))))
	}
	return tau, sd
}
