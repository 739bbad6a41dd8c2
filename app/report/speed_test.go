package report

import (
	"io"
	"testing"
)

// thirty is a deck of thirty slides.
func thirty(b testing.TB) *Deck {
	sc := scenario{players: 6, clubs: 2, runs: 6, stiffness: true, broken: 2, gain: 4}
	a, c := sc.make()
	o := options
	for len(o.Plan) < 2*len(kinds) {
		o.Plan = append(o.Plan, DefaultPlan()...)
	}
	d, err := New(a, c, o)
	if err != nil {
		b.Fatal(err)
	}
	d.Slides = d.Slides[:30]
	return d
}

// BenchmarkDeck makes thirty slides in each format.
func BenchmarkDeck(b *testing.B) {
	d := thirty(b)
	for name, write := range map[string]func() error{
		"pdf":  func() error { return d.pdf(b.Context(), io.Discard, silent) },
		"pptx": func() error { return d.pptx(b.Context(), io.Discard, silent) },
		"png":  func() error { return writeFolder(b.Context(), d, b.TempDir(), silent) },
		"lay":  func() error { thirty(b); return nil },
	} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				if err := write(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
