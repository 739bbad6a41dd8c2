package app

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func TestFailedRunShowsItsSentence(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowRun{"b-proto-2", true})
	x.store.Do(SelectRun{"b-proto-2"})
	const want = "marker \"S03\" was never seen; check its name."
	if got := x.swing.panes[2].words.Text; !strings.Contains(got, want) {
		t.Errorf("the pane says %q", got)
	}
	if got := x.runs.detail.text.Text; !strings.Contains(got, want) {
		t.Errorf("the details say %q", got)
	}
	x.store.Do(SelectRun{"b-base-2"})
	if got := x.runs.detail.text.Text; !strings.Contains(got, "S07 was not seen for 12 ms.") {
		t.Errorf("the details of a flagged run say %q", got)
	}
}

func TestListTicksAndSelects(t *testing.T) {
	x := withPlain(t)
	row := newRunRow(x.Window, x.runs.list)
	row.present(x.state(), 0)
	if row.show.Checked || row.name.Text != "a-base-1" || row.status.Text != "analysed" {
		t.Errorf("row 0: ticked %v, %q, %q", row.show.Checked, row.name.Text, row.status.Text)
	}
	test.Tap(row.show)
	if !slices.Contains(x.state().Panes, "a-base-1") {
		t.Error("a tick does not show the run")
	}
	x.runs.list.Select(3)
	if x.state().Selected != "b-proto-1" {
		t.Errorf("selected is %q", x.state().Selected)
	}
	x.runs.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if !near(x.state().Time, 0.01) {
		t.Error("the list keeps the arrow keys to itself")
	}
	x.runs.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	if x.state().Selected != x.state().Study.Runs[2].ID {
		t.Errorf("up chooses %q", x.state().Selected)
	}
	x.runs.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyPageDown})
	if last := x.state().Study.Runs[len(x.state().Study.Runs)-1].ID; x.state().Selected != last {
		t.Errorf("a page down chooses %q, want the last, %q", x.state().Selected, last)
	}
	x.key(fyne.KeyPageUp) // the same without the list having the keyboard
	if x.state().Selected != "a-base-1" {
		t.Errorf("a page up chooses %q", x.state().Selected)
	}
}

// TestListTakesSeveral clicks with the control key and with shift.
func TestListTakesSeveral(t *testing.T) {
	x := withPlain(t)
	var held fyne.KeyModifier
	x.runs.list.held = func() fyne.KeyModifier { return held }
	ids := func(from, to int) (list []string) {
		for _, r := range x.state().Study.Runs[from : to+1] {
			list = append(list, r.ID)
		}
		return list
	}
	click := func(i int, with fyne.KeyModifier) {
		held = with
		row := newRunRow(x.Window, x.runs.list)
		row.present(x.state(), i)
		test.Tap(row)
	}
	for _, id := range slices.Clone(x.state().Panes) {
		x.store.Do(ShowRun{id, false})
	}
	click(1, 0)
	if x.state().Selected != ids(1, 1)[0] || len(x.state().Panes) != 0 {
		t.Errorf("a click chooses %q and shows %v", x.state().Selected, x.state().Panes)
	}
	click(3, fyne.KeyModifierShift)
	if got, want := x.state().Panes, ids(1, 3); !slices.Equal(got, want) {
		t.Errorf("with shift %v are shown, want %v", got, want)
	}
	click(2, fyne.KeyModifierShortcutDefault)
	if got, want := x.state().Panes, []string{ids(1, 1)[0], ids(3, 3)[0]}; !slices.Equal(got, want) {
		t.Errorf("with control %v are shown, want %v", got, want)
	}
	click(2, fyne.KeyModifierShortcutDefault)
	if !x.state().isPane(ids(2, 2)[0]) {
		t.Error("with control a second click does not show it again")
	}
}
