package widgets

import (
	"time"

	"fyne.io/fyne/v2"
)

// readOut is how often a text may change while a time runs: fast enough to
// follow, slow enough to read, and each text costs a texture.
const readOut = 100 * time.Millisecond

// A pace holds back work that is asked for more often than it should be done;
// the last asking is always answered. The zero pace is ready.
type pace struct {
	now     func() time.Time            // nil for the clock
	later   func(time.Duration, func()) // nil for onWindow
	last    time.Time
	waiting bool
}

// do does the work now, or once when its time has come.
func (p *pace) do(work func()) {
	if p.now == nil {
		p.now, p.later = time.Now, onWindow
	}
	if p.waiting {
		return
	}
	left := readOut - p.now().Sub(p.last)
	if left <= 0 {
		p.last = p.now()
		work()
		return
	}
	p.waiting = true
	p.later(left, func() {
		p.waiting = false
		p.last = p.now()
		work()
	})
}

// onWindow calls f after a time on the window's goroutine, by an animation: the
// timer of Fyne that ticks there.
func onWindow(after time.Duration, f func()) {
	called := false
	fyne.NewAnimation(after, func(done float32) {
		if done == 1 && !called {
			called = true
			f()
		}
	}).Start()
}
