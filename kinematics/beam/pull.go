package beam

import "math"

// A Pull is what a head does to a shaft as it goes round: it pulls along the
// unbent axis with a force, N, at its centre of gravity, which lies an offset,
// m, to the side of the axis. The bend brings the centre of gravity towards the
// line of the pull; the same pull stiffens the shaft.
type Pull struct{ Force, Offset float64 }

// HeadPull returns the pull of a head of a mass, kg, whose centre of gravity,
// an offset to the side of the shaft's axis, goes round at a speed, m/s, on a
// radius, m: m v²/R.
func HeadPull(mass, speed, radius, offset float64) Pull {
	return Pull{mass * speed * speed / radius, offset}
}

// Uniform returns deflection, m, and slope, rad, of the tip end of a uniform
// shaft, clamped at the grip: e (1 − sech kL) and e k tanh kL with k = √(F/EI),
// the solution of EI y” = F (e − (y(L) − y)).
func (p Pull) Uniform(ei, length float64) (deflection, slope float64) {
	k := math.Sqrt(p.Force / ei)
	return p.Offset * (1 - 1/math.Cosh(k*length)), p.Offset * k * math.Tanh(k*length)
}

// On returns the shape of a shaft of any stiffness under the pull, clamped at a
// station.
func (p Pull) On(b Beam, clamp float64) (Shape, error) {
	return Cantilever{Beam: b, Clamp: clamp}.Pulled(p.Force).Deflect(Load{Couple: p.Force * p.Offset})
}
