package kinematics

// A Shaft is what is known of a shaft before it is swung.
type Shaft struct {
	Length  float64   // m
	Station []float64 // m, increasing; empty where the stiffness is not known
	EI, GJ  []float64 // N m², one for each station; linear between, constant beyond
}

// Known reports whether the stiffness is given.
func (s Shaft) Known() bool { return len(s.Station) > 0 }
