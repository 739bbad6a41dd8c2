package sampledata

import (
	"math"
	"math/rand/v2"

	"bendline/kinematics"
)

// A Config is everything that makes one capture. Its times count from the
// first contact.
type Config struct {
	Club   Club
	Wave   Wave // how the true stiffness differs from the club's table
	Motion Motion
	Loads  Loads
	Blow   Blow

	Rate          float64 // frames a second
	Before, After float64 // recorded before and after contact, s; Before need not be a whole number of frames
	Noise         Noise
	Gaps          []Gap
}

// A Wave is an error of the stiffness table along the shaft: the true EI is
// that of the table times 1 + Size sin(2π s/Length + Phase). The zero Wave is
// none.
type Wave struct{ Size, Length, Phase float64 }

func (w Wave) factor(s float64) float64 {
	if w.Size == 0 {
		return 1
	}
	return 1 + w.Size*math.Sin(2*math.Pi*s/w.Length+w.Phase)
}

// RandomConfig returns a plausible capture at random: club, hand, player, rate
// from 2000 to 5000 frames a second, noise, and the error of the bench's
// stiffness all vary.
func RandomConfig(rng *rand.Rand) Config {
	between := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	length := round(between(1.08, 1.16), 1e-3)
	shaft := kinematics.Shaft{Length: length}
	whole, tip, torsion := between(0.85, 1.2), between(0.8, 1.2), between(0.8, 1.3)
	for i, s := range base.Station {
		x := s / base.Length
		shaft.Station = append(shaft.Station, round(x*length, 1e-4))
		shaft.EI = append(shaft.EI, round(base.EI[i]*whole*(1+(tip-1)*smooth((x-0.4)/0.6)), 1e-3))
		shaft.GJ = append(shaft.GJ, round(base.GJ[i]*torsion, 1e-3))
	}
	club := driver(shaft)
	club.ID, club.Label, club.Role = "random", "Random club (simulated)", "baseline"
	club.Hand = kinematics.Hand(rng.IntN(2))

	s := style{
		motion: Motion{
			HeadSpeed: between(35, 45),
			Backswing: between(0.8, 1),
			Plane:     between(0.8, 0.95),
			Arm:       between(0.58, 0.68),
			Turn:      between(1.9, 2.2),
			Cock:      between(1.4, 1.7),
			Roll:      between(1.2, 1.6),
			Flatten:   between(-0.05, 0.15),
			Shift:     between(0.02, 0.08),
			Late:      between(-0.01, 0.015),
		},
		lag:     between(6, 11),
		release: between(-1, 4.5),
		toeUp:   between(3, 7),
		toeDown: between(1.2, 3.5),
		open:    between(0.2, 0.6),
		closing: between(0.2, 0.6),
		pull:    between(1, 2.6),
		timing:  between(0.09, 0.14),
		behind:  between(0.45, 0.7),
		hands:   between(0.17, 0.24),
		bow:     between(0.4, 1.8),
		tip:     between(-0.1, 0.25),
	}
	cfg := s.config(club, math.Round(between(2000, 5000)), between(0.7, 1), between(0.05, 0.15))
	cfg.Wave = Wave{between(0, 0.07), between(0.3, 0.8), between(0, 2*math.Pi)}
	cfg.Blow.Loss = between(0.28, 0.36)
	cfg.Blow.Duration = between(0.4e-3, 0.5e-3)
	if rng.IntN(3) == 0 { // the limit that other simulations take
		cfg.Blow.Duration = 0
	}
	cfg.Blow.Frequency = between(22, 30)
	cfg.Blow.Twist = between(-15, 15)
	cfg.Noise = Noise{White: between(0.05e-3, 0.4e-3), Dropouts: between(0, 1)}
	if rng.IntN(3) == 0 {
		cfg.Noise = Noise{White: 0.1e-3, Wander: 0.12e-3, Time: 4e-3, Dropouts: cfg.Noise.Dropouts}
	}
	if rng.IntN(4) == 0 { // a shaft marker hidden for a while in the downswing
		from := between(-0.2, -0.02)
		marker := club.Markers.Shaft[rng.IntN(len(club.Markers.Shaft))]
		cfg.Gaps = []Gap{{marker.Name, from, from + between(0.005, 0.06)}}
	}
	return cfg
}
