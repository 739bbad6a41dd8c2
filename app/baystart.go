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
	"bendline/kinematics"
)

// careText stands where a session starts, before anybody swings.
const careText = "An instrumented club is swung at full speed. Before each shaft: see that head, grip and every marker are secured and that cables are clear of the swing; keep people out of its plane and out of the line of the ball. Follow your local rules and the qualified practice of your lab."

// bayStart is where a fitting session is set up.
type bayStart struct {
	w      *Window
	root   fyne.CanvasObject
	folder *entry
	player *nameEntry
	clubs  *widget.CheckGroup
	there  *widget.Check
	start  *widget.Button
	why    *widget.Label
	bring  *widget.Button

	study *study.Study // the form was last filled for
	ids   []string     // of the clubs, in the order of their checks
	names []string
}

func newBayStart(w *Window) *bayStart {
	b := &bayStart{w: w, why: newWords("")}
	b.why.Importance = widget.WarningImportance
	b.folder = newEntry(func() { w.win.Canvas().Unfocus() })
	b.folder.SetPlaceHolder("the folder that captures are written to")
	b.folder.OnChanged = func(string) { b.check() }
	browse := widget.NewButtonWithIcon("A folder…", theme.FolderOpenIcon(), func() { w.findFolder(b.folder.Text, b.folder.SetText) })
	b.player = newNameEntry(nil)
	b.player.SetPlaceHolder("choose, or type a new name")
	b.player.OnChanged = func(string) { b.check() }
	b.clubs = widget.NewCheckGroup(nil, func([]string) { b.check() })
	b.there = widget.NewCheck("Take in captures that are in the folder already", nil)
	b.start = widget.NewButton("Start the session", b.begin)
	b.start.Importance = widget.HighImportance
	b.bring = widget.NewButton("Bring in a club…", func() { w.beginImport(nil) })
	care := newWords(careText)
	care.TextStyle.Bold = true
	form := widget.NewForm(
		widget.NewFormItem("Folder", container.NewBorder(nil, nil, nil, browse, b.folder)),
		widget.NewFormItem("", b.there),
		widget.NewFormItem("Player", b.player),
		widget.NewFormItem("Shafts", b.clubs),
	)
	page := container.NewVBox(
		heading("Fitting session"),
		newWords("One player swings shafts in turn. Each capture is taken in as it lands in the folder, analysed at once and shown large enough to read from two metres. The swings are kept in this study as they come."),
		gap(6), form, gap(6), heading("Care"), care, gap(6),
		container.NewBorder(nil, nil, container.NewHBox(b.start, b.bring), nil, b.why))
	b.root = container.NewVScroll(container.New(narrow{780}, page))
	return b
}

// narrow lays one object out in the middle, so wide at most, and as high as it
// needs.
type narrow struct{ width float32 }

// MinSize is part of fyne.Layout.
func (n narrow) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(min(n.width, o[0].MinSize().Width), o[0].MinSize().Height)
}

// Layout is part of fyne.Layout.
func (n narrow) Layout(o []fyne.CanvasObject, size fyne.Size) {
	width := min(n.width, size.Width)
	o[0].Move(fyne.NewPos((size.Width-width)/2, 0))
	o[0].Resize(fyne.NewSize(width, size.Height))
}

var _ fyne.Layout = narrow{}

// present fills the form when the study is another, or has other clubs or
// players, and keeps what was chosen.
func (b *bayStart) present(s State) {
	if s.Study == b.study {
		b.check()
		return
	}
	last := b.w.prefs.Bay
	first := b.study == nil || b.study.Path != s.Study.Path
	chosen := b.chosen()
	b.study, b.ids, b.names = s.Study, nil, nil
	for i, name := range clubNames(s.Study) {
		c := &s.Study.Clubs[i]
		if c.Hand == kinematics.Left && !strings.Contains(strings.ToLower(name), "left") {
			name += ", left-handed"
		}
		b.ids, b.names = append(b.ids, c.ID), append(b.names, name)
	}
	var players []string
	for _, p := range s.Study.Players {
		players = append(players, playerLabel(s.Study, p.ID))
	}
	b.player.SetOptions(players)
	b.clubs.Options = b.names
	if first {
		chosen = nil
		b.folder.SetText(last.Folder)
		b.there.SetChecked(false)
		b.player.SetText("")
		if last.Study == s.Study.Path {
			chosen = last.Clubs
			b.player.SetText(playerLabel(s.Study, last.Player))
			b.there.SetChecked(!last.Ended) // what landed while the program was away is not lost
		}
	}
	b.clubs.SetSelected(nil)
	var on []string
	for i, id := range b.ids {
		if slices.Contains(chosen, id) {
			on = append(on, b.names[i])
		}
	}
	b.clubs.SetSelected(on)
	b.check()
}

// chosen returns the ids of the ticked clubs, in the order of the study.
func (b *bayStart) chosen() []string {
	var list []string
	for i, name := range b.names {
		if slices.Contains(b.clubs.Selected, name) {
			list = append(list, b.ids[i])
		}
	}
	return list
}

// missing says what the session lacks, "" for nothing.
func (b *bayStart) missing() string {
	if b.study == nil {
		return ""
	}
	chosen := b.chosen()
	switch {
	case len(b.study.Clubs) == 0:
		return "This study has no club yet: bring in the recording of one that hangs unloaded, and its markers, first."
	case strings.TrimSpace(b.folder.Text) == "":
		return "Name the folder that captures are written to."
	case strings.TrimSpace(b.player.Text) == "":
		return "Say who swings."
	case len(chosen) == 0:
		return "Tick the shafts that are swung."
	case len(chosen) > mostShafts:
		return fmt.Sprintf("Tick at most %d shafts: each has a key.", mostShafts)
	}
	for _, id := range chosen[1:] {
		if b.study.Club(id).Hand != b.study.Club(chosen[0]).Hand {
			return "The ticked shafts are of both hands; one player swings those of one."
		}
	}
	return ""
}

func (b *bayStart) check() {
	why := b.missing()
	if why == "" && b.w.store.State().Job.Title != "" {
		why = "It can start once the work below is done, or cancelled."
	}
	if why != b.why.Text {
		b.why.SetText(why)
	}
	enable(b.start, why == "")
	show(b.bring, b.study != nil && len(b.study.Clubs) == 0)
}

// begin starts the session; a player who is new is put into the study.
func (b *bayStart) begin() {
	if b.missing() != "" {
		return
	}
	folder := strings.TrimSpace(b.folder.Text)
	clubs := b.chosen()
	club := clubs[0]
	if last := b.w.prefs.Bay; last.Study == b.study.Path && !last.Ended && slices.Contains(clubs, last.Club) {
		club = last.Club
	}
	b.w.startBay(Bay{Folder: folder, Player: b.w.playerNamed(strings.TrimSpace(b.player.Text)), Clubs: clubs, Club: club}, b.there.Checked)
}

// playerNamed returns the id of the player with the label or id, who is put into
// the study if there is none.
func (w *Window) playerNamed(name string) string {
	st := w.store.State().Study
	for _, p := range st.Players {
		if p.ID == name || playerLabel(st, p.ID) == name {
			return p.ID
		}
	}
	id := fileName(strings.ToLower(name))
	for n := 2; st.Player(id) != nil; n++ {
		id = fmt.Sprintf("%s-%d", fileName(strings.ToLower(name)), n)
	}
	w.change(Edit{func(st *study.Study) bool {
		st.Players = append(st.Players, study.Player{ID: id, Label: name})
		return true
	}})
	return id
}
