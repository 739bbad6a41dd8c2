package kinematics

import "sort"

// A Shaft is what is known of a shaft before it is swung.
type Shaft struct {
	Length  float64   // m
	Station []float64 // m, increasing; empty where the stiffness is not known
	EI, GJ  []float64 // N m², one for each station; linear between, constant beyond
}

// Known reports whether the stiffness is given.
func (s Shaft) Known() bool { return len(s.Station) > 0 }

// Stiffness returns EI and GJ at a station: of the table, or of an ordinary
// driver taper where there is none.
func (s Shaft) Stiffness(station float64) (ei, gj float64) {
	if !s.Known() {
		t := station / s.Length
		return between([]float64{0, 1}, usualEI, t), between([]float64{0, 1}, usualGJ, t)
	}
	return between(s.Station, s.EI, station), between(s.Station, s.GJ, station)
}

// Butt and tip stiffness of an ordinary driver shaft, N m². Common practice, no
// source. The fit needs only the taper's trend: it scales a basis whose
// amplitudes are free.
var (
	usualEI = []float64{72, 20}
	usualGJ = []float64{35, 8}
)

// between interpolates y over the increasing x, linear, constant beyond the
// ends.
func between(x, y []float64, at float64) float64 {
	i := sort.SearchFloat64s(x, at)
	switch {
	case i == 0:
		return y[0]
	case i == len(x):
		return y[len(x)-1]
	}
	f := (at - x[i-1]) / (x[i] - x[i-1])
	return y[i-1] + f*(y[i]-y[i-1])
}
