package beam

import (
	"errors"
	"fmt"
	"math"
)

// A Beam is a straight shaft: its stiffness and mass along it.
type Beam struct {
	Length  float64 // m
	EI      Curve   // bending stiffness, N m²
	GJ      Curve   // torsional stiffness, N m²; empty where it is not known
	Density Curve   // mass per length, kg/m; empty for a beam without mass
}

// Validate returns what makes the beam impossible, nil if nothing does. The
// other functions of the package panic or return nonsense for a beam that is
// not valid.
func (b Beam) Validate() error {
	if !(b.Length > 0) || math.IsInf(b.Length, 0) {
		return fmt.Errorf("beam: the length is %v m; it must be positive", b.Length)
	}
	if len(b.EI.Station) == 0 {
		return errors.New("beam: the bending stiffness is not known")
	}
	return errors.Join(
		b.EI.check("EI", b.Length, true),
		b.GJ.check("GJ", b.Length, true),
		b.Density.check("the mass per length", b.Length, false))
}

// Reversed returns the beam as seen from its tip end: stations count from
// there.
func (b Beam) Reversed() Beam {
	return Beam{b.Length, b.EI.reversed(b.Length), b.GJ.reversed(b.Length), b.Density.reversed(b.Length)}
}

// Until returns the beam cut at a station.
func (b Beam) Until(station float64) Beam {
	cut := func(c Curve) Curve {
		var out Curve
		for i, s := range c.Station {
			if s < station {
				out.Station, out.Value = append(out.Station, s), append(out.Value, c.Value[i])
			}
		}
		if len(c.Station) > 0 {
			out.Station, out.Value = append(out.Station, station), append(out.Value, c.At(station))
		}
		return out
	}
	return Beam{station, cut(b.EI), cut(b.GJ), cut(b.Density)}
}

// Mass returns the mass of the beam, kg, and the station of its balance point,
// m: NaN for a beam without mass.
func (b Beam) Mass() (mass, balance float64) {
	mass, first := b.Density.moments(0, b.Length)
	return mass, first / mass
}

// Twist returns the angle, rad, by which a torque turns one station against
// another: torque × ∫ ds/GJ.
func (b Beam) Twist(torque, from, to float64) float64 { return torque * b.GJ.reciprocal(from, to) }
