package app

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
	"bendline/sampledata"
	"bendline/widgets"
)

// world is a window with a clock turned by hand and jobs that run in place, or
// wait in a queue.
type world struct {
	*Window
	now    time.Time
	hold   bool
	queued []func()
	dir    string
}

func newWorld(t testing.TB) *world {
	t.Helper()
	x := &world{now: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC), dir: t.TempDir()}
	x.Window = New(test.NewTempApp(t), Surroundings{
		Later: func(f func()) { f() },
		Go: func(f func()) {
			if x.hold {
				x.queued = append(x.queued, f)
				return
			}
			f()
		},
		Now:         func() time.Time { return x.now },
		Preferences: filepath.Join(x.dir, "preferences.json"),
		Demo:        filepath.Join(x.dir, "demo"),
		Results:     filepath.Join(x.dir, "results"),
	})
	x.win.Resize(fyne.NewSize(1280, 720))
	return x
}

// withPlain opens the plain study with its results.
func withPlain(t *testing.T) *world {
	x := newWorld(t)
	st := plainStudy()
	st.Path = filepath.Join(x.dir, "study.json")
	x.store.Do(Opened{st})
	x.store.Do(Analysed{plainResults(st)})
	return x
}

func (x *world) key(name fyne.KeyName) { x.win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: name}) }

func (x *world) shortcut(s fyne.Shortcut) {
	x.win.Canvas().(interface{ TypedShortcut(fyne.Shortcut) }).TypedShortcut(s)
}

func (x *world) state() State { return x.store.State() }

// smallStudy writes a simulated study of two swings and returns its file.
func smallStudy(t testing.TB) string {
	t.Helper()
	s := sampledata.Demo()
	s.Runs = slices.DeleteFunc(s.Runs, func(r sampledata.Run) bool { return r.ID != "a-base-1" && r.ID != "a-proto-1" })
	dir := t.TempDir()
	if err := s.Write(context.Background(), dir, nil); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, studyFile)
}

func TestWelcomePage(t *testing.T) {
	x := newWorld(t)
	if !x.welcome.root.Visible() || x.main.Visible() {
		t.Fatal("the window does not begin at the welcome page")
	}
	x.Open(nil)
	if x.state().Study != nil {
		t.Error("opened a study that was never there")
	}
	x.welcome.form.path.SetText(filepath.Join(x.dir, "none"))
	x.welcome.form.path.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if n := x.state().Notice; !n.Bad || !strings.Contains(x.status.notice.Text, "check the path") {
		t.Errorf("a path that leads nowhere gives the notice %q", x.status.notice.Text)
	}
	capture := filepath.Join(x.dir, "p1.csv")
	if err := os.WriteFile(capture, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	x.Open([]string{capture})
	if !x.state().Bringing {
		t.Errorf("a capture alone is not brought in: %q", x.status.notice.Text)
	}
	x.key(fyne.KeySpace) // nothing to play, and nothing to fail
}

// TestSmallStudy goes the whole way: open, analyse, draw, move, export, and open
// again at the next start.
func TestSmallStudy(t *testing.T) {
	file := smallStudy(t)
	x := newWorld(t)
	x.welcome.form.path.SetText(filepath.Dir(file))
	x.welcome.form.path.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s := x.state()
	if !s.Complete() || s.Swing("a-base-1") == nil || s.Swing("a-proto-1") == nil {
		t.Fatalf("not analysed: %q; %q", x.status.notice.Text, x.runs.detail.text.Text)
	}
	if s.Job != (Job{}) || x.status.work.Visible() {
		t.Errorf("work goes on: %+v", s.Job)
	}
	for i, id := range s.Panes {
		p := x.swing.panes[i]
		want, _ := s.FrameOf(s.Swing(id))
		if p.figure == nil || p.drawn.frame != want || p.words.Text != "" {
			t.Errorf("pane %d shows frame %d and %q, want frame %d at impact", i, p.drawn.frame, p.words.Text, want)
		}
	}
	// The exaggerated tip is where lead and droop say, times the factor.
	sw := s.Swing("a-base-1")
	f, i := x.swing.panes[0].figure, sw.FrameAt(sw.Impact.Value)-1
	tip := f.tip(i).Origin
	if got := tip.X / s.Exaggeration; !within(got, sw.Lead.Value[i], 1e-6) {
		t.Errorf("drawn lead is %v m, want %v", got, sw.Lead.Value[i])
	}
	if got := -tip.Y / s.Exaggeration; !within(got, sw.Droop.Value[i], 1e-6) {
		t.Errorf("drawn droop is %v m, want %v", got, sw.Droop.Value[i])
	}
	x.swing.bar.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	if got := x.swing.panes[0].drawn.frame; got >= sw.FrameAt(sw.Impact.Value) {
		t.Errorf("the bar moved back, and pane 0 shows frame %d", got)
	}

	x.askExport()
	out := filepath.Join(x.dir, "out", "slides.pdf")
	x.win.Canvas().Overlays().Top().Hide()
	x.export(exports[0], out)
	if !x.state().Notice.Bad {
		t.Error("slides went to a folder that is not there")
	}
	out = filepath.Join(x.dir, "slides.pdf")
	x.export(exports[0], out)
	if info, err := os.Stat(out); err != nil || info.Size() == 0 {
		t.Errorf("no slides: %v; %q", err, x.state().Notice.Text)
	}

	again := newWorld(t)
	prefs, err := ReadPreferences(x.around.Preferences)
	if err != nil || prefs.LastStudy != file {
		t.Fatalf("last study is %q, %v", prefs.LastStudy, err)
	}
	again.prefs = prefs
	again.hold = true
	again.Open(nil)
	if len(again.queued) != 1 || again.state().Job.Title != "Opening" {
		t.Errorf("the last study is not opened: %+v", again.state().Job)
	}
}

func TestButtons(t *testing.T) {
	x := withPlain(t)
	for i := range viewNames {
		test.Tap(x.swing.views.buttons[i])
		if x.state().View != View(i) || x.swing.views.down != i {
			t.Errorf("view %d: state %v, button %d", i, x.state().View, x.swing.views.down)
		}
	}
	for i, f := range exaggerations {
		if x.swing.factors.SetSelectedIndex(i); x.state().Exaggeration != f {
			t.Errorf("exaggeration is %v, want %v", x.state().Exaggeration, f)
		}
	}
	for i, f := range slownesses {
		if x.swing.speeds.SetSelectedIndex(i); x.state().Slowness != f {
			t.Errorf("slowness is %v, want %v", x.state().Slowness, f)
		}
	}
	for i, root := range []fyne.CanvasObject{x.swing.root, x.compare.root, x.data.root} {
		if test.Tap(x.screens.buttons[i]); !root.Visible() {
			t.Errorf("screen %s is not shown", screenNames[i])
		}
	}
	if x.swing.root.Visible() {
		t.Error("two screens at once")
	}
}

func TestTimeMovesEverything(t *testing.T) {
	x := withPlain(t)
	x.swing.charts.list[0].plot.OnCursor(-100)
	if !near(x.state().Time, -0.1) || !near(x.swing.bar.Time(), -0.1) {
		t.Errorf("the cursor at -100 ms: state %v s, bar %v s", x.state().Time, x.swing.bar.Time())
	}
	x.swing.bar.OnScrub(0.05)
	for i, c := range x.swing.charts.list {
		p := c.plot
		if !near(p.Cursor(), 50) {
			t.Errorf("the bar at 50 ms, and the cursor of plot %d at %v", i, p.Cursor())
		}
	}
	if got := x.swing.panes[1].drawn.frame; got != 85 {
		t.Errorf("the bar at 50 ms, and pane 1 at frame %d, want 85", got)
	}
}

func TestCurvesZoomTogether(t *testing.T) {
	x := withPlain(t)
	var plots []*widgets.Plot
	for _, c := range x.swing.charts.list {
		plots = append(plots, c.plot)
	}
	span := func(i int) [2]float64 {
		from, to := plots[i].Range()
		return [2]float64{math.Round(from), math.Round(to)}
	}
	if got := span(2); got != [2]float64{-720, 12} {
		t.Errorf("at first the curves show %v ms, want the downswing", got)
	}
	plots[0].OnRange(-300, -100)
	if got := span(2); got != [2]float64{-300, -100} {
		t.Errorf("one curve shows -300 to -100 ms, another %v", got)
	}
	plots[1].DoubleTapped(nil)
	if got := span(0); got != [2]float64{-800, 190} || x.swing.zooms.down != 1 {
		t.Errorf("a double tap on a curve shows %v ms of another, want all", got)
	}
	x.swing.zooms.SetSelectedIndex(0)
	if got := span(1); got != [2]float64{-720, 12} {
		t.Errorf("back to the downswing: %v ms", got)
	}
}

func TestKeys(t *testing.T) {
	x := withPlain(t)
	x.key(fyne.KeyRight)
	x.key(fyne.KeyRight)
	x.key(fyne.KeyLeft)
	if !near(x.state().Time, 0.01) {
		t.Errorf("two on, one back: %v s, want 0.01", x.state().Time)
	}
	x.key(fyne.KeyHome)
	if !near(x.state().Time, -0.8) {
		t.Errorf("home: %v s, want -0.8", x.state().Time)
	}
	x.key(fyne.KeyEnd)
	if !near(x.state().Time, 0.19) {
		t.Errorf("end: %v s, want 0.19", x.state().Time)
	}
	x.key(fyne.Key3)
	if x.state().View != AlongShaft {
		t.Errorf("3 gives view %v", x.state().View)
	}
	x.key(fyne.KeyT)
	x.key(fyne.KeySpace)
	if !x.state().Playing || x.swing.play.Text != "Pause" {
		t.Error("space does not play")
	}
	x.now = x.now.Add(time.Second)
	x.playing.Tick(0)
	if !near(x.state().Time, -0.6+1/25.0) {
		t.Errorf("after a second at 1/25: %v s, want -0.56", x.state().Time)
	}
	x.key(fyne.KeySpace)
	if x.state().Playing {
		t.Error("space does not pause")
	}
	x.key(fyne.KeyF1)
	if x.win.Canvas().Overlays().Top() == nil {
		t.Fatal("F1 shows nothing")
	}
	x.key(fyne.KeySpace)
	if x.state().Playing {
		t.Error("plays under a dialog")
	}
	x.key(fyne.KeyEscape)
	if x.win.Canvas().Overlays().Top() != nil {
		t.Error("escape does not close the keys")
	}
}

func TestExcludeUndoSaveLeave(t *testing.T) {
	file := smallStudy(t)
	x := newWorld(t)
	x.hold = true // no need to analyse
	st, err := study.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	x.store.Do(Opened{st})
	test.Tap(x.runs.detail.exclude)
	test.Type(x.win.Canvas().Focused(), "slipped")
	x.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := x.state().Study.Runs[0].Excluded; got != "slipped" || !x.state().Unsaved() {
		t.Fatalf("left out with the reason %q", got)
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if x.state().Unsaved() {
		t.Error("undo does not take it back")
	}
	x.shortcut(&desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift})
	if !x.state().Unsaved() || x.save.Disabled() {
		t.Error("redo does not make it again")
	}
	left := false
	x.leaving(func() { left = true })
	if left || x.win.Canvas().Overlays().Top() == nil {
		t.Error("leaves without a word about what is not saved")
	}
	x.hold = false
	x.shortcut(saveKey)
	back, err := study.Open(file)
	if err != nil || back.Runs[0].Excluded != "slipped" {
		t.Errorf("saved as %q, %v", back.Runs[0].Excluded, err)
	}
	if x.leaving(func() { left = true }); !left {
		t.Error("asks although all is saved")
	}
}

func TestCancelledWorkIsDropped(t *testing.T) {
	x := newWorld(t)
	x.hold = true
	x.OpenStudy(smallStudy(t))
	if x.state().Job.Title != "Opening" || !x.status.work.Visible() {
		t.Fatalf("work is %+v", x.state().Job)
	}
	x.jobs.stop()
	x.queued[0]()
	if x.state().Study != nil || x.state().Job != (Job{}) || !strings.HasPrefix(x.state().Notice.Text, "Stopped") {
		t.Errorf("after cancelling: study %v, %+v, %q", x.state().Study, x.state().Job, x.state().Notice.Text)
	}
}

func TestLookIsRemembered(t *testing.T) {
	x := newWorld(t)
	x.setLook(DarkLook)
	if p, err := ReadPreferences(x.around.Preferences); err != nil || p.Look != DarkLook {
		t.Errorf("preferences hold %q, %v", p.Look, err)
	}
	if !x.menu.looks[DarkLook].Checked || x.menu.looks[SystemLook].Checked {
		t.Error("the menu does not tick the look in use")
	}
}

func within(a, b, tolerance float64) bool { return a-b <= tolerance && b-a <= tolerance }

func TestEscapeInAnEntryClosesItsDialog(t *testing.T) {
	x := withPlain(t)
	x.shortcut(openKey)
	focused := x.win.Canvas().Focused()
	test.Type(focused, "/studies")
	x.shortcut(exportKey) // a dialog is open already
	if x.win.Canvas().Focused() != focused {
		t.Error("a second dialog opens over the first")
	}
	focused.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if x.asking() {
		t.Error("escape leaves the dialog open")
	}
}
