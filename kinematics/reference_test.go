package kinematics_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"
)

// Markers that do not fix the shaft's axis are refused, and the error says why.
func TestReferenceRefusesMarkersThatFixNoAxis(t *testing.T) {
	for why, spoil := range map[string]func(*sampledata.Club){
		"one side":        func(c *sampledata.Club) { clear(c.Around) },
		"2 shaft markers": func(c *sampledata.Club) { c.Markers.Shaft = c.Markers.Shaft[:2] },
		"one station": func(c *sampledata.Club) {
			for i := range c.Markers.Shaft {
				c.Markers.Shaft[i].Station = 0.5
			}
		},
	} {
		club := sampledata.RandomConfig(rand.New(rand.NewPCG(2, 7))).Club
		spoil(&club)
		hanging := sampledata.Reference(club, sampledata.Noise{}, nil)
		ref, err := kinematics.NewReference(tracks(hanging), markers(club.Markers), club.Shaft, club.Hand)
		if err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: reference %v, error %v", why, ref, err)
		}
	}
}
