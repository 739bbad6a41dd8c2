package capture

// A MarkerSet names the markers of a club and says where those on the shaft
// sit.
type MarkerSet struct {
	Grip  []string      // rigid cluster on the grip, three or more
	Shaft []ShaftMarker // from butt to tip
	Head  []string      // rigid cluster on the head, three or more
	Heel  string        // the head marker nearest the heel
	Toe   string        // the head marker nearest the toe
}

// A ShaftMarker is a marker on the shaft. Its direction around the shaft comes
// from the reference recording.
type ShaftMarker struct {
	Name    string
	Station float64 // distance from the butt end along the axis, m
	Offset  float64 // distance of the marker's centre from the axis, m
}

// Names returns every marker of the set: grip, shaft, head.
func (s MarkerSet) Names() []string {
	names := append([]string(nil), s.Grip...)
	for _, m := range s.Shaft {
		names = append(names, m.Name)
	}
	return append(names, s.Head...)
}
