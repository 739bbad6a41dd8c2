package study

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// A Match says what the markers of its club are called in a swing that may be
// brought in.
type Match struct {
	Labels Labels
	Mirror bool  // the club in the swing is of the other hand: its markers lie as in a mirror
	Err    error // why they cannot be told, nil if they can

	key string // what it was made from
}

// A Matcher matches the markers of swings to those of their clubs. It remembers
// the hanging club that it used last, and belongs to one goroutine at a time.
type Matcher struct {
	key  string
	hang *kinematics.Reference
	err  error
}

// Unmatched returns the path of a swing whose markers were not matched to those
// of its club, as both now are: first if it is one, else any; "" if all were.
func (p Plan) Unmatched(first string) string {
	if a := p.file(first); a != nil && p.matchKey(a) != a.match.key {
		return first
	}
	for i := range p.Files {
		if a := &p.Files[i]; p.matchKey(a) != a.match.key {
			return a.Path
		}
	}
	return ""
}

// WithMatch returns the plan with the markers of the swing at the path matched.
func (p Plan) WithMatch(path string, m Match) Plan {
	p.Files = slices.Clone(p.Files)
	if a := p.file(path); a != nil {
		a.match = m
	}
	return p.proposed()
}

// matchKey stands for what a match of a file follows from; that of a file that
// has nothing to match is "".
func (p *Plan) matchKey(a *Arrival) string {
	c := p.Club(a.Club)
	if a.Use != AsRun || a.Err != nil || c == nil {
		return ""
	}
	return fmt.Sprint(a.Capture.SHA256, a.Hints, c.Aliases, c.Markers.Names(), p.hangingKey(c))
}

// hangingKey stands for a club that hangs, "" where that cannot be known yet.
func (p *Plan) hangingKey(c *Club) string {
	if p.Draft(c.ID) == nil {
		return fmt.Sprint(c.ID, c.Reference, c.Import, c.Markers.Names())
	}
	ref := p.referenceOf(c.ID)
	if ref == nil || ref.Err != nil || p.ClubProblem(c.ID) != "" {
		return ""
	}
	return fmt.Sprint(ref.Capture.SHA256, ref.Hints, c.Shaft, c.Markers.Grip, c.Markers.Shaft, c.Markers.Head)
}

// Match matches the markers of the swing at the path to those of its club: by
// their names alone while it is not known how the club hangs. It reads the swing,
// and the reference of the club unless it was the last.
func (m *Matcher) Match(p Plan, path string) Match {
	a := p.file(path)
	if a == nil {
		return Match{}
	}
	out := Match{key: p.matchKey(a)}
	c := p.Club(a.Club)
	if out.key == "" || c == nil {
		return out
	}
	key := p.hangingKey(c)
	if key != "" && key != m.key {
		m.key = key
		m.hang, m.err = p.hanging(c)
	}
	if key != "" && m.err != nil {
		out.Err = m.err
		return out
	}
	rec, labels, err := p.readNamed(a.Path, a.Hints, c)
	if err == nil && key != "" {
		named := labels
		_, labels, err = byPlace(rec, c, m.hang, labels, a.Hints)
		if most := 0.5; err == nil && labels.used() < most {
			_, mirrored, err := byPlace(mirror(rec), c, m.hang, named, a.Hints)
			out.Mirror = err == nil && mirrored.used() > most
		}
	}
	out.Labels, out.Err = labels, err
	return out
}

// used returns the share of the markers that were found.
func (l Labels) used() float64 {
	n := 0
	for _, label := range l {
		if label.Used {
			n++
		}
	}
	return float64(n) / float64(len(l))
}

// mirror returns the mirror image of a recording.
func mirror(rec *capture.Recording) *capture.Recording {
	var tracks [][]r3.Vec
	for _, name := range rec.Markers() {
		track := slices.Clone(rec.Track(name))
		for i := range track {
			track[i].X = -track[i].X
		}
		tracks = append(tracks, track)
	}
	image, err := capture.NewRecording(rec.Start(), rec.Rate(), rec.Markers(), tracks, rec.Origin())
	if err != nil {
		panic(err) // a recording is one
	}
	return image
}

// hanging returns the club as it hangs.
func (p *Plan) hanging(c *Club) (*kinematics.Reference, error) {
	if p.Draft(c.ID) == nil {
		l := newLab(p.Study)
		defer l.close()
		if l.err != nil {
			return nil, l.err
		}
		h := l.reference(p.Study.Club(c.ID))
		return h.pose, h.err
	}
	ref := p.referenceOf(c.ID)
	rec, _, err := p.readNamed(ref.Path, ref.Hints, c)
	if err != nil {
		return nil, err
	}
	return newReference(rec, c)
}

// readNamed reads a file of the club as a lab does: with names put right, in the
// unit that fits the stations.
func (p *Plan) readNamed(path string, hints capture.Hints, c *Club) (*capture.Recording, Labels, error) {
	rec, err := capture.ReadFile(path, hints)
	if err != nil {
		return nil, nil, err
	}
	rec, labels, err := byName(rec, c)
	if err != nil {
		return nil, nil, fmt.Errorf("study: %s: %w", filepath.Base(path), err)
	}
	if unit, ok := c.Markers.GuessUnit(rec); ok {
		rec = rec.WithUnit(unit)
	}
	return rec, labels, nil
}

// doubt returns in plain words what a match says that is worth a look, "" for
// nothing.
func (m Match) doubt() string {
	if m.Err != nil {
		return "its markers cannot be matched: " + m.Err.Error()
	}
	n, least := 0, 1.0
	for _, l := range m.Labels {
		if l.How == ByPlace && l.Used {
			n, least = n+1, min(least, l.Sure)
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%d by place, %s sure or more", n, percent(least))
}

// Match returns how the markers of its club were matched; the zero Match before
// they were.
func (a *Arrival) Match() Match { return a.match }

// InClub returns what each of the file's markers is in its club, by marker: its
// own name where it was not matched to one.
func (a *Arrival) InClub() []string {
	names := slices.Clone(a.Markers)
	for i, name := range names {
		if l, ok := a.match.Labels.Of(name); ok && l.Used {
			names[i] = l.Marker
		}
	}
	return names
}

// aliases returns the names in the files that tell, and stand for a marker of the
// club: those given by hand, and those that were matched surely.
func (p *Plan) aliases(club string, set capture.MarkerSet, was map[string]string) map[string]string {
	out := make(map[string]string)
	add := func(from, to string) {
		names := set.Names()
		if from != to && !capture.IsUnnamed(from) && slices.Contains(names, to) && !slices.Contains(names, from) {
			out[from] = cmp.Or(out[from], to)
		}
	}
	for from, to := range was {
		add(from, to)
	}
	for _, a := range p.Files {
		if a.Use != AsRun || a.Club != club {
			continue
		}
		for from, to := range a.Hints.Columns {
			add(from, to)
		}
		for _, l := range a.match.Labels {
			if l.How == ByPlace && l.Sure >= surely && len(l.Names) == 1 {
				add(l.Names[0], l.Marker)
			}
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}
