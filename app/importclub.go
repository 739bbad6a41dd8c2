package app

import (
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
	"bendline/kinematics"
	"bendline/widgets"
)

// importClub shows a club that is to be: what it is, and its markers, which are
// sorted into parts by pointing at them.
type importClub struct {
	root              *fyne.Container
	club              *pick
	said              *widget.Label
	label             *entry
	role, hand        *pick
	length, butt, tip *numberEntry
	set               *pick
	setName           *entry
	keep              *widget.Button
	view              *markerView
	table             *widgets.ValueTable
	marker            *widget.Label
	parts             *choice
	station, offset   *numberEntry
	heel, toe         *widget.Button
	fields            []fyne.Disableable
	markerFields      []fyne.Disableable
	shown             Import
	names             []string // of the markers in the table
}

// The parts of the club that a marker is on.
const (
	gripPart  = "grip"
	shaftPart = "shaft"
	headPart  = "head"
)

var (
	partChoices = []string{gripPart, shaftPart, headPart, ""}
	roleChoices = []study.Role{study.Baseline, study.Prototype}
	handChoices = []kinematics.Hand{kinematics.Right, kinematics.Left}
)

func newImportClub(w *Window) *importClub {
	c := &importClub{said: newWords(""), marker: widget.NewLabel("")}
	c.marker.Truncation = fyne.TextTruncateEllipsis
	c.marker.TextStyle.Bold = true
	change := func(do func(*study.Draft)) { w.store.Do(setDraft(c.shown.Club, do)) }
	c.club = newPick(w, nil, func(i int) {
		w.store.Do(editImport{func(m *Import) { m.Club, m.Marker = m.Plan.Clubs()[i], "" }})
	})
	c.label = newEntry(func() { w.win.Canvas().Unfocus() })
	c.label.OnChanged = func(text string) {
		if d := c.shown.Plan.Draft(c.shown.Club); d != nil && text != d.Label {
			change(func(d *study.Draft) { d.Label, d.Chosen.Label = text, true })
		}
	}
	c.role = newPick(w, []string{string(study.Baseline), string(study.Prototype)}, func(i int) {
		change(func(d *study.Draft) { d.Role, d.Chosen.Role = roleChoices[i], true })
	})
	c.hand = newPick(w, []string{"right-handed", "left-handed"}, func(i int) {
		change(func(d *study.Draft) { d.Hand, d.Chosen.Hand = handChoices[i], true })
	})
	shaft := func(hint string, to func(*study.Draft) *float64) *numberEntry {
		return newNumberEntry(hint, func(v float64) {
			change(func(d *study.Draft) { *to(d), d.Chosen.Shaft = v/1e3, true })
		})
	}
	c.length = shaft("needed", func(d *study.Draft) *float64 { return &d.Shaft.Length })
	c.butt = shaft("not known", func(d *study.Draft) *float64 { return &d.ButtDiameter })
	c.tip = shaft("not known", func(d *study.Draft) *float64 { return &d.TipDiameter })
	c.set = newPick(w, nil, func(i int) {
		change(func(d *study.Draft) {
			if i == 0 {
				d.Set, d.Chosen.Markers, d.Chosen.Ends = "", false, false
				d.Measured = nil
				return
			}
			d.UseSet(c.shown.Plan.Sets[i-1])
		})
	})
	c.setName = newEntry(func() { w.win.Canvas().Unfocus() })
	c.setName.SetPlaceHolder("name to keep them under")
	keep := func() { w.saveSet(c.shown.Club, strings.TrimSpace(c.setName.Text)) }
	c.setName.OnSubmitted = func(string) { keep() }
	c.keep = widget.NewButton("Keep", keep)

	c.view = newMarkerView(func(i int) {
		if ref := c.reference(); ref != nil {
			w.store.Do(pointAt(ref.Markers[i]))
		}
	})
	c.table = widgets.NewValueTable("marker", "part", "station, mm", "offset, mm")
	c.table.OnSelect = func(row int) {
		if name := c.names[row]; name != c.shown.Marker {
			w.store.Do(pointAt(name))
		}
	}
	c.parts = newChoice([]string{"Grip", "Shaft", "Head", "None"}, func(i int) {
		if name := c.shown.Marker; name != "" {
			change(func(d *study.Draft) { putOn(d, name, partChoices[i]) })
		}
	})
	measure := func(to func(*capture.ShaftMarker) *float64) func(float64) {
		return func(v float64) {
			name := c.shown.Marker
			change(func(d *study.Draft) { setMeasured(d, name, v/1e3, to) })
		}
	}
	c.station = newNumberEntry("station", measure(func(m *capture.ShaftMarker) *float64 { return &m.Station }))
	c.offset = newNumberEntry("offset", measure(func(m *capture.ShaftMarker) *float64 { return &m.Offset }))
	c.heel = widget.NewButton("Heel", func() {
		name := c.shown.Marker
		change(func(d *study.Draft) { d.Markers.Heel, d.Chosen.Ends = name, true })
	})
	c.toe = widget.NewButton("Toe", func() {
		name := c.shown.Marker
		change(func(d *study.Draft) { d.Markers.Toe, d.Chosen.Ends = name, true })
	})
	c.fields = []fyne.Disableable{c.label, c.role, c.hand, c.length, c.butt, c.tip, c.set, c.setName, c.keep}
	c.markerFields = []fyne.Disableable{c.station, c.offset, c.heel, c.toe}
	for _, b := range c.parts.buttons {
		c.markerFields = append(c.markerFields, b)
	}

	form := container.NewVBox(
		container.New(fractions{{0.14, 0}, {0.36, 0}, {0.14, 0}, {0.36, 0}}, dim("Club"), c.club, dim("Called"), c.label),
		container.New(fractions{{0.14, 0}, {0.36, 0}, {0.14, 0}, {0.36, 0}}, dim("It is"), c.role, dim("For"), c.hand),
		container.New(fractions{{0.14, 0}, {0.16, 0}, {0.18, 0}, {0.17, 0}, {0.17, 0}, {0.18, 0}},
			dim("Shaft, mm"), c.length, dim("⌀ butt, mm"), c.butt, dim("⌀ tip, mm"), c.tip),
		container.New(fractions{{0.14, 0}, {0.36, 0}, {0.34, 0}, {0.16, 0}}, dim("Markers"), c.set, c.setName, c.keep))
	split := container.NewHSplit(c.view, c.table)
	split.Offset = 0.38
	bottom := container.NewVBox(
		container.NewBorder(nil, nil, nil, c.parts.root, c.marker),
		container.New(fractions{{0.17, 0}, {0.18, 0}, {0.17, 0}, {0.18, 0}, {0.15, 0}, {0.15, 0}},
			dim("Station, mm"), c.station, dim("Offset, mm"), c.offset, c.heel, c.toe),
		container.NewStack(gap(52), c.said)) // two lines: nothing moves when they come
	c.root = container.NewBorder(form, bottom, nil, nil, split)
	return c
}

// reference returns the reference of the club that is shown, nil without one.
func (c *importClub) reference() *study.Arrival { return c.shown.reference() }

// reference returns the reference of the club that is looked at, nil without one.
func (m Import) reference() *study.Arrival {
	for _, a := range m.Plan.Files {
		if a.Use == study.AsReference && a.Club == m.Club && a.Err == nil {
			return &a
		}
	}
	return nil
}

func (c *importClub) present(m Import) {
	c.shown = m
	club, d := m.Plan.Club(m.Club), m.Plan.Draft(m.Club)
	ids := m.Plan.Clubs()
	c.club.offer(ids, slices.Index(ids, m.Club))
	for _, f := range c.fields {
		enable(f, d != nil)
	}
	if club == nil {
		c.said.Importance = widget.LowImportance
		c.said.SetText("A club comes of its reference: a recording in which it hangs unloaded.")
		c.table.SetRows(nil)
		c.view.SetScene(widgets.Scene{})
		for _, f := range c.markerFields {
			enable(f, false)
		}
		return
	}
	if c.label.Text != club.Label {
		c.label.SetText(club.Label)
	}
	c.role.set(slices.Index(roleChoices, club.Role))
	c.hand.set(slices.Index(handChoices, club.Hand))
	c.length.set(mm(club.Shaft.Length))
	c.butt.set(mm(club.ButtDiameter))
	c.tip.set(mm(club.TipDiameter))
	sets, chosen := []string{"as proposed"}, 0
	for i, s := range m.Plan.Sets {
		sets = append(sets, s.Name)
		if d != nil && d.Set == s.Name {
			chosen = i + 1
		}
	}
	if d != nil && d.Set == "" && d.Chosen.Markers {
		sets[0] = "sorted by hand"
	}
	c.set.offer(sets, chosen)

	parts := partsIn(club)
	c.names = club.Markers.Names()
	ref := m.reference()
	if ref != nil {
		for _, name := range ref.Markers {
			if parts[name] == "" {
				c.names = append(c.names, name)
			}
		}
		at := ref.Rest
		if at == nil {
			at = ref.Poses[0].At
		}
		c.view.show(ref.Path+m.Club, m.Plan.World, ref.Markers, at, func(i int) (color.Color, float64) {
			return paintMarker(parts[ref.Markers[i]], ref.Markers[i] == m.Marker)
		})
	} else {
		c.view.SetScene(widgets.Scene{})
	}
	c.table.SetRows(markerRows(c.names, club))
	c.table.Select(slices.Index(c.names, m.Marker))
	c.presentMarker(m, club, d, parts)
	c.say(m, club, d)
}

// presentMarker shows what is known of the marker that is pointed at.
func (c *importClub) presentMarker(m Import, club *study.Club, d *study.Draft, parts map[string]string) {
	pointed := slices.Contains(c.names, m.Marker)
	for _, f := range c.markerFields {
		enable(f, d != nil && pointed)
	}
	part := parts[m.Marker]
	c.marker.SetText("Point at a marker")
	down := -1
	if pointed {
		c.marker.SetText(m.Marker + " is on")
		down = slices.Index(partChoices, part)
	}
	c.parts.set(down)
	station, offset := 0.0, 0.0
	for _, s := range club.Markers.Shaft {
		if s.Name == m.Marker {
			station, offset = s.Station, s.Offset
		}
	}
	c.station.set(mm(station))
	c.offset.set(mm(offset))
	for _, f := range []fyne.Disableable{c.station, c.offset} {
		enable(f, d != nil && part == shaftPart)
	}
	for b, is := range map[*widget.Button]string{c.heel: club.Markers.Heel, c.toe: club.Markers.Toe} {
		enable(b, d != nil && part == headPart)
		importance := widget.MediumImportance
		if pointed && is == m.Marker {
			importance = widget.HighImportance
		}
		if b.Importance != importance {
			b.Importance = importance
			b.Refresh()
		}
	}
}

// say tells what keeps the club from being one, else what is guessed about it.
func (c *importClub) say(m Import, club *study.Club, d *study.Draft) {
	c.said.Importance = widget.LowImportance
	if d == nil {
		c.said.SetText("This club is in the study already.")
		return
	}
	if why := m.Plan.ClubProblem(m.Club); why != "" {
		c.said.Importance = widget.DangerImportance
		c.said.SetText(capital(study.Plain(why)) + ".")
		return
	}
	var doubts []string
	switch {
	case d.Like != "":
		doubts = append(doubts, "The first marker, and the length where none was typed, are taken to be as on "+d.Like+"; the other markers follow from the reference.")
	case d.Set == "" && d.Placement.Guessed:
		doubts = append(doubts, "No station was measured: the butt end is taken to be where the head's place puts it, which may be off by centimetres. Point at a marker and type its station.")
	}
	if d.EndsGuessed {
		doubts = append(doubts, "No swing tells heel and toe: check them, for lead and droop depend on them.")
	}
	if len(doubts) > 0 {
		c.said.Importance = widget.WarningImportance
		c.said.SetText(strings.Join(doubts, " "))
		return
	}
	if d.Set == "" {
		c.said.SetText("The shaft's markers are within " + decimal(1e3*d.Placement.Misfit, 2) + " mm of an even taper.")
		return
	}
	c.said.SetText("Markers, stations and offsets are those of the saved set.")
}
