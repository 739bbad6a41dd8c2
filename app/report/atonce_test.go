package report

import (
	"sync"
	"testing"
)

// TestSlidesDrawnAtOnce is for the race detector: a slide may be looked at while
// the deck is written.
func TestSlidesDrawnAtOnce(t *testing.T) {
	a, c := (scenario{players: 2, clubs: 2, runs: 2}).make()
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			d, err := New(a, c, Options{})
			if err != nil {
				t.Error(err)
				return
			}
			for _, s := range d.Slides {
				s.Picture()
			}
		})
	}
	all.Wait()
}
