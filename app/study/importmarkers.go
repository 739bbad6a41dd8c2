package study

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
)

// ProposeMarkers sorts the markers of a club that hangs, at the given places in
// m, into grip, shaft and head, the shaft's from butt to tip, and proposes
// which of the head's are at heel and toe. Names that tell are believed, such as
// G1, Shaft 03 or head_toe; else it goes by where the markers are: those along a
// line are on the shaft, the clusters at its ends are grip and head, and the
// head is the one that lies to a side. Markers not seen, NaN, and markers far
// from the line are left out. Stations and offsets are not set: PlaceShaft does
// that.
//
// It returns an error if there are not three markers each on grip, shaft and
// head; what was found comes with it.
func ProposeMarkers(names []string, at []r3.Vec) (capture.MarkerSet, error) {
	parts, told := partsByName(names, at)
	if !told {
		var err error
		if parts, err = partsByPlace(at); err != nil {
			return capture.MarkerSet{}, err
		}
	}
	set := capture.MarkerSet{}
	for i, part := range parts {
		switch part {
		case onGrip:
			set.Grip = append(set.Grip, names[i])
		case onHead:
			set.Head = append(set.Head, names[i])
		case onShaft:
			set.Shaft = append(set.Shaft, capture.ShaftMarker{Name: names[i]})
		}
	}
	set = arranged(set, names, at)
	if len(set.Grip) < minCluster || len(set.Head) < minCluster || len(set.Shaft) < minCluster {
		return set, fmt.Errorf("study: found %d markers on the grip, %d on the shaft and %d on the head; each needs %d: name them by hand",
			len(set.Grip), len(set.Shaft), len(set.Head), minCluster)
	}
	return set, nil
}

// arranged returns the set with the markers of the shaft in order from butt to
// tip, and with heel and toe proposed if the head does not have those it names.
func arranged(set capture.MarkerSet, names []string, at []r3.Vec) capture.MarkerSet {
	place := func(name string) r3.Vec {
		if i := slices.Index(names, name); i >= 0 {
			return at[i]
		}
		return r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}
	}
	var along []r3.Vec
	for _, m := range set.Shaft {
		if p := place(m.Name); p.X == p.X {
			along = append(along, p)
		}
	}
	if len(along) < 2 {
		return set
	}
	axis := fitLine(along)
	sum := 0.0
	for _, name := range set.Grip {
		if s, _ := axis.station(place(name)); !math.IsNaN(s) {
			sum -= s / float64(len(set.Grip))
		}
	}
	for _, name := range set.Head {
		if s, _ := axis.station(place(name)); !math.IsNaN(s) {
			sum += s / float64(len(set.Head))
		}
	}
	if sum < 0 {
		axis.along = r3.Scale(-1, axis.along)
	}
	set.Shaft = slices.Clone(set.Shaft)
	slices.SortStableFunc(set.Shaft, func(a, b capture.ShaftMarker) int {
		sa, _ := axis.station(place(a.Name))
		sb, _ := axis.station(place(b.Name))
		return cmp.Compare(sa, sb)
	})
	if set.Heel == set.Toe || !slices.Contains(set.Head, set.Heel) || !slices.Contains(set.Head, set.Toe) {
		set.Heel, set.Toe = proposeHeelToe(set.Head, place, axis)
	}
	return set
}

// A section is the part of the club that a marker is on.
type section int

const (
	nowhere section = iota
	onGrip
	onShaft
	onHead
)

// Words that name a part of the club in the name of a marker.
var partWords = map[string]section{
	"g": onGrip, "gr": onGrip, "grip": onGrip, "handle": onGrip, "hand": onGrip, "butt": onGrip, "griff": onGrip,
	"s": onShaft, "sh": onShaft, "sft": onShaft, "shaft": onShaft, "schaft": onShaft,
	"h": onHead, "hd": onHead, "head": onHead, "clubhead": onHead, "face": onHead, "crown": onHead, "sole": onHead,
	"toe": onHead, "heel": onHead, "kopf": onHead,
}

var wordPattern = regexp.MustCompile(`\pL+`)

// partOf returns the part of the club that a marker's name tells of. A name
// may begin with that of a subject: "club:G1".
func partOf(name string) section {
	name = strings.ToLower(name[strings.LastIndexByte(name, ':')+1:])
	for _, word := range wordPattern.FindAllString(name, -1) {
		if p := partWords[word]; p != nowhere {
			return p
		}
	}
	return nowhere
}

// partsByName sorts the markers by their names, and reports whether these tell
// of three markers each on grip, shaft and head.
func partsByName(names []string, at []r3.Vec) ([]section, bool) {
	parts := make([]section, len(names))
	var n [onHead + 1]int
	for i, name := range names {
		if at[i].X == at[i].X {
			parts[i] = partOf(name)
			n[parts[i]]++
		}
	}
	return parts, n[onGrip] >= minCluster && n[onShaft] >= minCluster && n[onHead] >= minCluster
}

const (
	// nearLine is the most a marker of the shaft is from the line through two
	// others of it, m, and onLine from the line through all: the radius of a butt
	// and a stalk, on opposite sides in the first case.
	nearLine = 0.03
	onLine   = 0.022
	// farOff is the most a marker of the club is from the shaft's line, m.
	farOff = 0.25
	// apart is the least distance of two markers that a line is drawn through, m.
	apart = 0.15
	// clusterLength is the most a cluster takes of the length of the club, m.
	clusterLength = 0.2
)

// partsByPlace sorts the markers by where they are.
func partsByPlace(at []r3.Vec) ([]section, error) {
	var seen []int
	for i, p := range at {
		if p.X == p.X {
			seen = append(seen, i)
		}
	}
	shaftLine, ok := mostlyOn(at, seen)
	if !ok {
		return nil, errors.New("study: the markers do not lie along a shaft, so they cannot be told apart; name them by hand")
	}
	type place struct {
		marker     int
		along, off float64
	}
	var order []place
	for _, i := range seen {
		if along, off := shaftLine.station(at[i]); off < farOff {
			order = append(order, place{i, along, off})
		}
	}
	slices.SortFunc(order, func(a, b place) int { return cmp.Compare(a.along, b.along) })
	// The end cluster reaches inwards to the last marker off the line, in the
	// outer half; a cluster all around the axis, to the widest space after the
	// third marker.
	end := func(at func(k int) place) int {
		n := 0
		for k := range len(order) / 2 {
			if math.Abs(at(k).along-at(0).along) <= clusterLength && at(k).off > onLine {
				n = k + 1
			}
		}
		if n >= minCluster {
			return n
		}
		widest := 0.0
		for k := minCluster; k <= len(order)/2 && math.Abs(at(k-1).along-at(0).along) <= clusterLength; k++ {
			if space := math.Abs(at(k).along - at(k-1).along); space > widest {
				n, widest = k, space
			}
		}
		return n
	}
	first := end(func(k int) place { return order[k] })
	last := end(func(k int) place { return order[len(order)-1-k] })
	if first+last > len(order) || first < minCluster || last < minCluster {
		return nil, errors.New("study: no clusters of three markers are at the ends of the shaft; name the markers by hand")
	}
	aside := func(cluster []place) float64 {
		var sum r3.Vec
		for _, p := range cluster {
			sum = r3.Add(sum, shaftLine.lateral(at[p.marker]))
		}
		return r3.Norm(sum) / float64(len(cluster))
	}
	ends := [2]section{onGrip, onHead}
	if aside(order[:first]) > aside(order[len(order)-last:]) {
		ends = [2]section{onHead, onGrip}
	}
	parts := make([]section, len(at))
	for k, p := range order {
		switch {
		case k < first:
			parts[p.marker] = ends[0]
		case k >= len(order)-last:
			parts[p.marker] = ends[1]
		case p.off <= onLine:
			parts[p.marker] = onShaft
		}
	}
	return parts, nil
}

// mostlyOn returns the line that most of the markers are near, as a shaft's
// are. It tries the lines through every two of them.
func mostlyOn(at []r3.Vec, seen []int) (best line, ok bool) {
	near := func(l line, within float64) (on []int) {
		for _, i := range seen {
			if _, off := l.station(at[i]); off <= within {
				on = append(on, i)
			}
		}
		return on
	}
	var most []int
	for k, a := range seen {
		for _, b := range seen[k+1:] {
			d := r3.Sub(at[b], at[a])
			if r3.Norm(d) < apart {
				continue
			}
			if on := near(line{at[a], r3.Unit(d)}, nearLine); len(on) > len(most) {
				most = on
			}
		}
	}
	if len(most) < minCluster {
		return line{}, false
	}
	for range 3 { // which markers are on it settles in two
		best = fitLine(places(at, most))
		if on := near(best, onLine); len(on) >= minCluster {
			most = on
		}
	}
	return best, true
}

func places(at []r3.Vec, which []int) []r3.Vec {
	var list []r3.Vec
	for _, i := range which {
		list = append(list, at[i])
	}
	return list
}

// proposeHeelToe returns the head's markers at heel and toe: by name, else the
// nearest to the axis, and the farthest from that one square to the axis.
func proposeHeelToe(head []string, place func(string) r3.Vec, axis line) (heel, toe string) {
	nearest, farthest := math.Inf(1), -1.0
	for _, name := range head {
		if strings.Contains(strings.ToLower(name), "heel") {
			heel, nearest = name, -1
		} else if _, off := axis.station(place(name)); off < nearest {
			heel, nearest = name, off
		}
	}
	for _, name := range head {
		if name == heel {
			continue
		}
		across := r3.Norm(r3.Sub(axis.lateral(place(name)), axis.lateral(place(heel))))
		if strings.Contains(strings.ToLower(name), "toe") {
			across = math.Inf(1)
		}
		if across > farthest {
			toe, farthest = name, across
		}
	}
	return heel, toe
}
