package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bendline/app/study"
)

// TestFilterAndWindowByHand sets the cut-off and the window: every run is
// analysed again, figures say so, undo takes it back, saving keeps it, and
// nonsense is told apart from what can be.
func TestFilterAndWindowByHand(t *testing.T) {
	x := withSmall(t)
	found := x.state().Swing("a-base-1")
	if got := settingsSentence(x.state()); !strings.Contains(got, "chooses it for each run") || !strings.Contains(got, "whole capture") {
		t.Errorf("as found, it says %q", got)
	}
	x.askSettings()
	cutOff, ok := x.win.Canvas().Focused().(*entry)
	if !ok {
		t.Fatal("no field has the keyboard")
	}
	study0 := x.state().Study
	for bad, says := range map[string]string{"high": "write a number", "0": "must lie between", "-60": "must lie between",
		"3": "must lie between", "1e9": "must lie between", "7": "at the rates of these captures", "NaN": "write a number"} {
		cutOff.SetText(bad)
		if err := cutOff.Validate(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", bad, err)
		}
		cutOff.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	}
	if x.state().Study != study0 {
		t.Fatal("nonsense is taken for a cut-off")
	}
	cutOff.SetText("62,5")
	cutOff.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s := x.state()
	if s.Study.Settings.CutOff != 62.5 || !s.Complete() || !s.Unsaved() {
		t.Fatalf("set to %+v; %q", s.Study.Settings, s.Notice.Text)
	}
	if sw := s.Swing("a-base-1"); sw.CutOff != 62.5 || sw.AtImpact == found.AtImpact {
		t.Errorf("the runs are as they were: cut-off %g Hz", sw.CutOff)
	}
	for _, r := range s.Results {
		if r.Swing.CutOff != 62.5 {
			t.Errorf("%s was not analysed again", r.Run.ID)
		}
	}
	x.store.Do(ShowScreen{DataScreen})
	if got := x.data.settings.Text; !strings.Contains(got, "62.5 Hz, set by hand") {
		t.Errorf("the page of data says %q", got)
	}
	x.store.Do(ShowScreen{SwingScreen})
	if got := note(s, 0, x.swing.panes[0].figure); !strings.Contains(got, "; by hand: cut-off 62.5 Hz") {
		t.Errorf("the picture says %q", got)
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if got := x.state().Swing("a-base-1"); got.CutOff != found.CutOff || got.AtImpact != found.AtImpact {
		t.Errorf("undone, the cut-off is %g Hz, want %g", got.CutOff, found.CutOff)
	}
	x.shortcut(redoKey)
	before, after := 0.2, 0.0
	x.change(SetSettings{study.Settings{CutOff: 62.5, Before: &before, After: &after}})
	x.shortcut(saveKey)
	back, err := study.Open(x.state().Study.Path)
	if err != nil || !back.Settings.Equal(x.state().Study.Settings) || back.Settings.After == nil {
		t.Errorf("saved as %+v, %v", back.Settings, err)
	}
	if got := settingsSentence(x.state()); !strings.Contains(got, "Window −200 ms to 0 ms from impact, set by hand.") {
		t.Errorf("the window is told as %q", got)
	}
}
