package app

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// mostShafts is how many shafts a session has at most: each has a key.
const mostShafts = 9

// AddShaft takes a shaft of the study into the session, and puts it on the tee.
// It can be undone; a shaft that was swung meanwhile then stays.
type AddShaft struct{ Club string }

func (c AddShaft) apply(s State) State {
	if !s.Bay.On() || !slices.Contains(s.moreShafts(), c.Club) {
		return s
	}
	if len(s.Bay.Clubs) >= mostShafts {
		s.Bay.Said = Notice{fmt.Sprintf("A session has at most %d shafts: each has a key.", mostShafts), true}
		return s
	}
	s.past, s.future = append(slices.Clip(s.past), s.step()), nil
	s.Bay.Clubs = append(slices.Clip(s.Bay.Clubs), c.Club)
	s.Bay.Club, s.Bay.Shown = c.Club, ""
	s.Bay.Said = Notice{Text: "Now: " + clubLabel(s.Study, c.Club) + "."}
	return s
}

// nameShafts labels the shafts' buttons, with names short enough for the row to
// have room for the player's name.
func (l *bayLive) nameShafts(s State) {
	const names = 150 // dp at 1280 by 720, for the player
	room := l.page.override.Size().Width - l.tools.MinSize().Width - names*l.page.theme.factor
	shafts := s.shafts()
	for long := 40; ; long -= 4 {
		for i, f := range shafts {
			l.buttons[i].SetText(fmt.Sprintf("%d  %s · %d", i+1, shortened(clubLabel(s.Study, f.Club), long), len(f.Runs)))
		}
		if long <= 4 || room <= 0 || l.shafts.MinSize().Width <= room {
			return
		}
	}
}

// shortened returns a text of so many letters at most.
func shortened(text string, long int) string {
	if r := []rune(text); len(r) > long {
		return string(r[:long-1]) + "…"
	}
	return text
}

// moreShafts returns the clubs of the study that are not in the session and are
// of the hand of those that are.
func (s State) moreShafts() []string {
	var list []string
	first := s.Study.Club(s.Bay.Clubs[0])
	for _, c := range s.Study.Clubs {
		if first != nil && c.Hand == first.Hand && !slices.Contains(s.Bay.Clubs, c.ID) {
			list = append(list, c.ID)
		}
	}
	return list
}

// askShaft asks which shaft is swung too from now on.
func (w *Window) askShaft() {
	s := w.store.State()
	if !s.Bay.On() || w.asking() {
		return
	}
	var d dialog.Dialog
	list := container.NewVBox()
	for _, id := range s.moreShafts() {
		list.Add(widget.NewButton(clubLabel(s.Study, id), func() {
			d.Hide()
			w.store.Do(AddShaft{id})
		}))
	}
	if len(list.Objects) == 0 {
		list.Add(newWords("Every shaft of this study for the player’s hand is in the session. A club that the study lacks is brought in with the recording of it hanging unloaded."))
	}
	list.Add(widget.NewButton("Bring in a club…", func() {
		d.Hide()
		w.beginImport(nil)
	}))
	d = dialog.NewCustom("A shaft that is swung too", "None", container.NewVScroll(list), w.win)
	d.Resize(fyne.NewSize(480, 320))
	d.Show()
}
