package sampledata

// A style is how one player swings: a motion, and the loads at given instants
// of its downswing.
type style struct {
	motion Motion

	lag, release   float64 // lead moments at the lower hand: early, and gained by contact, N m
	toeUp, toeDown float64 // the same for droop
	open, closing  float64 // and for torque
	pull           float64 // moment at the tip by the head's pull, in lead and more in droop, N m
	timing         float64 // duration of the last rise of lead, through contact, s
	behind         float64 // share of that duration behind at contact
	hands          float64 // station of the lower hand, m
	bow            float64 // Load.Pull of the hands' moment, 1/m
	tip            float64 // Load.Tip of the hands' moment
}

// loads returns the loads of the style with a downswing of the given duration:
// the lag that starts the club down, its fall in mid-downswing, and the rise
// through contact that the head's pull drives.
func (s style) loads(downswing float64) Loads {
	d := downswing
	hold := Course{{-d - 0.65, 0.45, -0.15}, {-d - 0.27, 0.36, -0.85}, {-0.8 * d, 0.5 * d, 0.3}}
	build := func(early, late, duration float64) Course {
		rise := Step{-s.behind * duration, duration, (late + 0.7*early) / smooth(s.behind)}
		return append(hold.scaled(early), rise, Step{0.02, 0.12, -late})
	}
	drawn := Course{{-0.75 * d, 0.9 * d, s.pull}, {0.03, 0.12, -s.pull}}
	twist := Course{{-d - 0.25, 0.4, -s.open}, {-0.6 * d, 0.75 * d, (s.open + s.closing) / smooth(0.8)}, {0.03, 0.1, -s.closing}}
	hands := func(c Course, tip float64) Load { return Load{s.hands, tip, s.bow, c} }
	// The head's pull on its offset centre of gravity: a moment at the tip that
	// fades towards the hands.
	const fade = 0.25
	pulled := func(share float64) Load { return Load{s.hands, 1 / fade, 2.4, drawn.scaled(share * fade)} }
	return Loads{
		Lead:   []Load{hands(build(s.lag, s.release, s.timing), s.tip), pulled(0.4)},
		Droop:  []Load{hands(build(s.toeUp, s.toeDown, 1.5*s.timing), s.tip+0.1), pulled(1)},
		Torque: []Load{{Hands: s.hands, Tip: 0.85, Course: twist}},
	}
}

// config returns the style's capture of a club, recorded at the given rate from
// before to after contact.
func (s style) config(c Club, rate, before, after float64) Config {
	return Config{
		Club:   c,
		Motion: s.motion,
		Loads:  s.loads(newCarrier(s.motion, c.headAtRest()).downswing),
		Blow:   Blow{Loss: 0.33, Duration: 0.45e-3, Frequency: 27, Damping: 0.07, Droop: 0.12, Twist: 8},
		Rate:   rate,
		Before: before,
		After:  after,
	}
}
