package study

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bendline/capture"
	"bendline/kinematics"
)

// proposeMarkers sorts the markers of a draft into parts: as in a saved set, or
// a club of the study, whose markers its reference shows, else by their names and
// places.
func (p *Plan) proposeMarkers(d *Draft) {
	ref := p.referenceOf(d.ID)
	if ref == nil || ref.Err != nil {
		return
	}
	at := hangs(ref)
	if d.Chosen.Markers {
		if d.Doubt = nil; d.Set == "" {
			d.Markers = arranged(d.Markers, ref.Markers, at)
		}
		return
	}
	d.Doubt, d.Set = nil, ""
	if s, ok := p.setFor(d); ok {
		ends := [2]string{d.Markers.Heel, d.Markers.Toe}
		d.Markers = unplaced(s.Markers)
		if d.Chosen.Ends {
			d.Markers.Heel, d.Markers.Toe = ends[0], ends[1]
		}
		return
	}
	for _, c := range p.Study.Clubs {
		if (SavedSet{Markers: c.Markers}).fits(ref.Markers) {
			d.Markers = unplaced(c.Markers)
			return
		}
	}
	ends := [2]string{d.Markers.Heel, d.Markers.Toe}
	d.Markers, d.Doubt = ProposeMarkers(ref.Markers, at)
	if d.Chosen.Ends {
		d.Markers.Heel, d.Markers.Toe = ends[0], ends[1]
	}
}

// hangs returns where the markers of a reference are, by marker.
func hangs(ref *Arrival) []r3.Vec {
	if ref.Rest != nil {
		return ref.Rest
	}
	return ref.Poses[0].At
}

// unplaced returns the set without stations and offsets.
func unplaced(set capture.MarkerSet) capture.MarkerSet {
	set.Shaft = slices.Clone(set.Shaft)
	for i, m := range set.Shaft {
		set.Shaft[i] = capture.ShaftMarker{Name: m.Name}
	}
	return set
}

// UseSet gives the draft the markers, stations and offsets of a saved set, and
// its shaft's length and diameters.
func (d *Draft) UseSet(s SavedSet) {
	d.Set, d.Doubt = s.Name, nil
	d.Markers = s.Markers
	d.Chosen.Markers, d.Chosen.Ends = true, true
	d.Measured = nil
	d.Shaft.Length, d.ButtDiameter, d.TipDiameter, d.Chosen.Shaft = s.Length, s.ButtDiameter, s.TipDiameter, true
}

// setFor returns the first saved set whose markers the reference of a draft
// shows, where the markers are not sorted by hand. It proposes how they are
// sorted, and the station of the first; the others may sit elsewhere on another
// shaft, and are measured on the reference.
func (p *Plan) setFor(d *Draft) (SavedSet, bool) {
	if ref := p.referenceOf(d.ID); ref != nil && !d.Chosen.Markers {
		for _, s := range p.Sets {
			if s.fits(ref.Markers) {
				return s, true
			}
		}
	}
	return SavedSet{}, false
}

// readSwings reads from each swing what it tells of its club.
func (p *Plan) readSwings() {
	for i := range p.Files {
		a := &p.Files[i]
		a.tells = false
		if c := p.Club(a.Club); a.Use == AsRun && a.Err == nil && c != nil {
			a.swung, a.tells = readSwing(a, c.Markers)
		}
	}
}

// proposeHands takes hand, heel and toe of the drafts from their swings; a name
// that says left is believed about the hand.
func (p *Plan) proposeHands() {
	for i := range p.Drafts {
		d := &p.Drafts[i]
		d.EndsGuessed = false
		ends, left, right := make(map[[2]string]int), 0, 0
		for _, a := range p.Files {
			if a.Club != d.ID || !a.tells {
				continue
			}
			ends[[2]string{a.swung.heel, a.swung.toe}]++
			if a.swung.hand == kinematics.Left {
				left++
			} else {
				right++
			}
		}
		if !d.Chosen.Hand {
			d.Hand = kinematics.Right
			if left > right || isOf(leftWords, nameWords(d.ID)) {
				d.Hand = kinematics.Left
			}
		}
		if _, ok := p.setFor(d); ok || d.Chosen.Ends || d.Set != "" || namesEnds(d.Markers) {
			continue
		}
		d.EndsGuessed = len(ends) == 0
		best := 0
		for _, pair := range slices.SortedFunc(maps.Keys(ends), func(a, b [2]string) int { return slices.Compare(a[:], b[:]) }) {
			if n := ends[pair]; n > best {
				best, d.Markers.Heel, d.Markers.Toe = n, pair[0], pair[1]
			}
		}
	}
}

// namesEnds reports whether heel and toe of the set say so in their names.
func namesEnds(set capture.MarkerSet) bool {
	return strings.Contains(strings.ToLower(set.Heel), "heel") && strings.Contains(strings.ToLower(set.Toe), "toe")
}

// proposeByHand moves swings of the other hand than their club's to the club
// of that hand whose name has the words of theirs: c-base-1, by a left-hander,
// from base to base-left.
func (p *Plan) proposeByHand() {
	for i := range p.Files {
		a := &p.Files[i]
		c := p.Club(a.Club)
		if !a.tells || a.Chosen.Club || c == nil || a.swung.hand == c.Hand {
			continue
		}
		var fit []string
		for _, id := range p.Clubs() {
			has := nameWords(id)
			if id != c.ID && p.Club(id).Hand == a.swung.hand &&
				!slices.ContainsFunc(nameWords(c.ID), func(w string) bool { return !slices.Contains(has, w) }) {
				fit = append(fit, id)
			}
		}
		if len(fit) == 1 {
			a.Club = fit[0]
		}
	}
}

// proposeRoles calls clubs baseline or prototype by their names, else the first
// the baseline.
func (p *Plan) proposeRoles() {
	baseline := slices.ContainsFunc(p.Study.Clubs, func(c Club) bool { return c.Role == Baseline }) ||
		slices.ContainsFunc(p.Drafts, func(d Draft) bool {
			return d.Chosen.Role && d.Role == Baseline || !d.Chosen.Role && isOf(baselineWords, nameWords(d.ID))
		})
	for i := range p.Drafts {
		d := &p.Drafts[i]
		words := nameWords(d.ID + " " + d.Label)
		switch {
		case d.Chosen.Role:
		case isOf(baselineWords, words):
			d.Role = Baseline
		case isOf(prototypeWords, words) || baseline:
			d.Role = Prototype
		default:
			d.Role, baseline = Baseline, true
		}
	}
}

// proposeShaft takes length and diameters of a shaft over from a club for which
// they are known.
func (p *Plan) proposeShaft(d *Draft) {
	if d.Chosen.Shaft || d.Set != "" {
		return
	}
	like := func(c *Club) {
		d.Shaft.Length, d.ButtDiameter, d.TipDiameter = c.Shaft.Length, c.ButtDiameter, c.TipDiameter
	}
	for i := range p.Drafts {
		if o := &p.Drafts[i]; o.Chosen.Shaft && o.Shaft.Length > 0 {
			like(&o.Club)
			return
		}
	}
	if s, ok := p.setFor(d); ok {
		d.Shaft.Length, d.ButtDiameter, d.TipDiameter = s.Length, s.ButtDiameter, s.TipDiameter
	} else if len(p.Study.Clubs) > 0 {
		like(&p.Study.Clubs[0])
	}
}

// place finds stations and offsets of a draft's markers. Where none was
// measured, the station of one is that of a like marker on a club where it is
// known.
func (p *Plan) place(d *Draft) {
	ref := p.referenceOf(d.ID)
	if ref == nil || ref.Err != nil || d.Set != "" {
		d.Placement, d.Like = Placement{}, ""
		return
	}
	measured := d.Measured
	d.Like = ""
	if !slices.ContainsFunc(d.Markers.Shaft, func(m capture.ShaftMarker) bool { return !math.IsNaN(typed(measured, m.Name).Station) }) {
		measured, d.Like = p.alike(d)
	}
	places := hangs(ref)
	c := d.Club
	c.Markers = unplaced(c.Markers)
	from := fmt.Sprint(ref.Capture.SHA256, ref.Hints, c.Shaft.Length, c.ButtDiameter, c.TipDiameter, c.Markers.Shaft, c.Markers.Head, measured)
	if from != d.placed {
		at := make(map[string]r3.Vec, len(places))
		for i, name := range ref.Markers {
			at[name] = places[i]
		}
		d.Placement, d.placed = PlaceShaft(c, at, measured), from
	}
	d.Markers.Shaft = slices.Clone(d.Placement.Shaft)
}

// alike returns the station of the first marker that is also on another club
// and was measured there, with what else was measured of the draft, and that
// club.
func (p *Plan) alike(d *Draft) (map[string]capture.ShaftMarker, string) {
	with := func(m capture.ShaftMarker, club string) (map[string]capture.ShaftMarker, string) {
		measured := map[string]capture.ShaftMarker{}
		for name, v := range d.Measured {
			measured[name] = v
		}
		m.Offset = typed(measured, m.Name).Offset
		measured[m.Name] = m
		return measured, club
	}
	for _, m := range d.Markers.Shaft {
		for i := range p.Drafts {
			o := &p.Drafts[i]
			if v := typed(o.Measured, m.Name); o.ID != d.ID && !math.IsNaN(v.Station) {
				return with(v, o.Label)
			}
		}
		if s, ok := p.setFor(d); ok {
			for _, v := range s.Markers.Shaft {
				if v.Name == m.Name {
					return with(v, s.Name)
				}
			}
		}
		for _, c := range p.Study.Clubs {
			for _, v := range c.Markers.Shaft {
				if v.Name == m.Name {
					return with(v, c.Label)
				}
			}
		}
	}
	return d.Measured, ""
}

// proposeWorld takes the vertical axis from what a file states, else from a
// club that hangs, and the axis to the target from where heads go. Axes that the
// study has are kept once it has clubs.
func (p *Plan) proposeWorld() {
	if p.ChosenWorld || p.Study.World != (World{}) && len(p.Study.Clubs) > 0 {
		return
	}
	var up, target r3.Vec
	stated := ""
	for i := range p.Files {
		a := &p.Files[i]
		c := p.Club(a.Club)
		if a.Err != nil || a.Use == Aside || c == nil {
			continue
		}
		if stated == "" {
			stated = a.Origin.Up
		}
		if a.tells {
			target = r3.Add(target, a.swung.going)
		}
		if a.Rest != nil {
			for m, name := range a.Markers {
				at := a.Rest[m]
				if at.X != at.X {
					continue
				}
				if slices.Contains(c.Markers.Grip, name) {
					up = r3.Add(up, r3.Scale(1/float64(len(c.Markers.Grip)), at))
				} else if slices.Contains(c.Markers.Head, name) {
					up = r3.Sub(up, r3.Scale(1/float64(len(c.Markers.Head)), at))
				}
			}
		}
	}
	if stated == "" {
		stated = axisAlong(up, "")
	}
	w := World{Up: stated, Target: axisAlong(target, stated)}
	if w.validate() == nil && w.Up != "" && w.Target != "" {
		p.World = w
	}
}

// axisAlong returns the axis of the file that v is most along, other than not;
// "" if v is nothing.
func axisAlong(v r3.Vec, not string) string {
	best, most := "", 0.0
	for i, x := range [3]float64{v.X, v.Y, v.Z} {
		name := string("xyz"[i])
		if not != "" && not[1:] == name || !(math.Abs(x) > most) {
			continue
		}
		best, most = "+"+name, math.Abs(x)
		if x < 0 {
			best = "-" + name
		}
	}
	return best
}
