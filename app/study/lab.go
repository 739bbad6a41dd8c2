package study

import (
	"fmt"
	"strings"
	"sync"

	"bendline/capture"
)

// A lab reads the captures of a study. It builds the reference of each club
// once, when first asked, and may be shared between goroutines.
type lab struct {
	study     *Study
	folder    folder
	err       error // why there is no folder
	reference func(*Club) hanging
	sum       func(*Club) string // hash of its reference's bytes, "" if it cannot be read
}

func newLab(s *Study) *lab {
	l := &lab{study: s}
	l.folder, l.err = openFolder(s.Path)
	once := make(map[string]func() hanging, len(s.Clubs))
	sums := make(map[string]func() string, len(s.Clubs))
	for i := range s.Clubs {
		c := &s.Clubs[i]
		once[c.ID] = sync.OnceValue(func() hanging { return l.hang(c) })
		sums[c.ID] = sync.OnceValue(func() string { return l.folder.sum(c.Reference) })
	}
	l.reference = func(c *Club) hanging { return once[c.ID]() }
	l.sum = func(c *Club) string { return sums[c.ID]() }
	return l
}

func (l *lab) close() {
	if l.err == nil {
		l.folder.close() // opened for reading only: nothing can be lost
	}
}

// read reads a capture.
func (l *lab) read(file string, hints capture.Hints) (*capture.Recording, error) {
	if l.err != nil {
		return nil, l.err
	}
	return l.folder.read(file, hints)
}

// ownNames returns a recording of the club, read from the file, with the club's
// markers under their own names where they have others or are spelt otherwise, in
// the unit that puts the shaft's markers at their stations, whatever the file
// says. Flags tell of both.
func ownNames(rec *capture.Recording, file string, c *Club) (*capture.Recording, Labels, []capture.Flag, error) {
	rec, labels, err := byName(rec, c)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("study: %s: %w", file, err)
	}
	flags := labelFlags(labels)
	stated := rec.Origin()
	unit, ok := c.Markers.GuessUnit(rec)
	if !ok || unit == stated.Unit {
		return rec, labels, flags, nil
	}
	rec = rec.WithUnit(unit)
	if stated.UnitGuessed {
		return rec, labels, flags, nil
	}
	return rec, labels, append(flags, capture.Flag{Code: capture.UnitGuessed, Detail: fmt.Sprintf(
		"%s is said to be in %s, but its shaft markers are as far apart as their stations only in %s, which was taken", file, stated.Unit.Word(), unit.Word())}), nil
}

// missing returns the markers of the set that the recording never shows.
func missing(rec *capture.Recording, set capture.MarkerSet) []string {
	var names []string
	for _, name := range set.Names() {
		if !seen(rec, name) {
			names = append(names, name)
		}
	}
	return names
}

// seen reports whether the marker is in any frame.
func seen(rec *capture.Recording, name string) bool {
	for _, p := range rec.Track(name) {
		if p.X == p.X {
			return true
		}
	}
	return false
}

// enough returns an error if so many markers of the set are missing from the
// recording that the club cannot be fitted: the grip needs a pose of its own,
// and the tip something to hold it.
func enough(rec *capture.Recording, file string, set capture.MarkerSet) error {
	for _, cluster := range []struct {
		name    string
		markers []string
		need    int
	}{{"grip", set.Grip, minCluster}, {"head", set.Head, 1}} {
		var gone []string
		for _, name := range cluster.markers {
			if !seen(rec, name) {
				gone = append(gone, name)
			}
		}
		if n := len(cluster.markers) - len(gone); n < cluster.need {
			return fmt.Errorf("study: %s does not show %s, which leaves %d of the %s's markers where %d are needed; it has %s",
				file, strings.Join(gone, ", "), n, cluster.name, cluster.need, shorten(rec.Markers()))
		}
	}
	return nil
}

// shorten lists names, the first of many.
func shorten(names []string) string {
	const most = 8
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
