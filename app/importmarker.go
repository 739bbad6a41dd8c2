package app

import (
	"image/color"
	"math"
	"slices"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// putOn puts a marker on a part of the club, "" for none.
func putOn(d *study.Draft, name, part string) {
	without := func(list []string) []string {
		return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return s == name })
	}
	set := d.Markers
	set.Grip, set.Head = without(set.Grip), without(set.Head)
	set.Shaft = slices.DeleteFunc(slices.Clone(set.Shaft), func(m capture.ShaftMarker) bool { return m.Name == name })
	switch part {
	case gripPart:
		set.Grip = append(set.Grip, name)
	case shaftPart:
		set.Shaft = append(set.Shaft, capture.ShaftMarker{Name: name})
	case headPart:
		set.Head = append(set.Head, name)
	}
	if d.Set != "" { // what it says of the other stations stays, as measured
		d.Measured = make(map[string]capture.ShaftMarker, len(set.Shaft))
		for _, m := range d.Markers.Shaft {
			d.Measured[m.Name] = m
		}
		d.Set = ""
	}
	d.Markers, d.Chosen.Markers = set, true
	if !slices.Contains(set.Head, set.Heel) || !slices.Contains(set.Head, set.Toe) {
		d.Chosen.Ends = false
	}
}

// setMeasured sets what was measured of a marker, m; 0 takes what the reference
// shows again.
func setMeasured(d *study.Draft, name string, v float64, to func(*capture.ShaftMarker) *float64) {
	measured := make(map[string]capture.ShaftMarker, len(d.Measured)+1)
	for k, m := range d.Measured {
		measured[k] = m
	}
	if d.Set != "" {
		for _, m := range d.Markers.Shaft {
			measured[m.Name] = m
		}
		d.Set = ""
	}
	m, ok := measured[name]
	if !ok {
		m = capture.ShaftMarker{Name: name, Station: math.NaN(), Offset: math.NaN()}
	}
	if v == 0 {
		v = math.NaN()
	}
	*to(&m) = v
	measured[name] = m
	d.Measured = measured
}

// markerRows returns the table of a club's markers, with stations and offsets.
// Without the length of the shaft no station is known.
func markerRows(names []string, club *study.Club) []widgets.Row {
	parts := partsIn(club)
	var rows []widgets.Row
	for _, name := range names {
		row := widgets.Row{Cells: []string{name, parts[name], "", ""}}
		switch name {
		case club.Markers.Heel:
			row.Cells[1] += ", heel"
		case club.Markers.Toe:
			row.Cells[1] += ", toe"
		}
		if parts[name] == "" {
			row.Cells[1], row.Tone = "not used", widgets.Muted
		}
		for _, s := range club.Markers.Shaft {
			if s.Name == name && club.Shaft.Length > 0 {
				row.Cells[2], row.Cells[3] = decimal(1e3*s.Station, 1), decimal(1e3*s.Offset, 2)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// partsIn returns the part of the club that each of its markers is on.
func partsIn(c *study.Club) map[string]string {
	parts := make(map[string]string)
	if c == nil {
		return parts
	}
	for _, name := range c.Markers.Grip {
		parts[name] = gripPart
	}
	for _, m := range c.Markers.Shaft {
		parts[m.Name] = shaftPart
	}
	for _, name := range c.Markers.Head {
		parts[name] = headPart
	}
	return parts
}

// partColours are those of grip, shaft and head.
var partColours = map[string]color.Color{
	gripPart: widgets.Palette[0], shaftPart: widgets.Palette[2], headPart: widgets.Palette[1],
}

// paintMarker returns the colour and size of a marker on a part of the club.
func paintMarker(part string, pointed bool) (color.Color, float64) {
	size := 7.0
	if pointed {
		size = 14
	}
	return partColours[part], size
}

// mm returns a length in m as millimetres to show, to a thousandth.
func mm(m float64) float64 { return math.Round(m*1e6) / 1e3 }
