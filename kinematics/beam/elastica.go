package beam

import "math"

// Elastica returns the shape of the beam, clamped at a station, under a force at
// its tip end that keeps its direction, square to the unbent beam, with slopes
// of any size. Station counts along the axis; the deflection is across the
// unbent beam. Slope is the angle of the axis, rad.
//
// From the tip end, where there is no moment, dθ/ds = M/EI and dM/ds = −F cos θ
// are integrated to the clamp (Runge-Kutta, fourth order); the tip's angle is
// that for which the clamp's is 0. (The problem of Mattiasson, Int J Numer Meth
// Eng 17:145-153, 1981, for any stiffness.)
func (b Beam) Elastica(clamp, force float64) Shape {
	m := newMesh(b, clamp, b.Length)
	n := len(m.node)
	s := Shape{m.node, make([]float64, n), make([]float64, n)}
	// shoot fills s from the tip end on and returns the clamp's angle. It is
	// below 0 where the tip's angle is too small.
	shoot := func(tip float64) float64 {
		angle, moment, y := tip, 0.0, 0.0
		s.Slope[n-1], s.Deflection[n-1] = angle, y
		rate := func(at, angle, moment float64) (dAngle, dMoment, dy float64) {
			return -moment / b.EI.At(at), force * math.Cos(angle), -math.Sin(angle)
		}
		for i := n - 1; i > 0; i-- {
			h := m.node[i] - m.node[i-1]
			mid := (m.node[i] + m.node[i-1]) / 2
			a1, m1, y1 := rate(m.node[i], angle, moment)
			a2, m2, y2 := rate(mid, angle+h/2*a1, moment+h/2*m1)
			a3, m3, y3 := rate(mid, angle+h/2*a2, moment+h/2*m2)
			a4, m4, y4 := rate(m.node[i-1], angle+h*a3, moment+h*m3)
			angle += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
			moment += h / 6 * (m1 + 2*m2 + 2*m3 + m4)
			y += h / 6 * (y1 + 2*y2 + 2*y3 + y4)
			s.Slope[i-1], s.Deflection[i-1] = angle, y
		}
		return angle
	}
	if force < 0 { // the mirror image
		up := b.Elastica(clamp, -force)
		for i := range up.Station {
			up.Deflection[i], up.Slope[i] = -up.Deflection[i], -up.Slope[i]
		}
		return up
	}
	low, high := 0.0, math.Pi/2 // the tip never turns into the line of the force
	for range 60 {              // halves the bracket to rounding
		mid := (low + high) / 2
		if shoot(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	shoot(high)
	base := s.Deflection[0]
	for i := range s.Deflection {
		s.Deflection[i] -= base
	}
	return s
}
