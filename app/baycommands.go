package app

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// bayKey does what a key does on the live page.
func (w *Window) bayKey(s State, key fyne.KeyName) {
	switch key {
	case fyne.KeyLeft:
		w.store.Do(LookAt{-1})
	case fyne.KeyRight:
		w.store.Do(LookAt{1})
	case fyne.KeySpace:
		i := slices.Index(s.Bay.Clubs, s.Bay.Club)
		w.putOn(s.Bay.Clubs[(i+1)%len(s.Bay.Clubs)])
	case fyne.KeyA:
		w.askShaft()
	case fyne.KeyG:
		w.askGive()
	case fyne.KeyX:
		w.leaveSwingOut()
	case fyne.KeyN:
		w.nextFault()
	case fyne.KeyP:
		w.handOver()
	case fyne.KeyD:
		w.store.Do(ShowBayPage{(s.Bay.Page + 1) % len(bayPages)})
	case fyne.KeyR:
		w.store.Do(HoldAgainst{s.Bay.Club})
	default:
		if i := int(key[0]) - '1'; len(key) == 1 && i >= 0 && i < len(s.Bay.Clubs) {
			w.putOn(s.Bay.Clubs[i])
		}
	}
}

// putOn changes the shaft on the tee.
func (w *Window) putOn(club string) {
	w.store.Do(PutOn{club})
}

// nextFault shows the last swing that had a fault, and then those before it.
func (w *Window) nextFault() {
	s := w.store.State()
	list := w.bay.live.faulty(s)
	if len(list) == 0 {
		return
	}
	i := slices.Index(list, s.Bay.Shown)
	if i <= 0 {
		i = len(list)
	}
	w.store.Do(lookAtRun{list[i-1]})
}

// lookAtRun shows a swing.
type lookAtRun struct{ run string }

func (c lookAtRun) apply(s State) State { return s.look(c.run) }

// askGive asks with which shaft the swing that is looked at was made.
func (w *Window) askGive() {
	s := w.store.State()
	run, number, ok := s.shownSwing()
	if !ok || w.asking() {
		return
	}
	var d dialog.Dialog
	list := container.NewVBox()
	fits := run.SpacedAs()
	for _, id := range s.Bay.Clubs {
		if id == run.Club {
			continue
		}
		text := clubLabel(s.Study, id)
		if id == fits {
			text += "  (its markers are spaced so)"
		}
		b := widget.NewButton(text, func() {
			d.Hide()
			w.change(GiveSwing{run.ID, id})
		})
		if id == fits {
			b.Importance = widget.HighImportance
		}
		list.Add(b)
	}
	if slices.Contains(s.moreShafts(), fits) {
		b := widget.NewButton(clubLabel(s.Study, fits)+"  (its markers are spaced so; joins the session)", func() {
			d.Hide()
			w.store.Do(AddShaft{fits})
			w.change(GiveSwing{run.ID, fits})
		})
		b.Importance = widget.HighImportance
		list.Add(b)
	}
	d = dialog.NewCustom(fmt.Sprintf("Swing %d, %s, was made with", number, run.ID), "Leave it with "+clubLabel(s.Study, run.Club), list, w.win)
	d.Resize(fyne.NewSize(480, 200))
	d.Show()
}

// leaveSwingOut leaves the swing that is looked at out, or takes it in again.
func (w *Window) leaveSwingOut() {
	run, _, ok := w.store.State().shownSwing()
	switch {
	case !ok:
	case run.Excluded != "":
		w.change(Exclude{Run: run.ID})
	default:
		w.askReason(run.ID)
	}
}

// handOver writes the sheet of the session's player beside the study.
func (w *Window) handOver() {
	s := w.store.State()
	ids, _ := s.sheetPlayers()
	switch {
	case !slices.Contains(ids, s.Bay.Player):
		w.store.Do(BaySays{Notice{"The sheet needs a swing that counts.", true}})
	case !s.Complete() || !s.Job.givesWay():
		w.store.Do(BaySays{Notice{"The sheet needs every result: wait until the work is done, and ask again.", true}})
	default:
		e := playerSheet(s.Bay.Player)
		w.export(e, e.path(s.Study))
	}
}
