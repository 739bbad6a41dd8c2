package kinematics

import (
	"math"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Frame is a place and the directions of a set of axes, seen from another
// frame: for a pose of the club, the club frame's axes seen from the lab. X, Y
// and Z are unit vectors, square to each other, right-handed.
type Frame struct{ Origin, X, Y, Z r3.Vec }

// Identity is the frame that changes nothing.
var Identity = Frame{X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}}

// unknown is the pose of a frame that could not be fitted.
var unknown = Frame{Origin: nan3, X: nan3, Y: nan3, Z: nan3}

var nan3 = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// Known reports whether the frame holds no NaN.
func (f Frame) Known() bool { return !math.IsNaN(f.Origin.X) }

// Turn returns the direction v of this frame as seen from outside.
func (f Frame) Turn(v r3.Vec) r3.Vec {
	return r3.Vec{
		X: v.X*f.X.X + v.Y*f.Y.X + v.Z*f.Z.X,
		Y: v.X*f.X.Y + v.Y*f.Y.Y + v.Z*f.Z.Y,
		Z: v.X*f.X.Z + v.Y*f.Y.Z + v.Z*f.Z.Z,
	}
}

// TurnBack returns the outside direction v as seen in this frame.
func (f Frame) TurnBack(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(v, f.X), Y: r3.Dot(v, f.Y), Z: r3.Dot(v, f.Z)}
}

// ToLab returns where the point p of this frame is outside.
func (f Frame) ToLab(p r3.Vec) r3.Vec { return r3.Add(f.Origin, f.Turn(p)) }

// ToClub returns where the outside point p is in this frame.
func (f Frame) ToClub(p r3.Vec) r3.Vec { return f.TurnBack(r3.Sub(p, f.Origin)) }

// Then returns the frame g, given in f, as seen from outside f.
func (f Frame) Then(g Frame) Frame {
	return Frame{Origin: f.ToLab(g.Origin), X: f.Turn(g.X), Y: f.Turn(g.Y), Z: f.Turn(g.Z)}
}

// Inverse returns the outside as seen from f.
func (f Frame) Inverse() Frame {
	g := Frame{
		X: r3.Vec{X: f.X.X, Y: f.Y.X, Z: f.Z.X},
		Y: r3.Vec{X: f.X.Y, Y: f.Y.Y, Z: f.Z.Y},
		Z: r3.Vec{X: f.X.Z, Y: f.Y.Z, Z: f.Z.Z},
	}
	g.Origin = r3.Scale(-1, g.Turn(f.Origin))
	return g
}

// turned returns the axes turned by the rotation vector w of their own frame,
// made orthonormal again. The rotation is Rodrigues' formula in half-angle
// form, which holds at w = 0.
func (f Frame) turned(w r3.Vec) Frame {
	g := rotation(w)
	f.X, f.Y = f.Turn(g.X), f.Turn(g.Y)
	return f.orthonormal()
}

// orthonormal returns the frame with X scaled to length 1, Y made square to it
// and Z = X × Y. It takes off what rounding has added over many products.
func (f Frame) orthonormal() Frame {
	// Directions are near length 1: r3.Unit guards against an overflow that
	// cannot be, at several times the time.
	unit := func(v r3.Vec) r3.Vec { return r3.Scale(1/math.Sqrt(r3.Norm2(v)), v) }
	f.X = unit(f.X)
	f.Y = unit(r3.Sub(f.Y, r3.Scale(r3.Dot(f.X, f.Y), f.X)))
	f.Z = r3.Cross(f.X, f.Y)
	return f
}

// rotation returns the axes of a frame turned by the rotation vector w (its
// direction is the axis, its length the angle in rad).
func rotation(w r3.Vec) Frame { return axes(r3.Vec{}, versor(w)) }

// versor returns the unit quaternion of the rotation vector w.
func versor(w r3.Vec) quat.Number {
	angle2 := r3.Norm2(w)
	var c, s float64 // s multiplies w
	if angle2 < 1e-2 {
		// Series to the sixth power: the next terms are below 1e-15.
		c = 1 - angle2*(1.0/8-angle2*(1.0/384-angle2/46080))
		s = 0.5 - angle2*(1.0/48-angle2*(1.0/3840-angle2/645120))
	} else {
		a := math.Sqrt(angle2)
		c = math.Cos(a / 2)
		s = math.Sin(a/2) / a
	}
	return quat.Number{Real: c, Imag: s * w.X, Jmag: s * w.Y, Kmag: s * w.Z}
}

// axes returns the frame at a place whose directions a unit quaternion gives.
func axes(at r3.Vec, q quat.Number) Frame {
	c, x, y, z := q.Real, q.Imag, q.Jmag, q.Kmag
	return Frame{
		Origin: at,
		X:      r3.Vec{X: 1 - 2*(y*y+z*z), Y: 2 * (x*y + c*z), Z: 2 * (x*z - c*y)},
		Y:      r3.Vec{X: 2 * (x*y - c*z), Y: 1 - 2*(x*x+z*z), Z: 2 * (y*z + c*x)},
		Z:      r3.Vec{X: 2 * (x*z + c*y), Y: 2 * (y*z - c*x), Z: 1 - 2*(x*x+y*y)},
	}
}

// rotate returns v turned by a unit quaternion.
func rotate(q quat.Number, v r3.Vec) r3.Vec {
	u := r3.Vec{X: q.Imag, Y: q.Jmag, Z: q.Kmag}
	t := r3.Scale(2, r3.Cross(u, v))
	return r3.Add(r3.Add(v, r3.Scale(q.Real, t)), r3.Cross(u, t))
}
