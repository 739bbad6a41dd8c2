package kinematics_test

import (
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/kinematics"
)

// TestSwingComesBack writes and reads fitted swings: every field, also the
// hidden ones, is the same to the last bit.
func TestSwingComesBack(t *testing.T) {
	x := newSubject(t, 3, nil)
	impact := x.truth.Impact
	for name, opt := range map[string]kinematics.Options{"found": {}, "by hand": {Impact: &impact}} {
		sw := x.fit(t, opt)
		b, err := sw.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var back kinematics.Swing
		if err := back.UnmarshalBinary(b); err != nil {
			t.Fatal(err)
		}
		again, err := back.MarshalBinary()
		if err != nil || !reflect.DeepEqual(b, again) {
			t.Errorf("%s: written again it differs (%v)", name, err)
		}
		// What follows from the hidden fields.
		if !reflect.DeepEqual(hidden(sw, x.ref), hidden(&back, x.ref)) {
			t.Errorf("%s: centreline, tip, contact or riders differ", name)
		}
	}
}

// hidden returns what is worked out from a swing's hidden fields at a fitted
// frame.
func hidden(s *kinematics.Swing, ref *kinematics.Reference) []any {
	i := s.FrameAt(s.Impact.Value) - 3
	line, riders := make([]r3.Vec, 7), make([]r3.Vec, len(ref.Point))
	s.Centreline(i, line)
	kinematics.NewRiders(s, ref).At(i, riders)
	contact := s.WithContact(kinematics.Estimate{Value: 0.2e-3, U95: 0.1e-3})
	return []any{line, riders, s.Tip(i), contact.Impact, contact.AtImpact, kinematics.PoolContact([]*kinematics.Swing{s})}
}

func TestDamagedSwingIsRefused(t *testing.T) {
	x := newSubject(t, 3, nil)
	b, err := x.fit(t, kinematics.Options{}).MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var s kinematics.Swing
	for _, n := range []int{0, 7, 8, 100, len(b) / 2, len(b) - 1} {
		if s.UnmarshalBinary(b[:n]) == nil {
			t.Errorf("%d of %d bytes are taken for a swing", n, len(b))
		}
	}
	if s.UnmarshalBinary(append(b, 0)) == nil {
		t.Error("a byte too many is not noticed")
	}
	b[0]++
	if s.UnmarshalBinary(b) == nil {
		t.Error("bytes of another program are read")
	}
	if s.Frames() != 0 {
		t.Error("a refused swing changes the one read into")
	}
}

// TestRidersAreWhereMarkersWere compares the fitted places with the measured
// ones shortly before impact: they are off by the noise.
func TestRidersAreWhereMarkersWere(t *testing.T) {
	x := newSubject(t, 5, nil)
	sw := x.fit(t, kinematics.Options{})
	riders := kinematics.NewRiders(sw, x.ref)
	i := sw.FrameAt(sw.Impact.Value) - 5
	at := make([]r3.Vec, len(x.tracks))
	riders.At(i, at)
	seen := 0
	for k, p := range at {
		d := r3.Norm(r3.Sub(sw.Grip[i].ToLab(p), x.tracks[k][i]))
		switch {
		case d != d:
		case d > 3e-3:
			t.Errorf("marker %d rides %v m from where it was seen", k, d)
		default:
			seen++
		}
	}
	if seen < len(at)/2 {
		t.Errorf("only %d of %d markers have a place", seen, len(at))
	}
}

func BenchmarkUnmarshalSwing(b *testing.B) {
	x := newSubject(b, 3, nil)
	data, err := x.fit(b, kinematics.Options{}).MarshalBinary()
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		var s kinematics.Swing
		if err := s.UnmarshalBinary(data); err != nil {
			b.Fatal(err)
		}
	}
}
