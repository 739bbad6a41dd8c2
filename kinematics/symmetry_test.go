package kinematics_test

import (
	"context"
	"math"
	"testing"

	"bendline/kinematics"

	"gonum.org/v1/gonum/spatial/r3"
)

// moved returns the tracks carried by a rigid motion, or mirrored in x.
func moved(ts [][]r3.Vec, move func(r3.Vec) r3.Vec) [][]r3.Vec {
	out := make([][]r3.Vec, len(ts))
	for k, t := range ts {
		for _, p := range t {
			out[k] = append(out[k], move(p))
		}
	}
	return out
}

// sameReadout checks that values differ by less than 5 % of their u95.
func sameReadout(t *testing.T, what string, a, b kinematics.Readout) {
	t.Helper()
	readoutWithin(t, what, 0.05, a, b)
}

// readoutWithin compares readouts to within a share of their u95.
func readoutWithin(t *testing.T, what string, share float64, a, b kinematics.Readout) {
	t.Helper()
	for _, v := range [][2]kinematics.Estimate{
		{a.Lead, b.Lead}, {a.Droop, b.Droop}, {a.Twist, b.Twist}, {a.LeadAngle, b.LeadAngle},
		{a.DroopAngle, b.DroopAngle}, {a.HeadSpeed, b.HeadSpeed}, {a.KickSpeed, b.KickSpeed},
	} {
		tol := share * v[0].U95
		if !(math.Abs(v[0].Value-v[1].Value) <= tol) || !(math.Abs(v[0].U95-v[1].U95) <= tol) {
			t.Errorf("%s changed %v into %v", what, v[0], v[1])
		}
	}
}

func TestFitDoesNotDependOnTheLabsAxes(t *testing.T) {
	s := newSubject(t, 3, nil)
	want := s.fit(t, kinematics.Options{})
	turn := r3.NewRotation(2.1, r3.Vec{X: 1, Y: -2, Z: 0.5})
	got, err := kinematics.Fit(context.Background(), moved(s.tracks, func(p r3.Vec) r3.Vec {
		return r3.Add(turn.Rotate(p), r3.Vec{X: 3, Y: -7, Z: 1})
	}), 0, s.rate, s.ref, kinematics.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sameReadout(t, "a rigid motion", want.AtImpact, got.AtImpact)
}

func TestFitOfTheMirrorImage(t *testing.T) {
	s := newSubject(t, 3, nil)
	want := s.fit(t, kinematics.Options{})
	flip := func(p r3.Vec) r3.Vec { p.X = -p.X; return p }
	ref := *s.ref
	ref.Point = nil
	for _, p := range s.ref.Point { // in the club frame the mirror image has x turned
		ref.Point = append(ref.Point, flip(p))
	}
	ref.Hand = 1 - ref.Hand
	got, err := kinematics.Fit(context.Background(), moved(s.tracks, flip), 0, s.rate, &ref, kinematics.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sameReadout(t, "the mirror image", want.AtImpact, got.AtImpact)
}
