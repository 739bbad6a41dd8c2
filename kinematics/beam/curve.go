package beam

import (
	"fmt"
	"math"
	"sort"
)

// A Curve is a quantity along the shaft: Value at Station, linear between,
// constant beyond both ends. Stations (m) increase. The zero Curve is 0
// everywhere.
type Curve struct{ Station, Value []float64 }

// Constant returns the curve that is v everywhere.
func Constant(v float64) Curve { return Curve{[]float64{0}, []float64{v}} }

// At returns the value at a station.
func (c Curve) At(station float64) float64 {
	if len(c.Station) == 0 {
		return 0
	}
	i := sort.SearchFloat64s(c.Station, station)
	switch {
	case i == 0:
		return c.Value[0]
	case i == len(c.Station):
		return c.Value[i-1]
	}
	f := (station - c.Station[i-1]) / (c.Station[i] - c.Station[i-1])
	return c.Value[i-1] + f*(c.Value[i]-c.Value[i-1])
}

// check returns an error unless stations increase within the length and values
// are at least least.
func (c Curve) check(name string, length float64, positive bool) error {
	if len(c.Station) != len(c.Value) {
		return fmt.Errorf("beam: %s has %d stations and %d values", name, len(c.Station), len(c.Value))
	}
	for i, s := range c.Station {
		v := c.Value[i]
		switch {
		case !(s >= 0 && s <= length):
			return fmt.Errorf("beam: %s at %v m lies outside the beam of %v m", name, s, length)
		case i > 0 && s <= c.Station[i-1]:
			return fmt.Errorf("beam: %s at %v m follows that at %v m; stations must increase", name, s, c.Station[i-1])
		case positive && !(v > 0) || !(v >= 0) || math.IsInf(v, 0):
			return fmt.Errorf("beam: %s at %v m is %v; it must be positive", name, s, v)
		}
	}
	return nil
}

// reversed returns the curve as seen from the other end of a beam.
func (c Curve) reversed(length float64) Curve {
	n := len(c.Station)
	r := Curve{make([]float64, n), make([]float64, n)}
	for i := range n {
		r.Station[i], r.Value[i] = length-c.Station[n-1-i], c.Value[n-1-i]
	}
	return r
}

// pieces calls do with each stretch from one station to the next, within the
// bounds, over which the curve is linear.
func (c Curve) pieces(from, to float64, do func(from, to float64)) {
	at := from
	for _, s := range c.Station {
		if s > at && s < to {
			do(at, s)
			at = s
		}
	}
	do(at, to)
}

// reciprocal returns the integral of 1/c between two stations: exact, a
// logarithm over each linear piece.
func (c Curve) reciprocal(from, to float64) float64 {
	sum := 0.0
	c.pieces(from, to, func(a, b float64) {
		va := c.At(a)
		if rise := c.At(b)/va - 1; rise == 0 {
			sum += (b - a) / va
		} else {
			sum += (b - a) / va * math.Log1p(rise) / rise
		}
	})
	return sum
}

// HarmonicMean returns the mean of c between two stations as that of springs in
// a row: the constant stiffness that gives the same turn under the same moment.
func (c Curve) HarmonicMean(from, to float64) float64 { return (to - from) / c.reciprocal(from, to) }

// moments returns the integrals of c and of c times station between two
// stations: exact, Simpson's rule over each linear piece.
func (c Curve) moments(from, to float64) (whole, first float64) {
	c.pieces(from, to, func(a, b float64) {
		m := (a + b) / 2
		va, vm, vb := c.At(a), c.At(m), c.At(b)
		whole += (b - a) * vm
		first += (b - a) / 6 * (va*a + 4*vm*m + vb*b)
	})
	return whole, first
}
