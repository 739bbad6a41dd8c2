package app

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/kinematics"
)

// TestLabAxesKeepHandedness takes every pair of up and target: the scene must
// be a rotation of the lab, never a mirror image.
func TestLabAxesKeepHandedness(t *testing.T) {
	names := []string{"+x", "-x", "+y", "-y", "+z", "-z"}
	for _, up := range names {
		for _, target := range names {
			if up[1] == target[1] {
				continue
			}
			a := labAxes(study.World{Up: up, Target: target})
			if got := a.scene(direction(up)); got != (r3.Vec{Z: 1}) {
				t.Errorf("up %s, target %s: up is at %v in the scene", up, target, got)
			}
			if got := a.scene(direction(target)); got != (r3.Vec{X: 1}) {
				t.Errorf("up %s, target %s: the target is at %v in the scene", up, target, got)
			}
			if d := r3.Dot(r3.Cross(a.x, a.y), a.z); d != 1 {
				t.Errorf("up %s, target %s: determinant %v", up, target, d)
			}
		}
	}
}

// TestViewsOfAddress sets a club up at address, for either hand, and looks where
// the target, the toe and the lead are in each picture.
func TestViewsOfAddress(t *testing.T) {
	for _, hand := range []kinematics.Hand{kinematics.Right, kinematics.Left} {
		side := -1.0 // of the ball, on y
		if hand == kinematics.Left {
			side = 1
		}
		target, toe := r3.Vec{X: 1}, r3.Vec{Y: side}

		right, up, _ := FaceOn.camera(hand, nil).Axes()
		if got := r3.Dot(right, target); math.Abs(got+side) > 1e-12 {
			t.Errorf("%v, face on: the target is at %v to the right", hand, got)
		}
		if r3.Dot(r3.Cross(right, up), toe) < 0.99 {
			t.Errorf("%v, face on: the eye is not on the ball's side", hand)
		}
		right, up, _ = DownTheLine.camera(hand, nil).Axes()
		if r3.Dot(r3.Cross(right, up), target) > -0.99 {
			t.Errorf("%v, down the line: does not look at the target", hand)
		}
		if got := r3.Dot(right, toe); math.Abs(got+side) > 1e-12 {
			t.Errorf("%v, down the line: the toe is at %v to the right", hand, got)
		}

		// Fixed to the grip: the club frame's directions in the scene.
		lead := r3.Vec{X: 1}
		if hand == kinematics.Left {
			lead.X = -1
		}
		a := gripAxes(hand)
		if d := r3.Dot(r3.Cross(a.x, a.y), a.z); d != 1 {
			t.Errorf("%v: the grip's scene has determinant %v", hand, d)
		}
		if a.scene(lead) != target || a.scene(r3.Vec{Y: 1}) != toe || a.scene(r3.Vec{Z: 1}) != (r3.Vec{Z: -1}) {
			t.Errorf("%v: lead at %v, toe at %v, tip at %v", hand, a.scene(lead), a.scene(r3.Vec{Y: 1}), a.scene(r3.Vec{Z: 1}))
		}
		right, up, _ = AlongShaft.camera(hand, nil).Axes()
		if r3.Dot(up, toe) < 0.99 || math.Abs(r3.Dot(right, target)-side) > 1e-9 {
			t.Errorf("%v, along the shaft: toe %v up, lead %v right", hand, r3.Dot(up, toe), r3.Dot(right, target))
		}
	}
}

func TestRotationVector(t *testing.T) {
	for _, v := range []r3.Vec{{}, {X: 0.02}, {Y: -0.3, Z: 0.1}, {X: 1, Y: 1, Z: -1}, {Z: 3}} {
		f := kinematics.Frame{X: r3.Vec{X: 1}, Y: r3.Vec{Y: 1}, Z: r3.Vec{Z: 1}}
		if n := r3.Norm(v); n > 0 {
			r := r3.NewRotation(n, v)
			f.X, f.Y, f.Z = r.Rotate(f.X), r.Rotate(f.Y), r.Rotate(f.Z)
		}
		if got := rotationVector(f); r3.Norm(r3.Sub(got, v)) > 1e-12 {
			t.Errorf("rotation by %v is read as %v", v, got)
		}
	}
}
