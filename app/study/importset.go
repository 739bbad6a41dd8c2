package study

import (
	"cmp"
	"fmt"
	"slices"

	"bendline/capture"
)

// A SavedSet is the marker set of a club that was kept under a name, to be used
// again.
type SavedSet struct {
	Name                      string
	Markers                   capture.MarkerSet
	Length                    float64 // of the shaft, m
	ButtDiameter, TipDiameter float64 // m, 0 where not given
}

// fits reports whether a recording with these markers has all those of the set.
func (s SavedSet) fits(markers []string) bool {
	return !slices.ContainsFunc(s.Markers.Names(), func(name string) bool { return !slices.Contains(markers, name) })
}

// SetsWith returns the sets with one more, in place of any of the same name, in
// the order of their names.
func SetsWith(sets []SavedSet, set SavedSet) []SavedSet {
	rest := slices.DeleteFunc(slices.Clone(sets), func(s SavedSet) bool { return s.Name == set.Name })
	rest = append(rest, set)
	slices.SortFunc(rest, func(a, b SavedSet) int { return cmp.Compare(a.Name, b.Name) })
	return rest
}

// The file of marker sets, version 1.
const setsFormat = "bendline-marker-sets"

type setsJSON struct {
	Format  string    `json:"format"`
	Version int       `json:"version"`
	Sets    []setJSON `json:"sets"`
}

type setJSON struct {
	Name    string            `json:"name"`
	Shaft   shaftJSON         `json:"shaft"`
	Markers node[markersJSON] `json:"markers"`
}

// ReadSets reads marker sets from a file. A file that is not there gives none.
func ReadSets(path string) ([]SavedSet, error) {
	var f setsJSON
	if err := readSmall(path, setsFormat, &f); err != nil {
		return nil, err
	}
	var sets []SavedSet
	for _, s := range f.Sets {
		set := SavedSet{
			Name: s.Name, Markers: newMarkers(s.Markers.Known),
			Length: s.Shaft.Length / 1e3, ButtDiameter: s.Shaft.ButtDiameter / 1e3, TipDiameter: s.Shaft.TipDiameter / 1e3,
		}
		if err := validateMarkers(set.Markers, set.Length); err != nil {
			return nil, fmt.Errorf("study: %s: set %q: %w", path, set.Name, err)
		}
		sets = append(sets, set)
	}
	return sets, nil
}

// WriteSets writes marker sets to a file, whole or not at all.
func WriteSets(path string, sets []SavedSet) error {
	f := setsJSON{Format: setsFormat, Version: 1}
	for _, s := range sets {
		f.Sets = append(f.Sets, setJSON{
			Name:    s.Name,
			Shaft:   shaftJSON{Length: millimetres(s.Length), ButtDiameter: millimetres(s.ButtDiameter), TipDiameter: millimetres(s.TipDiameter)},
			Markers: node[markersJSON]{Known: newMarkersJSON(s.Markers)},
		})
	}
	return writeSmall(path, f)
}

func newMarkers(k markersJSON) capture.MarkerSet {
	set := capture.MarkerSet{Grip: k.Grip, Head: k.Head, Heel: k.Heel, Toe: k.Toe}
	for _, m := range k.Shaft {
		set.Shaft = append(set.Shaft, capture.ShaftMarker{Name: m.Known.Name, Station: m.Known.Station / 1e3, Offset: m.Known.Offset / 1e3})
	}
	return set
}

func newMarkersJSON(set capture.MarkerSet) markersJSON {
	k := markersJSON{set.Grip, make(list[shaftMarkerJSON], len(set.Shaft)), set.Head, set.Heel, set.Toe}
	for i, m := range set.Shaft {
		k.Shaft[i].Known = shaftMarkerJSON{m.Name, millimetres(m.Station), millimetres(m.Offset)}
	}
	return k
}
