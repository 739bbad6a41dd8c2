package app

import (
	"encoding/json"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
	"bendline/widgets"
)

// benched is the plain study with a baseline that is in spec but for what is
// missing, and a prototype that is too heavy.
func benched() *study.Study {
	st := plainStudy()
	for i, bench := range []string{`{"weight_g": 64}`, `{"weight_g": 68}`} {
		c := &st.Clubs[i]
		c.Shaft.Length = 1.1
		c.Shaft.Station, c.Shaft.EI, c.Shaft.GJ = []float64{0, 0.5, 1.1}, []float64{60, 40, 20}, []float64{30, 20, 10}
		c.Bench = json.RawMessage(bench)
		c.Spec = json.RawMessage(`{"weight_g": {"target": 64, "minus": 1, "plus": 1}, "frequency_cpm": {"target": 250, "minus": 3, "plus": 3}}`)
	}
	return st
}

func TestBenchScreen(t *testing.T) {
	x := newWorld(t)
	st := benched()
	x.store.Do(Opened{st})
	x.store.Do(Analysed{plainResults(st)})
	x.key(fyne.KeyF6)
	found := x.state().bench()
	if found == nil || found.Err != nil {
		t.Fatalf("the bench was not worked out: %+v; %q", found, x.state().Notice.Text)
	}
	if got, want := x.bench.answer.Text, "Out of spec: Proto in 1 of 2 items; not shown to be in spec: Base, with 1 item missing."; got != want {
		t.Errorf("the answer is %q, want %q", got, want)
	}
	rows, _ := checkRows(st, found.Clubs)
	for i, want := range []struct {
		verdict string
		tone    widgets.Tone
	}{{"out of spec", widgets.Warn}, {"missing", widgets.Muted}, {"missing", widgets.Muted}, {"in spec", widgets.Normal}} {
		if got := rows[i].Cells[7]; got != want.verdict || rows[i].Tone != want.tone {
			t.Errorf("check %d is %q with tone %v, want %v", i, got, rows[i].Tone, want)
		}
	}
	if ei, gj := stiffness(st, found); len(gj) != 1 || gj[0].X[2] != 1100 || gj[0].Label != "Base and 1 more" || ei[len(ei)-1].Y[2] != 20 {
		t.Errorf("curves of stiffness: %+v and %+v", ei, gj)
	}
	for _, b := range x.bench.pages.buttons {
		test.Tap(b)
	}
	if x.state().BenchPage != len(benchPages)-1 {
		t.Error("the pages cannot be turned")
	}
}

// TestBenchFollowsStudy checks that what is shown is of the study as it is, and
// that work once stopped waits to be begun.
func TestBenchFollowsStudy(t *testing.T) {
	x := newWorld(t)
	st := benched()
	x.store.Do(Opened{st})
	x.store.Do(Analysed{plainResults(st)})
	x.hold = true
	x.store.Do(ShowScreen{BenchScreen})
	if len(x.queued) != 1 || !strings.Contains(x.bench.answer.Text, "follows") {
		t.Fatalf("%d jobs wait, and the screen says %q", len(x.queued), x.bench.answer.Text)
	}
	x.jobs.stop()
	if len(x.queued) != 1 || !x.bench.again.Visible() {
		t.Error("stopped, it begins again by itself, or cannot be begun")
	}
	x.hold = false
	test.Tap(x.bench.again)
	if x.state().bench() == nil {
		t.Fatal("the bench was not worked out when asked")
	}
	x.store.Do(Exclude{"b-base-2", "slipped"})
	if got := x.state().bench(); got == nil || got.Of != x.state().Study {
		t.Error("after a change of the study the bench is not worked out anew")
	}
}
