package capture

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Points on arcs like those of a club, with noise, cut into parts under names
// that say nothing, some of one frame, with gaps between: each comes back as one
// path, and no path mixes two points.
func TestTrajectoriesJoinParts(t *testing.T) {
	const points, frames, rate = 12, 1500, 1000
	rng := rand.New(rand.NewPCG(1, 2))
	truth := swing(points, frames)
	whose := make(map[string]int)
	var names []string
	var tracks [][]r3.Vec
	longest := 0
	for m, path := range truth {
		for f := 0; f < frames; {
			n := 1 + rng.IntN(3)
			if rng.IntN(3) > 0 {
				n = 30 + rng.IntN(300)
			}
			if f == 0 {
				n = max(n, 20) // long enough to be foretold
			}
			track := slices.Repeat([]r3.Vec{unseen}, frames)
			for i := f; i < min(frames, f+n); i++ {
				track[i] = r3.Add(path[i], r3.Scale(1e-4, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
			}
			name := fmt.Sprintf("*%d", len(names)+1)
			whose[name] = m
			names, tracks = append(names, name), append(tracks, track)
			longest = max(longest, n)
			f += n + rng.IntN(6)
		}
	}
	r, err := NewRecording(0, rate, names, tracks, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	found := r.Trajectories(func(string) bool { return false })
	parts, whole := 0, 0
	for _, p := range found {
		parts += len(p.Parts)
		if p.Frames() > frames*9/10 {
			whole++
		}
		for i, part := range p.Parts {
			if whose[part.Track] != whose[p.Parts[0].Track] {
				t.Errorf("a path of point %d goes on with a part of point %d at frame %d", whose[p.Parts[0].Track], whose[part.Track], part.From)
			}
			if i > 0 && part.From < p.Parts[i-1].To {
				t.Errorf("parts overlap: %+v", p.Parts)
			}
		}
	}
	if parts != len(names) {
		t.Errorf("%d parts of %d are in the paths", parts, len(names))
	}
	if whole < points-1 {
		t.Errorf("%d of %d points come back whole, in %d paths of %d parts", whole, points, len(found), len(names))
	}
}

// A track under its own name has its gap filled by the nameless point that goes
// where it would have gone, and by no other.
func TestTrajectoriesFillTheGapOfANamedTrack(t *testing.T) {
	truth := swing(3, 400)
	named, ghost, far := slices.Clone(truth[0]), slices.Repeat([]r3.Vec{unseen}, 400), slices.Repeat([]r3.Vec{unseen}, 400)
	for f := 200; f < 230; f++ {
		named[f] = unseen
		if f > 202 && f < 228 {
			ghost[f] = truth[0][f]
			far[f] = r3.Add(truth[0][f], r3.Vec{X: 0.1})
		}
	}
	r, err := NewRecording(0, 1000, []string{"S01", "*1", "*2"}, [][]r3.Vec{named, ghost, far}, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	found := r.Trajectories(func(name string) bool { return name == "S01" })
	if got, want := fmt.Sprint(found), "[{[{S01 0 200} {*1 203 228} {S01 230 400}]} {[{*2 203 228}]}]"; got != want {
		t.Fatalf("%s, want %s", got, want)
	}
	filled, err := r.Assembled([]string{"S01"}, map[string][]Trajectory{"S01": found[:1]})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(filled.Markers(), " "); got != "S01 *2" {
		t.Errorf("the recording then has %s", got)
	}
	for f, p := range filled.Track("S01") {
		gap := f >= 200 && f < 203 || f >= 228 && f < 230
		if isSeen(p) == gap || !gap && p != truth[0][f] {
			t.Fatalf("frame %d: %v", f, p)
		}
	}
}

// Of two points that may both be the one that went on, neither is taken, and a
// track whose points jump is cut.
func TestTrajectoriesLeaveDoubtAlone(t *testing.T) {
	truth := swing(2, 300)
	first, a, b := slices.Clone(truth[0]), slices.Repeat([]r3.Vec{unseen}, 300), slices.Repeat([]r3.Vec{unseen}, 300)
	for f := 150; f < 300; f++ {
		first[f] = unseen
		if f >= 153 {
			a[f] = r3.Add(truth[0][f], r3.Vec{X: 1e-5})
			b[f] = r3.Sub(truth[0][f], r3.Vec{X: 1e-5})
		}
	}
	jumps := append(slices.Clone(truth[0][:100]), truth[1][100:]...)
	r, err := NewRecording(0, 1000, []string{"*1", "*2", "*3", "*4"}, [][]r3.Vec{first, a, b, jumps}, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range r.Trajectories(func(string) bool { return false }) {
		if len(p.Parts) > 1 {
			t.Errorf("joined: %+v", p)
		}
	}
}

func BenchmarkTrajectories(b *testing.B) {
	truth := swing(40, 3000)
	var names []string
	for i := range truth {
		names = append(names, fmt.Sprintf("*%d", i))
	}
	r, err := NewRecording(0, 1000, names, truth, Origin{})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(r.points) * 24))
	for b.Loop() {
		r.Trajectories(func(string) bool { return false })
	}
}

// A point that comes into view at the very place and time at which a named marker
// is seen again is not that marker: it is there itself.
func TestTrajectoriesHaveOnePointAtATime(t *testing.T) {
	const frames = 60
	path := swing(1, 1500)[0][:frames]
	own, other := slices.Repeat([]r3.Vec{unseen}, frames), slices.Repeat([]r3.Vec{unseen}, frames)
	for f, p := range path {
		if f < 25 || f >= 30 {
			own[f] = p
		}
		if f >= 30 {
			other[f] = r3.Add(p, r3.Vec{X: 1e-4})
		}
	}
	r, err := NewRecording(0, 1000, []string{"S01", "*1"}, [][]r3.Vec{own, other}, Origin{})
	if err != nil {
		t.Fatal(err)
	}
	found := r.Trajectories(func(name string) bool { return name == "S01" })
	if len(found) != 2 || found[0].Frames() != frames-5 || !slices.Equal(found[0].Tracks(), []string{"S01"}) {
		t.Errorf("paths: %+v", found)
	}
}
