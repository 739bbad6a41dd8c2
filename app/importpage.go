package app

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// importPage is the page that brings captures in: where they come from, what
// they are, and what is recognised in each.
type importPage struct {
	root    *fyne.Container
	title   *widget.Label
	path    *entry
	list    *importList
	tabs    *choice
	file    *importFile
	club    *importClub
	blocked *widget.Label
	lead    *widget.Button // to what blocks
	bring   *widget.Button
}

func newImportPage(w *Window) *importPage {
	p := &importPage{title: widget.NewLabel(""), blocked: widget.NewLabel("")}
	p.title.TextStyle.Bold = true
	p.blocked.Truncation = fyne.TextTruncateEllipsis
	p.path = newEntry(func() { w.win.Canvas().Unfocus() })
	p.path.SetPlaceHolder("path of a capture, or of a folder of them; or drop them on the window")
	add := func(path string) {
		if path = strings.TrimSpace(path); path != "" {
			p.path.SetText("")
			w.addCaptures([]string{path})
		}
	}
	p.path.OnSubmitted = add
	folder := widget.NewButtonWithIcon("A folder…", theme.FolderOpenIcon(), func() { w.findFolder(p.path.Text, add) })
	file := widget.NewButtonWithIcon("A file…", theme.FileIcon(), func() { w.findFile(p.path.Text, add) })
	top := container.NewBorder(nil, nil, p.title,
		container.NewHBox(widget.NewButton("Add", func() { add(p.path.Text) }), file, folder), p.path)

	p.list, p.file, p.club = newImportList(w), newImportFile(w), newImportClub(w)
	p.tabs = newChoice([]string{"File", "Club and its markers"}, func(i int) {
		w.store.Do(editImport{func(m *Import) { m.ShowClub = i == 1 }})
	})
	right := container.NewBorder(p.tabs.root, nil, nil, nil, container.NewStack(p.file.root, p.club.root))
	split := container.NewHSplit(p.list.root, container.NewPadded(right))
	split.Offset = 0.57
	p.bring = widget.NewButton("Bring in", w.bringThemIn)
	p.bring.Importance = widget.HighImportance
	p.lead = widget.NewButton("Show it", func() {
		w.store.Do(editImport{func(m *Import) {
			switch b := m.Plan.Blocked(); {
			case b.Club != "":
				m.Club, m.Marker, m.ShowClub = b.Club, "", true
			case b.Path != "":
				m.Current, m.Frame, m.ShowClub = b.Path, 0, false
			}
		}})
		m := w.store.State().Import
		if d := m.Plan.Draft(m.Club); d != nil && m.ShowClub && d.Shaft.Length == 0 {
			w.win.Canvas().Focus(p.club.length) // that is what is to be typed
		}
	})
	bottom := container.NewBorder(nil, nil, p.lead,
		container.NewHBox(widget.NewButton("Leave without", w.askEndImport), p.bring), p.blocked)
	p.root = container.NewBorder(container.NewVBox(top, widget.NewSeparator()),
		container.NewVBox(widget.NewSeparator(), bottom), nil, nil, split)
	p.root.Hide()
	return p
}

func (p *importPage) object() fyne.CanvasObject { return p.root }

func (p *importPage) present(s State) {
	if !s.Bringing || s.Import.Plan.Study == nil {
		return
	}
	m := s.Import
	title := "Captures for " + s.Study.Title
	if s.Study.Title == "" {
		title = "Captures for " + filepath.Base(filepath.Dir(s.Study.Path))
	}
	if r := []rune(title); len(r) > 40 {
		title = string(r[:39]) + "…"
	}
	p.title.SetText(title)
	p.list.present(m)
	down := 0
	if m.ShowClub {
		down = 1
	}
	p.tabs.set(down)
	show(p.file.root, !m.ShowClub)
	show(p.club.root, m.ShowClub)
	if m.ShowClub {
		p.club.present(m)
	} else {
		p.file.present(m)
	}
	block := m.Plan.Blocked()
	text := ""
	if block.Why != "" {
		text = "Not yet: " + study.Plain(block.Why) + "."
	}
	p.blocked.SetText(text)
	show(p.lead, block.Club != "" || block.Path != "")
	p.bring.SetText("Bring in " + plural(m.Plan.Count(), "file"))
	enable(p.bring, block.Why == "" && s.Job.Title == "")
}
