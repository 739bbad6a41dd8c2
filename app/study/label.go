package study

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// How tells by what a marker was known in a capture.
type How int

// The ways, the surest first.
const (
	ByName     How = iota // it has its name there
	ByAlias               // by an alias that the club has
	BySpelling            // by its name, spelt otherwise
	ByPlace               // by where its points are
)

// String returns what the marker is known by, in a few words.
func (h How) String() string { return [...]string{"name", "alias", "spelling", "place"}[h] }

// A Label says what a marker of a club is called in a capture.
type Label struct {
	Marker string
	Names  []string // in the capture, as they follow one another; empty for a marker not found
	How    How
	Sure   float64 // how likely it is that they are the marker's, 0 … 1
	Used   bool    // sure enough to be taken for the marker
}

// Labels are those of all markers of a club, in the order of the set.
type Labels []Label

// Of returns the label that a track of the capture is part of.
func (l Labels) Of(name string) (Label, bool) {
	for _, label := range l {
		if slices.Contains(label.Names, name) {
			return label, true
		}
	}
	return Label{}, false
}

const (
	// sureEnough is how sure a label must be to be used. The fit leaves out
	// points that are not where the club has them, so that a wrong one costs
	// little; a marker left out costs as little.
	sureEnough = 0.8
	// surely is how sure it must be to go without being told by itself.
	surely = 0.95
	// checkedFrames are looked at to tell whether names fit places, and
	// sampledFrames to know points by their places, besides some for each path
	// that those do not show.
	checkedFrames = 9
	sampledFrames = 48
	pathFrames    = 3
	framesMost    = 300
	// pointsMost is the most points of a frame that are told apart.
	pointsMost = 150
	// gapsWorth is the part of the frames that a marker must be missing in for
	// nameless points to be looked through for it.
	gapsWorth = 0.005
)

// byName returns the recording with the club's markers under their own names
// where it has them by an alias of the club, or else spelt otherwise; and what
// the markers are called in it.
func byName(rec *capture.Recording, c *Club) (*capture.Recording, Labels, error) {
	renamed := make(map[string]string)
	how := make(map[string]How)
	for _, from := range slices.Sorted(maps.Keys(c.Aliases)) {
		to := c.Aliases[from]
		if _, told := how[to]; !told && rec.Track(from) != nil && rec.Track(to) == nil {
			renamed[from], how[to] = to, ByAlias
		}
	}
	var left []string // names that no alias is for
	for _, name := range rec.Markers() {
		if renamed[name] == "" {
			left = append(left, name)
		}
	}
	for from, to := range capture.Respelled(left, c.Markers) {
		if _, told := how[to]; !told {
			renamed[from], how[to] = to, BySpelling
		}
	}
	called := make(map[string]string)
	for from, to := range renamed {
		called[to] = from
	}
	if len(renamed) > 0 {
		var err error
		if rec, err = rec.Renamed(renamed); err != nil {
			return nil, nil, err
		}
	}
	var labels Labels
	for _, name := range c.Markers.Names() {
		l := Label{Marker: name, How: how[name]}
		if seen(rec, name) {
			l.Names, l.Sure, l.Used = []string{cmp.Or(called[name], name)}, 1, true
		}
		labels = append(labels, l)
	}
	return rec, labels, nil
}

// byPlace returns the recording and the labels that byName gave with markers that
// are missing, or not where their names say, known by the places of all points. Names
// that the hints gave are believed.
func byPlace(rec *capture.Recording, c *Club, hang *kinematics.Reference, labels Labels, hints capture.Hints) (*capture.Recording, Labels, error) {
	if !worthPlacing(rec, c.Markers) && !outOfPlace(rec, c.Markers, hang) {
		return rec, labels, nil
	}
	called := make(map[string]string)
	for _, l := range labels {
		if len(l.Names) > 0 {
			called[l.Marker] = l.Names[0]
		}
	}
	p := newPlacing(rec, c.Markers, hang)
	p.hand = slices.Collect(maps.Values(hints.Columns))
	p.vote()
	labels = slices.Clone(labels)
	of := p.settle(labels)
	for _, l := range labels {
		for k, name := range l.Names {
			l.Names[k] = cmp.Or(called[name], name)
		}
	}
	if of == nil {
		return rec, labels, nil
	}
	var names []string
	for _, name := range c.Markers.Names() {
		if len(of[name]) > 0 {
			names = append(names, name)
		}
	}
	rec, err := rec.Assembled(names, of)
	return rec, labels, err
}

// worthPlacing reports whether the recording has points that a marker of the set
// may be: any others where the marker is never seen under its name, nameless ones
// where it is missing for a while.
func worthPlacing(rec *capture.Recording, set capture.MarkerSet) bool {
	names := set.Names()
	others, nameless := false, false
	for _, name := range rec.Markers() {
		if !slices.Contains(names, name) && seen(rec, name) {
			others = true
			nameless = nameless || capture.IsUnnamed(name)
		}
	}
	return others && slices.ContainsFunc(names, func(name string) bool {
		n, _ := presence(rec.Track(name))
		return n == 0 || nameless && float64(rec.Frames()-n) > gapsWorth*float64(rec.Frames())
	})
}

// outOfPlace reports whether most of some frames have markers out of the places
// that their names give them.
func outOfPlace(rec *capture.Recording, set capture.MarkerSet, hang *kinematics.Reference) bool {
	r := kinematics.NewRecogniser(hang)
	paths := tracks(rec, set)
	at := make([]r3.Vec, len(paths))
	out, looked := 0, 0
	for _, f := range spread(rec.Frames(), checkedFrames) {
		for t, path := range paths {
			at[t] = unseen
			if path != nil {
				at[t] = path[f]
			}
		}
		looked++
		if r.OutOfPlace(at) {
			out++
		}
	}
	return 2*out > looked
}

var unseen = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// spread returns n frames, or all, evenly from the first to the last.
func spread(frames, n int) []int {
	n = min(n, frames)
	var list []int
	for i := range n {
		list = append(list, i*(frames-1)/max(1, n-1))
	}
	return list
}

// labelFlags tells which markers were known otherwise than by their own names.
func labelFlags(labels Labels) []capture.Flag {
	var flags []capture.Flag
	for how, word := range map[How]string{ByAlias: "the club's aliases", BySpelling: "their names, spelt otherwise"} {
		var pairs []string
		for _, l := range labels {
			if l.How == how && l.Used {
				pairs = append(pairs, l.Marker+" is "+shorten(l.Names))
			}
		}
		if len(pairs) > 0 {
			flags = append(flags, capture.Flag{Code: capture.LabelMatched,
				Detail: fmt.Sprintf("%s known by %s: %s", markersWord(len(pairs)), word, strings.Join(pairs, ", "))})
		}
	}
	slices.SortFunc(flags, func(a, b capture.Flag) int { return strings.Compare(a.Detail, b.Detail) })
	return flags
}

// placeFlags tells which markers were known by their places, and how surely.
func placeFlags(labels Labels) []capture.Flag {
	var flags []capture.Flag
	var sure []string
	least := 1.0
	for _, l := range labels {
		switch {
		case l.How != ByPlace || len(l.Names) == 0:
		case l.Used && l.Sure >= surely:
			sure = append(sure, l.Marker+" is "+shorten(l.Names))
			least = min(least, l.Sure)
		case l.Used:
			flags = append(flags, capture.Flag{Code: capture.LabelMatched, Marker: l.Marker,
				Detail: fmt.Sprintf("%s is %s by its place, %s sure", l.Marker, shorten(l.Names), percent(l.Sure))})
		default:
			flags = append(flags, capture.Flag{Code: capture.LabelMatched, Marker: l.Marker,
				Detail: fmt.Sprintf("%s may be %s by its place, %s sure, too little to be used; rename it if it is", l.Marker, shorten(l.Names), percent(l.Sure))})
		}
	}
	if len(sure) > 0 {
		flags = append(flags, capture.Flag{Code: capture.LabelMatched, Detail: fmt.Sprintf(
			"%s known by place, each at least %s sure: %s", markersWord(len(sure)), percent(least), strings.Join(sure, "; "))})
	}
	return flags
}

// percent returns a share in whole percent, never rounded up to certainty.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", math.Floor(100*share)) }

func markersWord(n int) string {
	if n == 1 {
		return "1 marker"
	}
	return fmt.Sprintf("%d markers", n)
}
