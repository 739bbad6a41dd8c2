package kinematics_test

import (
	"context"
	"errors"
	"testing"

	"bendline/kinematics"
	"bendline/sampledata"
)

// Slow recordings give what they say they give, down to the rate from which
// impact is found; below it they are refused.
func TestSlowRecordings(t *testing.T) {
	n := 24
	if testing.Short() {
		n = 8
	}
	for _, rate := range []float64{500, 700, 1000} {
		lead, droop, speed, impact := score{name: "lead mm"}, score{name: "droop mm"}, score{name: "head speed m/s"}, score{name: "impact ms"}
		for seed := range n {
			s := newSubject(t, 500+uint64(seed), func(c *sampledata.Config) { c.Rate = rate })
			sw := s.fit(t, kinematics.Options{})
			lead.add(sw.AtImpact.Lead, s.truth.Lead, 1e3)
			droop.add(sw.AtImpact.Droop, s.truth.Droop, 1e3)
			speed.add(sw.AtImpact.HeadSpeed, s.truth.HeadSpeed, 1)
			impact.add(sw.Impact, s.truth.Impact, 1e3)
		}
		for _, c := range []struct {
			score
			most float64 // rms error
		}{{lead, 1.2}, {droop, 1}, {speed, 0.3}, {impact, 0.3}} {
			t.Logf("%v a second: %s off by %.3f, u95 %.3f, inside %d of %d", rate, c.name, c.rms(), c.u/float64(c.all), c.inside, c.all)
			if c.rms() > c.most || c.inside < c.all*7/10 {
				t.Errorf("%v a second: %s off by %.3f, at most %.3f is wanted; %d of %d inside u95", rate, c.name, c.rms(), c.most, c.inside, c.all)
			}
		}
	}
	s := newSubject(t, 1, func(c *sampledata.Config) { c.Rate = 250 })
	if _, err := kinematics.Fit(context.Background(), s.tracks, 0, s.rate, s.ref, kinematics.Options{}); !errors.Is(err, kinematics.ErrSlow) {
		t.Errorf("250 a second: %v", err)
	}
}
