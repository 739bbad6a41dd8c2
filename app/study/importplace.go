package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"

	"bendline/capture"
	"bendline/kinematics"
)

// A Placement is where the markers of a shaft are, as a recording of the club
// hanging tells it.
type Placement struct {
	Shaft   []capture.ShaftMarker // from butt to tip
	Misfit  float64               // root mean square distance of the markers from the offsets, m
	Guessed bool                  // no station was measured: the butt end is where it would be if the tip were at the first marker of the head
	Doubt   error                 // why offsets cannot be told from the recording, nil if they can
}

// stalk is about how far the centre of a marker is from the surface it is on, m
// (common practice, no source).
const stalk = 0.004

// PlaceShaft returns stations and offsets of the shaft's markers of a set, from
// where the markers of the club that hangs are, m by name in at: distances
// along the shaft's axis and from it. measured holds what was measured by hand,
// by marker, with NaN for what was not: a measured station or offset is kept,
// and the stations of the others move along with the measured ones. The axis is
// that of a shaft with the diameters of c, or of a taper that is found with it.
// Markers that at does not hold keep what is measured, else 0.
func PlaceShaft(c Club, at map[string]r3.Vec, measured map[string]capture.ShaftMarker) Placement {
	var on []capture.ShaftMarker
	var points []r3.Vec
	for _, m := range c.Markers.Shaft {
		if p, ok := at[m.Name]; ok && p.X == p.X {
			on, points = append(on, m), append(points, p)
		}
	}
	p := Placement{Shaft: slices.Clone(c.Markers.Shaft)}
	for i, m := range p.Shaft {
		typed := typed(measured, m.Name)
		p.Shaft[i].Station, p.Shaft[i].Offset = orElse(typed.Station, 0), orElse(typed.Offset, 0)
	}
	if len(on) < 2 {
		return p
	}
	t := taper{b: usualTaper, knowB: len(on) < 7} // six unknowns, and one to spare
	if c.ButtDiameter > 0 && c.TipDiameter > 0 && c.Shaft.Length > 0 {
		t.b, t.knowB = (c.TipDiameter-c.ButtDiameter)/2/c.Shaft.Length, true
	}
	rough := fitLine(points)
	if r3.Dot(rough.along, r3.Sub(points[len(points)-1], points[0])) < 0 {
		rough.along = r3.Scale(-1, rough.along)
	}
	var a []float64
	for i, m := range on {
		if offset := typed(measured, m.Name).Offset; !math.IsNaN(offset) {
			s, _ := rough.station(points[i])
			a = append(a, offset-t.b*s)
		}
	}
	if len(a) > 0 {
		t.a, t.knowA = stat.Mean(a, nil), true
	}
	axis, misfit, err := fitAxis(points, t)
	if err != nil {
		axis = rough
	}
	p.Misfit, p.Doubt = misfit, err

	shift, ok := p.shift(axis, c, at, measured)
	p.Guessed = !ok
	for i, m := range p.Shaft {
		at, seen := at[m.Name]
		if !seen || at.X != at.X {
			continue
		}
		along, off := axis.station(at)
		if err != nil { // the line of the markers is not the axis
			off = usualRadius(c, along+shift) + stalk
		}
		typed := typed(measured, m.Name)
		p.Shaft[i].Station = orElse(typed.Station, tenth(along+shift))
		p.Shaft[i].Offset = orElse(typed.Offset, hundredth(off))
	}
	return p
}

// shift returns what to add to lengths along the axis to have stations: what
// was measured asks for, on average, and true; else what puts the tip end at
// the first marker of the head, and false.
func (p *Placement) shift(axis line, c Club, at map[string]r3.Vec, measured map[string]capture.ShaftMarker) (float64, bool) {
	var shifts []float64
	for _, m := range p.Shaft {
		station := typed(measured, m.Name).Station
		place, seen := at[m.Name]
		if seen && !math.IsNaN(station) && place.X == place.X {
			along, _ := axis.station(place)
			shifts = append(shifts, station-along)
		}
	}
	if len(shifts) > 0 {
		return stat.Mean(shifts, nil), true
	}
	tip := math.Inf(1)
	for _, name := range c.Markers.Head {
		if place, seen := at[name]; seen && place.X == place.X {
			along, _ := axis.station(place)
			tip = min(tip, along)
		}
	}
	if math.IsInf(tip, 1) {
		tip, _ = axis.station(at[p.Shaft[len(p.Shaft)-1].Name])
	}
	return c.Shaft.Length - tip, false
}

// usualRadius returns the radius of the club's shaft at a station, of an
// ordinary one where its diameters are not known.
func usualRadius(c Club, station float64) float64 {
	butt, slope := 0.0076, usualTaper
	if c.ButtDiameter > 0 && c.TipDiameter > 0 {
		butt, slope = c.ButtDiameter/2, (c.TipDiameter-c.ButtDiameter)/2/c.Shaft.Length
	}
	return butt + slope*station
}

// A swung is what the fastest instant of a swing tells about the club.
type swung struct {
	heel, toe string
	hand      kinematics.Hand
	going     r3.Vec // of the head, m/s, in the axes of the file
}

// readSwing tells the hand of a club, and which of its head's markers are at
// heel and toe, from a swing with it: near impact the head goes square to the
// line from heel to toe and to the shaft. So with z along the shaft and x where
// the head goes square to it, y = z × x for a right-handed club, and the head
// lies towards y. The heel is the marker nearest to the shaft, the toe that
// farthest from it along y. ok is false if too little is seen.
func readSwing(p *Arrival, set capture.MarkerSet) (w swung, ok bool) {
	named := p.InClub()
	place := func(name string) (at, going r3.Vec, ok bool) {
		i := slices.Index(named, name)
		if i < 0 || p.Fastest.At[i].X != p.Fastest.At[i].X || p.Going[i].X != p.Going[i].X {
			return r3.Vec{}, r3.Vec{}, false
		}
		return p.Fastest.At[i], p.Going[i], true
	}
	var along []r3.Vec
	for _, m := range set.Shaft {
		if at, _, ok := place(m.Name); ok {
			along = append(along, at)
		}
	}
	var head, going r3.Vec
	var names []string
	var at []r3.Vec
	for _, name := range set.Head {
		if here, v, ok := place(name); ok {
			names, at = append(names, name), append(at, here)
			head, going = r3.Add(head, here), r3.Add(going, v)
		}
	}
	if len(along) < 2 || len(names) < 2 {
		return w, false
	}
	n := float64(len(names))
	head, w.going = r3.Scale(1/n, head), r3.Scale(1/n, going)
	// The last two thirds of the shaft bend least towards the head.
	axis := fitLine(along[len(along)/3:])
	if r3.Dot(axis.along, r3.Sub(head, along[0])) < 0 {
		axis.along = r3.Scale(-1, axis.along)
	}
	x := r3.Sub(w.going, r3.Scale(r3.Dot(w.going, axis.along), axis.along))
	if r3.Norm(x) < stillSpeed {
		return w, false
	}
	x = r3.Unit(x)
	y := r3.Cross(axis.along, x)
	if r3.Dot(axis.lateral(head), y) < 0 {
		y, w.hand = r3.Scale(-1, y), kinematics.Left
	}
	heel := 0
	for k := range at {
		if r3.Norm(axis.lateral(at[k])) < r3.Norm(axis.lateral(at[heel])) {
			heel = k
		}
	}
	best := 0.0
	for k := range at {
		d := r3.Sub(at[k], at[heel])
		// Across counts; ahead counts against it, but less, for the face is open
		// or closed by some degrees.
		if far := r3.Dot(d, y) - 0.7*math.Abs(r3.Dot(d, x)); far > best {
			best, w.heel, w.toe = far, names[heel], names[k]
		}
	}
	return w, w.heel != ""
}

// typed returns what was measured of a marker, NaN for what was not.
func typed(measured map[string]capture.ShaftMarker, name string) capture.ShaftMarker {
	if m, ok := measured[name]; ok {
		return m
	}
	return capture.ShaftMarker{Name: name, Station: math.NaN(), Offset: math.NaN()}
}

// orElse returns x, or y if x is not known.
func orElse(x, y float64) float64 {
	if math.IsNaN(x) {
		return y
	}
	return x
}

// tenth and hundredth return a length in m rounded to parts of a millimetre.
func tenth(x float64) float64     { return math.Round(x*1e4) / 1e4 }
func hundredth(x float64) float64 { return math.Round(x*1e5) / 1e5 }
