package kinematics

// Markers says which of a run's tracks is which marker of the club. Indices
// point into the tracks given to NewReference and Fit.
type Markers struct {
	Grip  []int
	Shaft []ShaftMark
	Head  []int
	Heel  int
	Toe   int
}

// A ShaftMark is a marker on the shaft.
type ShaftMark struct {
	Track   int
	Station float64 // distance from the butt end along the axis, m
	Offset  float64 // distance of the marker's centre from the axis, m
}

// all returns the tracks of the club: grip, shaft, head.
func (m Markers) all() []int {
	t := append([]int(nil), m.Grip...)
	for _, s := range m.Shaft {
		t = append(t, s.Track)
	}
	return append(t, m.Head...)
}
