package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// TestCopyValues copies the values at an instant and at impact.
func TestCopyValues(t *testing.T) {
	x := withSmall(t)
	x.store.Do(Jump{Impact})
	x.shortcut(&fyne.ShortcutCopy{})
	lines := strings.Split(strings.TrimSuffix(x.app.Clipboard().Content(), "\n"), "\n")
	if len(lines) != 3 || !strings.HasPrefix(lines[0], "run\tms from impact\tLead, mm\tu95\tDroop, mm\tu95") {
		t.Fatalf("copied %q", lines)
	}
	r := x.state().Results[0]
	lead := r.Swing.AtImpact.Lead
	if cells := strings.Split(lines[1], "\t"); len(cells) != 16 || cells[0] != "a-base-1" || cells[1] != "0.0" ||
		cells[2] != decimal(lead.Value*1e3, 1) || cells[3] != decimal(lead.U95*1e3, 1) {
		t.Errorf("the line of the first run is %q, want lead %v", cells, lead)
	}
	x.store.Do(Jump{PeakLag})
	x.shortcut(&fyne.ShortcutCopy{})
	cells := strings.Split(strings.Split(x.app.Clipboard().Content(), "\n")[1], "\t")
	if want := "-" + decimal(-r.Swing.PeakLag.Value*1e3, 1); cells[2] != want {
		t.Errorf("at peak lag the lead is %q, want %q", cells[2], want)
	}
	x.store.Do(ShowScreen{DataScreen})
	before := x.app.Clipboard().Content()
	x.shortcut(&fyne.ShortcutCopy{})
	if x.app.Clipboard().Content() != before {
		t.Error("values are copied on a page that does not show them")
	}
}
