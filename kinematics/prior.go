package kinematics

// A prior is what is believed of the amplitudes before the markers are seen:
// mean and precision (inverse covariance, row-major).
type prior struct {
	mean      amplitudes
	precision [shapes * shapes]float64
}

// weakPrior is what is believed before the run is seen. Between the hands the
// moment grows from 0 at the butt end: at the first knot it is expected to be
// 0.3 of that at the second, give or take 0.8 N m; further down it changes
// evenly from knot to knot, give or take 0.3 N m. No amplitude is believed to
// pass 15 N m by much (3 N m for a torque). Common practice, no source.
//
// A prior learnt from the run itself (expectation maximisation over its frames)
// was tried and dropped: players spread the moment under the hands differently
// from instant to instant, and a pattern learnt from the whole downswing put
// 1 to 2 mm of bias on the droop at impact.
func weakPrior() *prior {
	p := &prior{}
	add := func(row [shapes]float64, sd float64) {
		for i, a := range row {
			for j, b := range row {
				p.precision[i*shapes+j] += a * b / (sd * sd)
			}
		}
	}
	for plane := range 2 {
		o := plane * bends
		for j := range bends {
			var r [shapes]float64
			r[o+j] = 1
			add(r, 15)
		}
		var r [shapes]float64
		r[o], r[o+1] = 1, -0.3
		add(r, 0.8)
		for j := 2; j < bends-1; j++ { // inner knots on the line between their neighbours
			f := (knots[j] - knots[j-1]) / (knots[j+1] - knots[j-1])
			var r [shapes]float64
			r[o+j-1], r[o+j], r[o+j+1] = f-1, 1, -f
			add(r, 0.3)
		}
	}
	for j := range twists {
		var r [shapes]float64
		r[firstTorque+j] = 1
		add(r, 3)
	}
	return p
}
