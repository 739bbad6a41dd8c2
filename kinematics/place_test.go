package kinematics_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bendline/kinematics"
	"bendline/kinematics/contrast"
	"bendline/sampledata"
)

// The cameras' error in a reference recording is often the same in all of its
// frames: static errors of 0.15 mm are usual (Merriaux, Dupuis, Boutteau,
// Vasseur & Savatier, Sensors 17:1591, 2017). 0.2 mm in each coordinate of every
// marker then lets lead and droop be off by some 0.9 mm, in every run alike: runs
// hold the truth within their u95, and what the fit says of the part they share
// is what a difference of two clubs needs.
func TestReferenceThatIsOff(t *testing.T) {
	n := 16 // clubs
	if testing.Short() {
		n = 8
	}
	off := sampledata.Noise{White: 0.2e-3, Wander: 0.2e-3, Time: 1e6}
	type value struct {
		score
		error2, said2   float64 // of the clubs' means, squared, summed
		inside, without int     // of differences of clubs
	}
	values := []value{{score: score{name: "lead mm"}}, {score: score{name: "droop mm"}}, {score: score{name: "twist deg"}}, {score: score{name: "lead angle deg"}}, {score: score{name: "droop angle deg"}}}
	scale := []float64{1e3, 1e3, deg, deg, deg}
	const runs = 2
	for seed := range n / 2 {
		var errors [5][2][]float64
		var shared [5]float64
		for club := range 2 {
			rng := rand.New(rand.NewPCG(uint64(seed), 11))
			cfg := sampledata.RandomConfig(rng)
			cfg.Noise, cfg.Gaps = sampledata.Noise{White: 0.2e-3}, nil
			rng = rand.New(rand.NewPCG(uint64(seed), uint64(club)))
			hung, err := kinematics.NewReference(tracks(sampledata.Reference(cfg.Club, off, rng)), markers(cfg.Club.Markers), cfg.Club.Shaft, cfg.Club.Hand)
			if err != nil {
				t.Fatal(err)
			}
			for range runs {
				c := sampledata.Simulate(cfg, rng)
				sw := subject{cfg, hung, tracks(c.Recording), c.Recording.Rate(), c.Truth}.fit(t, kinematics.Options{})
				a, s := sw.AtImpact, sw.Systematic
				for i, v := range []struct {
					e, part kinematics.Estimate
					truth   float64
				}{{a.Lead, s.Lead, c.Truth.Lead}, {a.Droop, s.Droop, c.Truth.Droop}, {a.Twist, s.Twist, c.Truth.Twist}, {a.LeadAngle, s.LeadAngle, c.Truth.LeadAngle}, {a.DroopAngle, s.DroopAngle, c.Truth.DroopAngle}} {
					values[i].add(v.e, v.truth, scale[i])
					errors[i][club] = append(errors[i][club], (v.e.Value-v.truth)*scale[i])
					shared[i] += math.Pow(v.part.U95*scale[i]/1.96, 2) / runs
				}
			}
		}
		for i := range values {
			v := &values[i]
			test, err := contrast.Welch(errors[i][0], errors[i][1], 0.95)
			if err != nil {
				t.Fatal(err)
			}
			v.error2 += test.Difference * test.Difference
			v.said2 += shared[i]
			holds := func(t contrast.Test) bool { return t.Low <= 0 && t.High >= 0 }
			if holds(test.Sharing(math.Sqrt(shared[i]), 0.95)) {
				v.inside++
			}
			if holds(test) {
				v.without++
			}
		}
	}
	for i := range values {
		v := &values[i]
		ratio := math.Sqrt(v.error2 / v.said2)
		t.Logf("%-16s rms %.3f, inside u95 %d of %d; difference of clubs %.3f, shared %.3f; inside %d of %d, %d without what is shared",
			v.name, v.rms(), v.score.inside, v.all, math.Sqrt(v.error2/float64(n/2)), math.Sqrt(v.said2/float64(n/2)), v.inside, n/2, v.without)
		if 24*v.score.inside < 17*v.all {
			t.Errorf("%s: %d of %d inside u95", v.name, v.score.inside, v.all)
		}
		// The run's own noise adds to the difference; of 8 draws the ratio lies
		// within 0.5 to 1.8 in 99 % of trials.
		if !testing.Short() && (ratio < 0.5 || ratio > 1.8) {
			t.Errorf("%s: clubs differ by %.2f of what is said to be shared", v.name, ratio)
		}
		if 4*v.inside < 3*(n/2) {
			t.Errorf("%s: %d of %d differences of clubs inside their interval", v.name, v.inside, n/2)
		}
	}
}
