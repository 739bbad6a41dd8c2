package app

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// importList is the table of the files that may be brought in, and under it
// what changes those ticked, or else the selected one.
type importList struct {
	root    fyne.CanvasObject
	list    *keyList
	all     *tick
	subject *widget.Label
	use     *pick
	club    *nameEntry
	player  *nameEntry
	remove  *widget.Button
	shown   Import
	setting bool // the page itself changes an entry
}

var useNames = []string{study.Aside.String(), study.AsRun.String(), study.AsReference.String()}

func newImportList(w *Window) *importList {
	l := &importList{subject: widget.NewLabel("")}
	l.subject.Truncation = fyne.TextTruncateEllipsis
	l.subject.TextStyle.Bold = true
	l.list = newKeyList(func(e *fyne.KeyEvent) {
		if e.Name == fyne.KeySpace {
			w.store.Do(tickFile(l.shown.Current, !slices.Contains(l.shown.Ticked, l.shown.Current)))
			return
		}
		w.typedKey(e)
	})
	l.list.Length = func() int { return len(l.shown.Plan.Files) }
	l.list.CreateItem = func() fyne.CanvasObject { return newImportRow(w, l.list) }
	l.list.OnToggle = func(i int) {
		path := l.shown.Plan.Files[i].Path
		w.store.Do(tickFile(path, !slices.Contains(l.shown.Ticked, path)))
	}
	l.list.OnRange = func(from, to int) {
		w.store.Do(editImport{func(m *Import) {
			m.Ticked = nil
			for _, a := range m.Plan.Files[from : to+1] {
				m.Ticked = append(m.Ticked, a.Path)
			}
		}})
	}
	l.list.UpdateItem = func(i widget.ListItemID, o fyne.CanvasObject) { o.(*importRow).present(l.shown, i) }
	l.list.OnSelected = func(i widget.ListItemID) {
		if path := l.shown.Plan.Files[i].Path; path != l.shown.Current {
			w.store.Do(showFile(path))
		}
	}
	l.all = newTick("", func(on bool) {
		w.store.Do(editImport{func(m *Import) {
			m.Ticked = nil
			for _, a := range m.Plan.Files {
				if on {
					m.Ticked = append(m.Ticked, a.Path)
				}
			}
		}})
	})
	l.use = newPick(w, useNames, func(i int) {
		w.store.Do(setFiles(l.shown.chosen(), func(a *study.Arrival) { a.Use, a.Chosen.Use = study.Use(i), true }))
	})
	entry := func(hint string, set func(*study.Arrival, string)) *nameEntry {
		e := newNameEntry(nil)
		e.SetPlaceHolder(hint)
		e.OnChanged = func(text string) {
			if !l.setting {
				w.store.Do(setFiles(l.shown.chosen(), func(a *study.Arrival) { set(a, idOf(text)) }))
			}
		}
		return e
	}
	l.club = entry("club", func(a *study.Arrival, id string) { a.Club, a.Chosen.Club = id, true })
	l.player = entry("player", func(a *study.Arrival, id string) { a.Player, a.Chosen.Player = id, true })
	l.remove = widget.NewButtonWithIcon("", theme.DeleteIcon(), func() {
		w.store.Do(editImport{func(m *Import) { m.Plan = m.Plan.Without(m.chosen()...) }})
	})

	head := newImportCells(l.all)
	for i, word := range []string{"File", "As", "Club", "Player", "Data", "To know"} {
		head.words[i].SetText(word)
		head.words[i].TextStyle.Bold = true
	}
	change := container.New(fractions{{0.31, 0}, {0.19, 0}, {0.21, 0}, {0.21, 0}, {0, 40}},
		l.subject, l.use, l.club, l.player, l.remove)
	l.root = container.NewBorder(container.NewVBox(head.root, widget.NewSeparator()),
		container.NewVBox(widget.NewSeparator(), change), nil, nil, l.list)
	return l
}

// idOf returns what was typed for a club or player as an id.
func idOf(text string) string { return strings.Join(strings.Fields(text), "-") }

func showFile(path string) Command {
	return editImport{func(m *Import) {
		m.Current, m.Frame = path, 0
		a := m.Plan.File(path)
		if a != nil && a.Club != m.Club && m.Plan.Club(a.Club) != nil {
			m.Club, m.Marker = a.Club, ""
		}
	}}
}

func tickFile(path string, on bool) Command {
	return editImport{func(m *Import) {
		m.Ticked = slices.DeleteFunc(slices.Clone(m.Ticked), func(p string) bool { return p == path })
		if on {
			m.Ticked = append(m.Ticked, path)
		}
	}}
}

func (l *importList) present(m Import) {
	l.shown = m
	l.list.Refresh()
	if i := slices.IndexFunc(m.Plan.Files, func(a study.Arrival) bool { return a.Path == m.Current }); i >= 0 {
		l.list.Select(i)
	} else {
		l.list.UnselectAll()
	}
	l.all.set(len(m.Ticked) > 0 && len(m.Ticked) == len(m.Plan.Files))
	chosen := m.chosen()
	switch {
	case len(m.Ticked) > 0:
		l.subject.SetText("Set " + plural(len(chosen), "ticked file"))
	case len(chosen) == 1:
		l.subject.SetText("Set " + m.nameOf(chosen[0]))
	default:
		l.subject.SetText("Select a file")
	}
	for _, o := range []fyne.Disableable{l.use, l.club, l.player, l.remove} {
		enable(o, len(chosen) > 0)
	}
	l.club.SetOptions(m.Plan.Clubs())
	l.player.SetOptions(m.Plan.Players())
	use, club, player := -1, "", ""
	for i, path := range chosen {
		a := m.Plan.File(path)
		if i == 0 {
			use, club, player = int(a.Use), a.Club, a.Player
		}
		if use != int(a.Use) {
			use = -1
		}
		if club != a.Club {
			club = ""
		}
		if player != a.Player {
			player = ""
		}
	}
	l.use.set(use)
	l.setting = true
	for e, text := range map[*nameEntry]string{l.club: club, l.player: player} {
		if idOf(e.Text) != text {
			e.SetText(text)
		}
	}
	l.setting = false
}

// importCells are the cells of a row of the table.
type importCells struct {
	root  *fyne.Container
	words [6]*widget.Label
}

func newImportCells(t *tick) *importCells {
	c := &importCells{}
	cells := []fyne.CanvasObject{t}
	for i := range c.words {
		c.words[i] = widget.NewLabel("")
		c.words[i].Truncation = fyne.TextTruncateEllipsis
		c.words[i].SizeName = theme.SizeNameText
		cells = append(cells, c.words[i])
	}
	c.root = container.New(fractions{{0, 34}, {0.23, 0}, {0.11, 0}, {0.12, 0}, {0.085, 0}, {0.21, 0}, {0.245, 0}}, cells...)
	return c
}

// fractions is a row of columns: each takes a part of what is left by those of
// fixed width.
type fractions []struct{ part, fixed float32 }

// MinSize is part of fyne.Layout.
func (f fractions) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for i := range o {
		s.Width += max(f[i].fixed, 20)
		s.Height = max(s.Height, o[i].MinSize().Height)
	}
	return s
}

// Layout is part of fyne.Layout.
func (f fractions) Layout(o []fyne.CanvasObject, size fyne.Size) {
	left, total := size.Width, float32(0)
	for _, c := range f {
		left -= c.fixed
		total += c.part
	}
	x := float32(0)
	for i, c := range f {
		width := c.fixed + left*c.part/total
		o[i].Move(fyne.NewPos(x, 0))
		o[i].Resize(fyne.NewSize(width, size.Height))
		x += width
	}
}

// importRow is a file in the table.
type importRow struct {
	listRow
	cells *importCells
	tick  *tick
	path  string
}

func newImportRow(w *Window, list *keyList) *importRow {
	r := &importRow{listRow: listRow{list: list}}
	r.tick = newTick("", func(on bool) { w.store.Do(tickFile(r.path, on)) })
	r.cells = newImportCells(r.tick)
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is part of fyne.Widget.
func (r *importRow) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(r.cells.root)
}

func (r *importRow) present(m Import, i int) {
	a := m.Plan.Files[i]
	r.path, r.at = a.Path, i
	r.tick.set(slices.Contains(m.Ticked, a.Path))
	importance := widget.MediumImportance
	if a.Use == study.Aside {
		importance = widget.LowImportance
	}
	player := a.Player
	if a.Use != study.AsRun {
		player = ""
	}
	club := a.Club
	if a.Use == study.Aside {
		club = ""
	}
	texts := [6]string{m.nameOf(a.Path), a.Use.String(), club, player, dataOf(a), ""}
	note := importance
	switch problem, doubt := m.Plan.Problem(a.Path), m.Plan.Doubt(a.Path); {
	case a.Err != nil:
		texts[5], note = "cannot be read", widget.DangerImportance
		if a.Use == study.Aside {
			note = widget.LowImportance
		}
	case problem != "":
		texts[5], note = problem, widget.DangerImportance
	case doubt != "":
		texts[5] = doubt
		if a.Use != study.Aside {
			note = widget.WarningImportance
		}
	case a.Remembered:
		texts[5] = "read as corrected before"
	}
	for k, l := range r.cells.words {
		l.Importance = importance
		if k == 5 {
			l.Importance = note
		}
		l.SetText(texts[k])
	}
}

// dataOf returns rate and unit of a file.
func dataOf(a study.Arrival) string {
	if a.Err != nil {
		return ""
	}
	guess := func(guessed bool) string {
		if guessed {
			return " guessed"
		}
		return ""
	}
	return fmt.Sprintf("%.4g/s%s, %s%s", a.Capture.Rate, guess(a.Origin.RateGuessed && a.Hints.Rate == 0),
		a.Origin.Unit, guess(a.Origin.UnitGuessed && a.Hints.Unit == ""))
}
