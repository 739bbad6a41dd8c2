package study

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

// A Swap tells that two markers have each other's label in the capture of a run
// for a time. The names are those after Import has renamed them.
type Swap struct {
	A, B     string
	From, To *float64 // s, both ends within; nil for the beginning and the end of the capture
}

// validate returns an error if there is nothing to put right.
func (w Swap) validate() error {
	switch {
	case w.A == "" || w.B == "":
		return fmt.Errorf("swaps: %q and %q cannot have changed places; name two markers", w.A, w.B)
	case w.A == w.B:
		return fmt.Errorf("swaps: %q cannot change places with itself; name two markers", w.A)
	case w.From != nil && w.To != nil && *w.From > *w.To:
		return fmt.Errorf("swaps: %s and %s: from %v s is after to %v s", w.A, w.B, *w.From, *w.To)
	}
	return nil
}

// readRun reads the capture of a run and puts its labels right.
func (l *lab) readRun(run Run, c *Club) (*capture.Recording, []capture.Flag, error) {
	rec, err := l.read(run.File, run.Import)
	if err != nil {
		return nil, nil, err
	}
	return l.labelled(rec, run, c)
}

// labelled returns the capture of a run with its labels put right: first as they
// are known by name and by place, then as the run says.
func (l *lab) labelled(rec *capture.Recording, run Run, c *Club) (*capture.Recording, []capture.Flag, error) {
	rec, labels, flags, err := ownNames(rec, run.File, c)
	if err != nil {
		return nil, nil, err
	}
	if h := l.reference(c); h.err == nil {
		var placed Labels
		if rec, placed, err = byPlace(rec, c, h.pose, labels, run.Import); err != nil {
			return nil, nil, fmt.Errorf("study: %s: %w", run.File, err)
		}
		flags = append(flags, placeFlags(placed)...)
	}
	if len(run.Swaps) > 0 {
		rec, err = swapped(rec, run)
	}
	return rec, flags, err
}

// swapped returns the recording with the swaps of the run put right.
func swapped(rec *capture.Recording, run Run) (*capture.Recording, error) {
	names := rec.Markers()
	tracks := make([][]r3.Vec, len(names))
	for i, name := range names {
		tracks[i] = rec.Track(name)
	}
	for _, w := range run.Swaps {
		var at [2]int
		for k, name := range []string{w.A, w.B} {
			if at[k] = slices.Index(names, name); at[k] < 0 {
				return nil, fmt.Errorf("study: %s: there is no marker %q to put right; it has %s", run.File, name, shorten(names))
			}
			tracks[at[k]] = slices.Clone(tracks[at[k]])
		}
		a, b := tracks[at[0]], tracks[at[1]]
		for i := range a {
			if t := rec.Time(i); (w.From == nil || t >= *w.From) && (w.To == nil || t <= *w.To) {
				a[i], b[i] = b[i], a[i]
			}
		}
	}
	return capture.NewRecording(rec.Start(), rec.Rate(), names, tracks, rec.Origin())
}

func newSwaps(l list[swapJSON]) []Swap {
	var out []Swap
	for _, n := range l {
		out = append(out, Swap(n.Known))
	}
	return out
}

// encodeSwaps returns swaps as written, with the unknown keys of those that
// were read.
func encodeSwaps(swaps []Swap, was list[swapJSON]) list[swapJSON] {
	var out list[swapJSON]
	for _, w := range swaps {
		k := swapJSON(w)
		old := was.find(func(o swapJSON) bool { return o.A == k.A && o.B == k.B })
		out = append(out, node[swapJSON]{k, old.Unknown})
	}
	return out
}
