package widgets

import (
	"testing"
	"time"
)

func TestPace(t *testing.T) {
	now := time.Unix(1e9, 0)
	var wait time.Duration
	var due func()
	p := pace{
		now:   func() time.Time { return now },
		later: func(d time.Duration, f func()) { wait, due = d, f },
	}
	asked, shown := 0, 0
	ask := func() {
		asked++
		p.do(func() { shown = asked })
	}
	ask()
	if shown != 1 {
		t.Fatal("the first asking was held back")
	}
	for range 5 { // 60 ms of a running time
		now = now.Add(12 * time.Millisecond)
		ask()
	}
	if shown != 1 {
		t.Errorf("shown again after %v", 60*time.Millisecond)
	}
	if wait != readOut-12*time.Millisecond {
		t.Errorf("waits %v from the second asking, want %v", wait, readOut-12*time.Millisecond)
	}
	now = now.Add(40 * time.Millisecond)
	due()
	if shown != asked {
		t.Errorf("shown state %d, want the last, %d", shown, asked)
	}
	now = now.Add(readOut)
	ask()
	if shown != asked {
		t.Error("held back though the time had passed")
	}
}
