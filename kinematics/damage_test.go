package kinematics_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"

	"gonum.org/v1/gonum/spatial/r3"
)

// Where fewer than three markers of the grip or of the head are seen, the values
// rest on what the rod fills; the places of those not seen are the rod's, within
// a millimetre or two of the truth, and do not stand still.
func TestFilledMarkersRideOnTheRod(t *testing.T) {
	s := newSubject(t, 7, func(cfg *sampledata.Config) { cfg.Noise, cfg.Gaps = sampledata.Noise{White: 0.2e-3}, nil })
	from := int((s.truth.Impact - 0.04) * s.rate)
	const n = 30
	hidden := s.ref.Markers.Head[:2]
	was := map[int][]r3.Vec{}
	for _, k := range hidden {
		was[k] = s.tracks[k]
		s.tracks[k] = slices.Clone(s.tracks[k])
		for i := from; i < from+n; i++ {
			s.tracks[k][i] = gone
		}
	}
	sw := s.fit(t, kinematics.Options{})
	riders, at := kinematics.NewRiders(sw, s.ref), make([]r3.Vec, len(s.tracks))
	for i, filled := range sw.Filled {
		in := i >= from && i < from+n
		if filled != in {
			t.Fatalf("frame %d of %d to %d: filled %v", i, from, from+n, filled)
		}
		if !in {
			continue
		}
		riders.At(i, at)
		for _, k := range hidden {
			if d := r3.Norm(r3.Sub(sw.Grip[i].ToLab(at[k]), was[k][i])); !(d < 2e-3) {
				t.Errorf("frame %d: the marker filled in is %.2f mm from where it was", i, d*1e3)
			}
		}
	}
}

var gone = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// Damage to captures, and what it may cost: root mean square errors over six
// runs at 0.2 mm noise stay within 1.5 times what is allowed without damage
// (lead 0.7 mm, droop 0.8 mm, twist 0.13 deg). Over the two of the short test
// chance counts for more: 3.3 times is passed once in 50,000 values by errors as
// large as what is allowed.
func TestDamagedCaptures(t *testing.T) {
	for _, c := range []struct {
		name   string
		damage func(s *subject, rng *rand.Rand)
		check  func(t *testing.T, s subject, sw *kinematics.Swing)
	}{
		{"a shaft marker never seen", func(s *subject, rng *rand.Rand) {
			s.tracks[s.ref.Markers.Shaft[rng.IntN(11)].Track] = nil
		}, nil},
		{"three grip markers left", func(s *subject, rng *rand.Rand) {
			s.tracks[s.ref.Markers.Grip[rng.IntN(4)]] = nil
		}, nil},
		{"two labels exchanged throughout", func(s *subject, rng *rand.Rand) {
			k := s.ref.Markers.Shaft[2+rng.IntN(6)].Track
			s.tracks[k], s.tracks[k+1] = s.tracks[k+1], s.tracks[k]
		}, func(t *testing.T, s subject, sw *kinematics.Swing) {
			e := sw.Exchanged
			if len(e) != 2 {
				t.Fatalf("%d stretches of exchanged labels, not one for each of the two: %.400s", len(e), fmt.Sprint(e))
			}
			// Given back, not left out: all but a few of some 2500 points.
			if n := sw.Stray[e[0].Track] + sw.Stray[e[1].Track]; n > 25 {
				t.Errorf("%d points of the exchanged labels were left out", n)
			}
		}},
		{"two labels exchanged for a while", func(s *subject, rng *rand.Rand) {
			k := s.ref.Markers.Shaft[4].Track
			a, b := slices.Clone(s.tracks[k]), slices.Clone(s.tracks[k+1])
			at := int((s.truth.Impact - 0.05) * s.rate)
			for i := at; i < at+60; i++ {
				a[i], b[i] = b[i], a[i]
			}
			s.tracks[k], s.tracks[k+1] = a, b
		}, func(t *testing.T, s subject, sw *kinematics.Swing) {
			k := s.ref.Markers.Shaft[4].Track
			from := math.Floor((s.truth.Impact-0.05)*s.rate) / s.rate
			for _, e := range sw.Exchanged {
				if e.Track == k && e.Label == k+1 && math.Abs(e.From-from) < 2/s.rate && math.Abs(e.To-from-59/s.rate) < 2/s.rate {
					return
				}
			}
			t.Errorf("exchanged from %.4f s on for 59 frames, found %.400s", from, fmt.Sprint(sw.Exchanged))
		}},
		{"jumps and dropouts", func(s *subject, rng *rand.Rand) {
			for k := range s.tracks {
				s.tracks[k] = slices.Clone(s.tracks[k])
				for i := range s.tracks[k] {
					switch rng.IntN(200) {
					case 0:
						s.tracks[k][i] = gone
					case 1:
						s.tracks[k][i] = r3.Add(s.tracks[k][i], r3.Vec{X: 0.02 * rng.NormFloat64(), Y: 0.02 * rng.NormFloat64(), Z: 0.02})
					}
				}
			}
		}, nil},
		{"two frozen markers", func(s *subject, rng *rand.Rand) {
			for _, m := range []int{3, 7} {
				k := s.ref.Markers.Shaft[m].Track
				s.tracks[k] = slices.Clone(s.tracks[k])
				at := int((s.truth.Impact - 0.2) * s.rate)
				for at > 0 && math.IsNaN(s.tracks[k][at].X) {
					at--
				}
				for i := at; i < len(s.tracks[k]); i++ {
					s.tracks[k][i] = s.tracks[k][at]
				}
			}
		}, nil},
		{"40 frames of two markers gone up to impact", func(s *subject, rng *rand.Rand) {
			last := int(s.truth.Impact * s.rate)
			for _, k := range []int{s.ref.Markers.Shaft[9].Track, s.ref.Markers.Grip[1]} {
				s.tracks[k] = slices.Clone(s.tracks[k])
				for i := last - 40; i <= last; i++ {
					s.tracks[k][i] = gone
				}
			}
		}, nil},
		{"a marker slid 6 mm towards the tip", func(s *subject, rng *rand.Rand) {
			// The club hung with the marker 6 mm further up than it is in the swing.
			m := s.ref.Markers.Shaft[5]
			ref := *s.ref
			ref.Point = slices.Clone(ref.Point)
			ref.Point[m.Track].Z -= 6e-3
			s.ref = &ref
		}, func(t *testing.T, s subject, sw *kinematics.Swing) {
			if len(sw.Slid) != 1 || sw.Slid[0].Track != s.ref.Markers.Shaft[5].Track || math.Abs(sw.Slid[0].By-6e-3) > 0.3e-3 {
				t.Errorf("a slide of 6 mm found as %+v", sw.Slid)
			}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			lead, droop, twist := score{name: "lead mm"}, score{name: "droop mm"}, score{name: "twist deg"}
			n, times := uint64(6), 1.5
			if testing.Short() {
				n, times = 2, 1.5*2.2
			}
			for seed := range n {
				s := newSubject(t, 200+seed, func(c *sampledata.Config) {
					c.Noise = sampledata.Noise{White: 0.2e-3}
					c.Gaps = nil
					c.Rate = 2500
				})
				c.damage(&s, rand.New(rand.NewPCG(seed, 3)))
				sw := s.fit(t, kinematics.Options{})
				lead.add(sw.AtImpact.Lead, s.truth.Lead, 1e3)
				droop.add(sw.AtImpact.Droop, s.truth.Droop, 1e3)
				twist.add(sw.AtImpact.Twist, s.truth.Twist, deg)
				if c.check != nil {
					c.check(t, s, sw)
				} else if len(sw.Exchanged) > 0 || len(sw.Slid) > 0 {
					t.Errorf("found %+v and %+v where there is neither", sw.Exchanged, sw.Slid)
				}
			}
			for _, q := range []struct {
				*score
				most float64
			}{{&lead, 0.7}, {&droop, 0.8}, {&twist, 0.13}} {
				t.Logf("%-10s rms %.3f, inside u95 %d of %d", q.name, q.rms(), q.inside, q.all)
				if q.rms() > times*q.most {
					t.Errorf("%s: rms %.3f", q.name, q.rms())
				}
			}
		})
	}
}
