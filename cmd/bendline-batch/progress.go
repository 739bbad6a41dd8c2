package main

import (
	"fmt"
	"io"
	"os"
	"sync"
)

// A progress tells on a terminal how far a job has come, in one line that it
// keeps writing over.
type progress struct {
	w  io.Writer // nil where there is no terminal
	mu sync.Mutex
}

func newProgress(w io.Writer) *progress {
	if f, ok := w.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return &progress{w: w}
		}
	}
	return &progress{}
}

const eraseLine = "\r\x1b[K"

func (p *progress) tell(done, total int, what string) {
	if p.w == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	fmt.Fprintf(p.w, "%s%d/%d %s", eraseLine, done, total, what)
}

func (p *progress) end() {
	if p.w != nil {
		fmt.Fprint(p.w, eraseLine)
	}
}
