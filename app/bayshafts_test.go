package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bendline/app/study"
)

// withShafts gives the study more right-handed clubs, copies of the first.
func (b *bayWorld) withShafts(n int) {
	b.change(Edit{func(st *study.Study) bool {
		for i := range n {
			c := st.Clubs[0]
			c.ID, c.Label = fmt.Sprintf("trial-%d", i+1), fmt.Sprintf("Trial shaft %d with a name that is long", i+1)
			st.Clubs = append(st.Clubs, c)
		}
		return true
	}})
}

func TestShaftJoinsASession(t *testing.T) {
	b := newBayWorld(t)
	b.withShafts(1)
	b.win.Canvas().Focus(b.bay.start.player)
	b.start()
	if f := b.win.Canvas().Focused(); f != nil {
		t.Errorf("keys still go to %T", f)
	}
	b.put("1.csv", "a-base-1")
	if got := b.state().moreShafts(); !slices.Equal(got, []string{"trial-1"}) {
		t.Fatalf("offered %v: not those of the other hand, nor those that are in it", got)
	}
	b.key(fyne.KeyA)
	if !b.asking() {
		t.Fatal("not asked for the shaft")
	}
	b.escape()
	b.store.Do(AddShaft{"base-left"})
	b.store.Do(AddShaft{"base"})
	if n := len(b.state().Bay.Clubs); n != 2 {
		t.Fatalf("%d shafts", n)
	}
	b.store.Do(AddShaft{"trial-1"})
	b.work()
	if s := b.state(); s.Bay.Club != "trial-1" || len(b.bay.live.buttons) != 3 || !slices.Contains(b.prefs.Bay.Clubs, "trial-1") {
		t.Errorf("on the tee %q, %d buttons, remembered %v", s.Bay.Club, len(b.bay.live.buttons), b.prefs.Bay.Clubs)
	}
	b.shortcut(&fyne.ShortcutUndo{})
	if s := b.state(); s.Bay.Club != "base" || len(s.Bay.Clubs) != 2 {
		t.Errorf("undone: %v, %q", s.Bay.Clubs, s.Bay.Club)
	}
	b.shortcut(&fyne.ShortcutRedo{})
	b.work()
	b.put("2.csv", "a-base-2")
	if run := b.saved().Run("2"); run == nil || run.Club != "trial-1" {
		t.Fatalf("given to %+v", run)
	}
	b.shortcut(&fyne.ShortcutUndo{})
	if s := b.state(); s.Bay.Club != "base" || !slices.Contains(s.Bay.Clubs, "trial-1") || len(s.swings()) != 2 {
		t.Errorf("undone after a swing: %v, %d swings", s.Bay.Clubs, len(s.swings()))
	}
}

// Steps of a session that has ended do not bring its shafts into the next.
func TestUndoDoesNotReachIntoTheSessionBefore(t *testing.T) {
	s := opened()
	begin := StartBay{Bay{Folder: "bay", Player: "b", Clubs: []string{"proto"}, Club: "proto"}}
	for _, c := range []Command{begin, AddShaft{"base"}, PutOn{"proto"}, EndBay{}, begin, Undo{}, Undo{}, Undo{}} {
		s = c.apply(s)
	}
	if len(s.Bay.Clubs) != 1 || s.Bay.Club != "proto" {
		t.Errorf("%v, %q", s.Bay.Clubs, s.Bay.Club)
	}
}

func TestNineShaftsHaveRoom(t *testing.T) {
	b := newBayWorld(t)
	b.withShafts(9)
	b.start()
	b.win.Resize(fyne.NewSize(1280, 720))
	for i := range 9 {
		b.store.Do(AddShaft{fmt.Sprintf("trial-%d", i+1)})
	}
	live := b.bay.live
	if s := b.state(); len(s.Bay.Clubs) != mostShafts || !s.Bay.Said.Bad || !strings.Contains(s.Bay.Said.Text, "at most 9") {
		t.Errorf("%d shafts, %+v", len(s.Bay.Clubs), s.Bay.Said)
	}
	if room := live.tools.Position().X; live.shafts.MinSize().Width > room {
		t.Errorf("the shafts' buttons need %v of %v", live.shafts.MinSize().Width, room)
	}
	if got := live.buttons[8].Text; !strings.HasPrefix(got, "9  Tri") {
		t.Errorf("the last is called %q", got)
	}
}
