package capture

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Recording holds the paths of named markers at a steady rate, in metres and
// seconds, in the axes of the file it came from. A frame in which a marker was
// not seen holds NaN in all three coordinates. A Recording is not changed
// after it is made and may be shared between goroutines.
type Recording struct {
	start, rate float64
	names       []string
	index       map[string]int
	frames      int
	points      []r3.Vec // marker after marker, each of length frames
	origin      Origin
}

// NewRecording returns a recording of the given tracks, one for each name and
// all of one length. start is the time of the first frame in seconds, rate the
// number of frames a second. The tracks are copied, the names kept. It returns an
// error when a name is empty or stands twice, lengths differ, or rate is not
// positive and finite.
func NewRecording(start, rate float64, names []string, tracks [][]r3.Vec, origin Origin) (*Recording, error) {
	if !(rate > 0) || math.IsInf(rate, 0) {
		return nil, fmt.Errorf("capture: rate %v is not a positive number of frames a second", rate)
	}
	if len(names) == 0 || len(names) != len(tracks) {
		return nil, errors.New("capture: a recording needs one track for each marker name, and at least one")
	}
	n := len(tracks[0])
	r := &Recording{start: start, rate: rate, names: names, index: make(map[string]int, len(names)), frames: n, origin: origin}
	r.points = make([]r3.Vec, 0, n*len(names))
	for i, name := range names {
		if name == "" {
			return nil, fmt.Errorf("capture: marker %d has no name", i+1)
		}
		if _, ok := r.index[name]; ok {
			return nil, fmt.Errorf("capture: the marker name %q stands twice", name)
		}
		if len(tracks[i]) != n {
			return nil, fmt.Errorf("capture: marker %q has %d frames where the others have %d", name, len(tracks[i]), n)
		}
		r.index[name] = i
		r.points = append(r.points, tracks[i]...)
	}
	return r, nil
}

// Renamed returns the recording with other names for some of its markers, by the
// names they have. It returns an error where that makes a name empty or stand
// twice.
func (r *Recording) Renamed(to map[string]string) (*Recording, error) {
	c := *r
	c.names, c.index = slices.Clone(r.names), make(map[string]int, len(r.names))
	for i, name := range c.names {
		if n, ok := to[name]; ok {
			name, c.names[i] = n, n
		}
		if _, ok := c.index[name]; ok || name == "" {
			return nil, fmt.Errorf("capture: marker %q cannot be called %q: every marker needs a name of its own", r.names[i], name)
		}
		c.index[name] = i
	}
	return &c, nil
}

// Start returns the time of the first frame, s.
func (r *Recording) Start() float64 { return r.start }

// Rate returns the number of frames a second.
func (r *Recording) Rate() float64 { return r.rate }

// Frames returns the number of frames.
func (r *Recording) Frames() int { return r.frames }

// Time returns the time of frame i, s.
func (r *Recording) Time(i int) float64 { return r.start + float64(i)/r.rate }

// Markers returns the marker names in file order. The caller must not change it.
func (r *Recording) Markers() []string { return r.names }

// Track returns the path of the named marker, one point a frame in metres, NaN
// where it was not seen, or nil if the recording has no such marker. The
// caller must not change it.
func (r *Recording) Track(name string) []r3.Vec {
	i, ok := r.index[name]
	if !ok {
		return nil
	}
	return r.points[i*r.frames : (i+1)*r.frames : (i+1)*r.frames]
}

// Origin tells how the recording was read.
func (r *Recording) Origin() Origin { return r.origin }
