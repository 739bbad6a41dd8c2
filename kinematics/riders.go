package kinematics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Riders tell where the markers of a club ride as it bends. They are scratch
// space for one goroutine.
type Riders struct {
	swing    *Swing
	club     *bentClub
	sections []section
}

// NewRiders returns the riders of a swing that was fitted with the reference.
func NewRiders(s *Swing, ref *Reference) *Riders {
	club := newBentClub(ref)
	return &Riders{swing: s, club: club, sections: make([]section, len(club.nodes))}
}

// At fills dst, one entry a track, with the places of the markers on the fitted
// club in frame i, in the frame of the grip (the swing's Grip[i] takes them to
// the lab). They are NaN for tracks that are no marker seen in the reference,
// and where the frame could not be fitted.
func (r *Riders) At(i int, dst []r3.Vec) {
	for k := range dst {
		dst[k] = nan3
	}
	if r.swing.rod == nil || math.IsNaN(r.swing.amp[i][0]) {
		return
	}
	r.club.rod.bend(&r.swing.amp[i], r.club.nodes, r.sections, false)
	for _, m := range r.club.marks {
		dst[m.track] = m.arm
		if m.section >= 0 {
			dst[m.track] = r.sections[m.section].ToLab(m.arm)
		}
	}
}
