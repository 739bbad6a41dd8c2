package sampledata

import (
	"math"
	"math/rand/v2"

	"bendline/capture"
	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Capture is a simulated recording with its truth.
type Capture struct {
	Recording *capture.Recording
	Truth     Truth
}

// Simulate returns the capture that cfg describes. It draws the noise and the
// dropouts from rng, which may be nil when cfg.Noise is zero.
func Simulate(cfg Config, rng *rand.Rand) Capture {
	m := newModel(&cfg)
	set := cfg.Club.Markers
	names := set.Names()
	frames := int(math.Ceil((cfg.Before+cfg.After)*cfg.Rate)) + 1
	tracks := make([][]r3.Vec, len(names))
	for i := range tracks {
		tracks[i] = make([]r3.Vec, frames)
	}
	truth := m.truth(frames)
	points := make([]r3.Vec, len(names))
	for i := range frames {
		p := m.at(float64(i)/cfg.Rate-cfg.Before, true)
		truth.set(i, m, p)
		m.markers(p, points)
		for j, q := range points {
			tracks[j][i] = q
		}
	}
	for j, track := range tracks {
		cfg.Noise.spoil(track, cfg.Rate, rng)
		for _, g := range cfg.Gaps {
			if g.Marker == names[j] {
				hide(track, int(math.Ceil((g.From+cfg.Before)*cfg.Rate)), int(math.Ceil((g.To+cfg.Before)*cfg.Rate)))
			}
		}
	}
	return Capture{recording(cfg.Rate, names, tracks), truth}
}

// Reference returns a recording of the club hanging unloaded by its grip, tip
// down, and swaying a little as a rigid body: half a second at 250 frames a
// second.
func Reference(c Club, n Noise, rng *rand.Rand) *capture.Recording {
	const (
		rate   = 250
		frames = 125
		sway   = 0.004 // rad
		period = 2.1   // s, of a club hung from the butt end
	)
	m, tip := resting(c)
	names := c.Markers.Names()
	tracks := make([][]r3.Vec, len(names))
	points := make([]r3.Vec, len(names))
	for i := range frames {
		sin, cos := math.Sincos(0.1 + sway*math.Sin(2*math.Pi*float64(i)/rate/period))
		z := r3.Vec{X: sin, Z: -cos}
		x := r3.Vec{X: cos, Z: sin}
		grip := kinematics.Frame{Origin: r3.Vec{X: 0.1, Y: -0.35, Z: 1.9}, X: x, Y: r3.Cross(z, x), Z: z}
		m.markers(pose{grip, tip}, points)
		for j, q := range points {
			tracks[j] = append(tracks[j], q)
		}
	}
	for _, track := range tracks {
		n.spoil(track, rate, rng)
	}
	return recording(rate, names, tracks)
}

func recording(rate float64, names []string, tracks [][]r3.Vec) *capture.Recording {
	r, err := capture.NewRecording(0, rate, names, tracks, capture.Origin{})
	if err != nil {
		panic("sampledata: " + err.Error())
	}
	return r
}

// mirrored returns a lab position or direction as a player of the given hand
// shows it: left is the mirror image of right in the x-z plane.
func mirrored(v r3.Vec, h kinematics.Hand) r3.Vec {
	if h == kinematics.Left {
		v.Y = -v.Y
	}
	return v
}
