package study

import (
	"context"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// A Preview is what a capture file shows before it is part of a study. Lengths
// are in metres, in the axes of the file; a marker that was not seen is NaN.
type Preview struct {
	Path       string
	Layout     string        // the same for all files that are laid out alike, "" where there is no telling
	Hints      capture.Hints // that the file was read with
	Remembered bool          // Hints are a correction made earlier for this layout
	Err        error         // why the file cannot be read; what follows is then empty
	Beginning  string        // the first lines of a text that cannot be read

	Capture Capture
	Start   float64 // time of the first frame, s
	Origin  capture.Origin
	Named   []string  // the markers as the file names them
	Markers []string  // the same under the names that Hints.Columns gives them
	Seen    []float64 // by marker: part of the frames that show it
	Longest []float64 // by marker: the longest time that it is not seen, s

	Poses   []Pose   // some frames, evenly over the recording from the first on
	Fastest Pose     // in the middle of the 4 ms in which the club moves farthest
	Going   []r3.Vec // by marker: its velocity over those, m/s
	Still   bool     // nothing moves as in a swing: a club that hangs
	Rest    []r3.Vec // by marker, where it is in a club that hangs; nil of a swing
}

// A Pose is one frame.
type Pose struct {
	Time float64  // s
	At   []r3.Vec // by marker
}

// Duration returns the time from the first frame to the last, s.
func (p *Preview) Duration() float64 {
	return float64(max(0, p.Capture.Frames-1)) / p.Capture.Rate
}

const (
	// previewPoses is how many frames a preview keeps.
	previewPoses = 40
	// moveTime is the time over which motion is looked at, s: long enough to
	// drown the noise of markers, and short beside the turn of the club at impact.
	moveTime = 0.004
	// stillSpeed parts a club that hangs from one that is swung, m/s: a club
	// sways at a tenth of it, and is swung twenty times as fast.
	stillSpeed = 2
	// moving is how many markers must go as fast as the club: one fewer may be
	// strays or have exchanged labels.
	moving = 3
)

// Look reads a capture file and returns what it shows. The hints are those of
// layouts for a file laid out like this one, if it can be read with them.
func Look(path string, layouts Layouts) Preview {
	plain := LookWith(path, capture.Hints{})
	hints, ok := layouts[plain.Layout]
	if !ok || plain.Layout == "" {
		return plain
	}
	corrected := LookWith(path, hints)
	if corrected.Err != nil && plain.Err == nil {
		return plain
	}
	corrected.Remembered = true
	return corrected
}

// LookWith reads a capture file under the hints and returns what it shows.
func LookWith(path string, hints capture.Hints) Preview {
	p := Preview{Path: path, Hints: hints, Layout: layoutOf(path)}
	rec, err := read(path, hints)
	if err != nil {
		p.Err, p.Beginning = err, beginning(path)
		return p
	}
	p.Capture, p.Start, p.Origin, p.Markers = describe(rec), rec.Start(), rec.Origin(), rec.Markers()
	p.Named = fileNames(p.Markers, hints.Columns)
	if p.Layout == "" {
		p.Layout = layoutOfNames(p.Origin.Layout, p.Named)
	}
	for _, name := range p.Markers {
		seen, longest := presence(rec.Track(name))
		p.Seen = append(p.Seen, float64(seen)/float64(max(1, rec.Frames())))
		p.Longest = append(p.Longest, float64(longest)/rec.Rate())
	}
	n := min(previewPoses, rec.Frames())
	for k := range n {
		p.Poses = append(p.Poses, pose(rec, k*(rec.Frames()-1)/max(1, n-1)))
	}
	p.findMotion(rec)
	if p.Still {
		p.Rest = rest(p.Poses)
	}
	return p
}

// LookAll looks at files, as many at a time as there are processors, and tells
// of each as soon as it is done, one call at a time. It returns an error only
// when ctx is cancelled.
func LookAll(ctx context.Context, paths []string, layouts Layouts, done func(Preview)) error {
	var mu sync.Mutex
	each(ctx, len(paths), func(i int) {
		p := Look(paths[i], layouts)
		mu.Lock()
		defer mu.Unlock()
		if ctx.Err() == nil {
			done(p)
		}
	})
	return ctx.Err()
}

// fileNames returns what the file calls the markers that columns renamed.
func fileNames(markers []string, columns map[string]string) []string {
	file := slices.Clone(markers)
	for from, to := range columns {
		if i := slices.Index(markers, to); i >= 0 {
			file[i] = from
		}
	}
	return file
}

// presence returns in how many frames a marker is seen, and the most frames in
// a row in which it is not.
func presence(track []r3.Vec) (seen, longest int) {
	gap := 0
	for _, p := range track {
		if p.X != p.X {
			gap++
			longest = max(longest, gap)
			continue
		}
		gap = 0
		seen++
	}
	return seen, longest
}

func pose(rec *capture.Recording, frame int) Pose {
	p := Pose{Time: rec.Time(frame)}
	for _, name := range rec.Markers() {
		p.At = append(p.At, rec.Track(name)[frame])
	}
	return p
}

// findMotion finds where the club moves fastest: by the third fastest marker,
// so that two strays do not count.
func (p *Preview) findMotion(rec *capture.Recording) {
	span := min(max(1, int(math.Round(moveTime*rec.Rate()))), max(1, rec.Frames()-1))
	best, fastest := 0, -1.0
	moves := make([]float64, 0, len(p.Markers))
	for f := 0; f+span < rec.Frames(); f += max(1, span/4) {
		moves = moves[:0]
		for _, name := range p.Markers {
			t := rec.Track(name)
			if d := r3.Norm(r3.Sub(t[f+span], t[f])); !math.IsNaN(d) {
				moves = append(moves, d)
			}
		}
		if len(moves) < moving {
			continue
		}
		slices.Sort(moves)
		if d := moves[len(moves)-moving]; d > fastest {
			best, fastest = f, d
		}
	}
	seconds := float64(span) / rec.Rate()
	p.Still = fastest < stillSpeed*seconds
	p.Fastest = pose(rec, min(best+span/2, rec.Frames()-1))
	for _, name := range p.Markers {
		t := rec.Track(name)
		p.Going = append(p.Going, r3.Scale(1/seconds, r3.Sub(t[min(best+span, len(t)-1)], t[best])))
	}
}

// rest lays the poses of a club that hangs over the fullest of them, and
// returns where each marker is on average.
func rest(poses []Pose) []r3.Vec {
	count := func(p Pose) (n int) {
		for _, at := range p.At {
			if at.X == at.X {
				n++
			}
		}
		return n
	}
	fullest := slices.MaxFunc(poses, func(a, b Pose) int { return count(a) - count(b) }).At
	sum, used := make([]r3.Vec, len(fullest)), make([]float64, len(fullest))
	for _, p := range poses {
		reg, err := kinematics.Register(fullest, p.At, nil)
		if err != nil { // too little is seen in this one; the others tell
			continue
		}
		back := reg.Inverse()
		for m, at := range p.At {
			if at.X == at.X {
				sum[m], used[m] = r3.Add(sum[m], back.ToLab(at)), used[m]+1
			}
		}
	}
	mean := slices.Clone(fullest)
	for m := range mean {
		if used[m] > 0 {
			mean[m] = r3.Scale(1/used[m], sum[m])
		}
	}
	return mean
}
