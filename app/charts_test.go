package app

import (
	"math"
	"sort"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// TestCharts shows every content in every grouping and alignment, and plays
// along.
func TestCharts(t *testing.T) {
	x := withSmall(t)
	for i, c := range contents {
		x.swing.charts.list[0].pick.SetSelectedIndex(i)
		if x.state().Charts[0] != c.key {
			t.Fatalf("picked %s, shown %s", c.key, x.state().Charts[0])
		}
		for g := range groupingNames {
			x.store.Do(SetGrouping{Grouping(g)})
			for _, a := range []Align{AlignTop, AlignImpact} {
				x.store.Do(SetAlign{a})
				x.store.Do(Step{-3})
			}
		}
		x.win.Canvas().Capture()
		x.store.Do(SetGrouping{EachRun})
	}
	if x.win.Canvas().Focused() != nil {
		t.Error("a pick keeps the keyboard")
	}
}

func TestProfilesAreThoseOfTheSwing(t *testing.T) {
	x := withSmall(t)
	sw := x.state().Swing("a-base-1")
	m := mapOf(x.state(), 1)
	last := len(m.X) - 1
	if len(m.Y) != len(sw.Bend.Station) || !within(m.X[0], (sw.Time(0)-sw.Impact.Value)*milli, 1e-6) || m.X[last] <= 0 {
		t.Errorf("the map goes from %v to %v ms over %d stations", m.X[0], m.X[last], len(m.Y))
	}
	if m.Limit < 0.05 || m.Limit > 1 {
		t.Errorf("the largest curvature is %v a metre", m.Limit)
	}
	stride := int(math.Round((m.X[1] - m.X[0]) / milli * sw.Rate))
	if got, want := m.Z[7][3], sw.ProfileAt(7 * stride).DroopCurvature.Value[3]; got != want && !(got != got && want != want) {
		t.Errorf("a value of the map is %v, want %v", got, want)
	}
	if got := contactNote(x.state().Results[0]); !strings.Contains(got, "ms that all runs together show") {
		t.Errorf("of the contact it says %q", got)
	}
}

func TestMeansAreOfRunsThatCount(t *testing.T) {
	x := withPlain(t)
	x.key(fyne.KeyC)
	if x.state().Grouping != ByClub {
		t.Fatal("C does not change what curves are of")
	}
	labels := func() string {
		var list []string
		for _, c := range means(x.state(), contents[0].measure) {
			list = append(list, c.Label)
		}
		return strings.Join(list, "; ")
	}
	if got := labels(); got != "Base; Proto" {
		t.Errorf("means are of %q", got)
	}
	x.key(fyne.KeyC)
	if got := labels(); got != "A, Base; B, Base; B, Proto" {
		t.Errorf("means by player are of %q", got)
	}
	x.store.Do(Exclude{"a-base-1", "slipped"})
	if got := labels(); got != "B, Base; B, Proto" {
		t.Errorf("with a run left out they are of %q", got)
	}
}

// TestLarge lets a pane fill the window and comes back.
func TestLarge(t *testing.T) {
	x := withPlain(t)
	for _, id := range []string{"a-base-1", "b-base-2"} {
		x.store.Do(ShowRun{id, true})
	}
	x.win.Canvas().Capture()
	small := x.swing.panes[1].root.Size()
	test.Tap(x.swing.panes[1].large)
	if x.state().Large != "b-proto-1" || x.runs.root.Visible() || len(x.swing.row.Objects) != 1 {
		t.Fatalf("large is %q with %d panes", x.state().Large, len(x.swing.row.Objects))
	}
	if got := x.swing.panes[1].root.Size(); got.Width < 3*small.Width || got.Height < small.Height {
		t.Errorf("large it is %v, before %v", got, small)
	}
	x.key(fyne.KeyEscape)
	if x.state().Large != "" || !x.runs.root.Visible() || len(x.swing.row.Objects) != 4 || !x.swing.charts.root.Visible() {
		t.Error("escape does not put all back")
	}
	x.store.Do(SelectRun{"a-base-1"})
	x.key(fyne.KeyF)
	if x.state().Large != "a-base-1" {
		t.Errorf("F enlarges %q", x.state().Large)
	}
	x.store.Do(ShowRun{"a-base-1", false})
	if x.state().Large != "" {
		t.Error("a run that was taken away stays large")
	}
}

func TestPaneGrid(t *testing.T) {
	for _, c := range []struct {
		n             int
		width, height float32
		want          int
	}{{1, 1000, 300, 1}, {4, 1000, 270, 4}, {6, 1000, 270, 6}, {4, 1000, 600, 2}, {6, 1500, 800, 3}, {2, 500, 1000, 1}} {
		if got := (paneGrid{}).columns(c.n, fyne.NewSize(c.width, c.height)); got != c.want {
			t.Errorf("%d panes in %v by %v: %d columns, want %d", c.n, c.width, c.height, got, c.want)
		}
	}
}

// TestLeaderIsTheSelectedRun checks whose events count.
func TestLeaderIsTheSelectedRun(t *testing.T) {
	x := withPlain(t)
	if got := x.state().Leader(); got != "b-base-1" {
		t.Errorf("at first the leader is %q", got)
	}
	x.store.Do(SelectRun{"b-proto-1"})
	if got := x.state().Leader(); got != "b-proto-1" {
		t.Errorf("selected, the leader is %q", got)
	}
	x.store.Do(SelectRun{"a-base-1"}) // not side by side
	if got := x.state().Leader(); got != "b-base-1" {
		t.Errorf("with another selected the leader is %q", got)
	}
}

func TestTour(t *testing.T) {
	x := withPlain(t)
	x.takeTour()
	for i, step := range tour {
		if !x.tour.root.Visible() || x.state().Screen != step.screen || !strings.Contains(x.tour.text.Text, step.text) {
			t.Errorf("step %d: screen %v, %q", i+1, x.state().Screen, x.tour.text.Text)
		}
		if m := x.win.Content().MinSize(); m.Width > 1280 || m.Height > 690 {
			t.Errorf("step %d needs %v", i+1, m)
		}
		test.Tap(x.tour.next)
	}
	if x.tour.root.Visible() || x.state().Tour != 0 {
		t.Error("the tour does not end")
	}
	if p, err := ReadPreferences(x.around.Preferences); err != nil || !p.Toured {
		t.Errorf("preferences hold %+v, %v", p, err)
	}
}

// TestDialogsFit keeps the list of keys, and other dialogs, within 1280 × 720.
func TestDialogsFit(t *testing.T) {
	x := withSmall(t)
	for name, ask := range map[string]func(){
		"keys": x.showKeys, "events": func() { x.askEvents("a-base-1") }, "labels": func() { x.askLabels("a-base-1") },
		"save as": x.askSaveAs, "new": x.askNew, "export": x.askExport, "house": x.askHouse, "open": x.askStudy,
	} {
		ask()
		top := x.win.Canvas().Overlays().Top()
		if top == nil {
			t.Errorf("%s: nothing is asked", name)
			continue
		}
		if m := top.MinSize(); m.Width > 1280 || m.Height > 690 {
			t.Errorf("%s needs %v", name, m)
		}
		x.escape()
	}
}

func TestTablesAreCopied(t *testing.T) {
	x := withPlain(t)
	x.store.Do(ShowScreen{CompareScreen})
	x.compare.runs.SetHeader("a")
	test.Tap(copyButton(t, x.copyable("T", x.compare.runs)))
	if got := x.app.Clipboard().Content(); !strings.HasPrefix(got, "a\n") {
		t.Errorf("the clipboard holds %q", got)
	}
}

// copyButton returns the button beside a table's heading.
func copyButton(t *testing.T, o fyne.CanvasObject) fyne.Tappable {
	t.Helper()
	for _, c := range o.(*fyne.Container).Objects {
		if b, ok := c.(fyne.Tappable); ok {
			return b
		}
	}
	t.Fatal("no button")
	return nil
}

// TestCurvesEndAtImpact checks that the read-out at impact is the value of the
// tables, whatever the frames after it hold.
func TestCurvesEndAtImpact(t *testing.T) {
	x := withSmall(t)
	for _, a := range []Align{AlignImpact, AlignTop} {
		x.store.Do(SetAlign{a})
		for i, c := range courses(x.state(), x.swing.charts.list[0].swings, contents[0].measure) {
			sw := x.state().Swing(x.state().Panes[i])
			origin, _ := x.state().event(sw)
			at := (sw.Impact.Value - origin) * milli
			k := sort.SearchFloat64s(c.X, at)
			if want := sw.AtImpact.Lead.Value * 1e3; c.X[k] != at || c.Y[k] != want || !math.IsNaN(c.Y[k+1]) {
				t.Errorf("at impact the curve has %v, then %v; want %v and a gap", c.Y[k], c.Y[k+1], want)
			}
			if len(c.X) != sw.Frames()+2 {
				t.Errorf("%d points for %d frames", len(c.X), sw.Frames())
			}
		}
	}
}
