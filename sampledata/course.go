package sampledata

// A Step is a smooth change by Size that begins at At and lasts Duration
// seconds.
type Step struct{ At, Duration, Size float64 }

// A Course is a quantity over time: the sum of its steps. It has three
// continuous derivatives.
type Course []Step

// Value returns the quantity at time t.
func (c Course) Value(t float64) float64 {
	v := 0.0
	for _, s := range c {
		v += s.Size * smooth((t-s.At)/s.Duration)
	}
	return v
}

// scaled returns the course with every step's size times f.
func (c Course) scaled(f float64) Course {
	out := make(Course, len(c))
	for i, s := range c {
		out[i] = Step{s.At, s.Duration, s.Size * f}
	}
	return out
}

// smooth rises from 0 at x = 0 to 1 at x = 1 and is constant outside: the
// polynomial of degree 7 whose first three derivatives vanish at both ends.
func smooth(x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	return x * x * x * x * (35 + x*(-84+x*(70-20*x)))
}
