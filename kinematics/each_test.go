package kinematics

import (
	"context"
	"testing"
)

// A caller can recover from a defect that a worker meets.
func TestPanicOfAWorkerReachesTheCaller(t *testing.T) {
	f := &fit{bentClub: &bentClub{}, ctx: context.Background()}
	defer func() {
		if v := recover(); v != "frame 70" {
			t.Errorf("recovered %v", v)
		}
	}()
	f.each(0, 1000, 7, func(_ *solver, lo, hi int) {
		if lo == 70 {
			panic("frame 70")
		}
	})
	t.Error("there was no panic")
}
