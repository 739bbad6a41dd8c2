package app

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
	"bendline/sampledata"
)

// A bayWorld is a window whose session looks at its folder when it is told to.
type bayWorld struct {
	*world
	t     *testing.T
	home  string // of captures that are to land
	land  string // the folder that is watched
	file  string // of the study
	later []func()
}

// newBayWorld is a window on a study of the demo's clubs without runs, and the
// captures of one player.
func newBayWorld(t *testing.T) *bayWorld {
	t.Helper()
	d := sampledata.Demo()
	d.Runs = slices.DeleteFunc(d.Runs, func(r sampledata.Run) bool {
		return r.ID != "a-base-1" && r.ID != "a-base-2" && r.ID != "a-proto-1"
	})
	b := &bayWorld{world: newWorld(t), t: t, home: t.TempDir(), land: t.TempDir()}
	if err := d.Write(t.Context(), b.home, nil); err != nil {
		t.Fatal(err)
	}
	st, err := study.Open(filepath.Join(b.home, studyFile))
	if err != nil {
		t.Fatal(err)
	}
	st.Runs = nil
	b.file = filepath.Join(t.TempDir(), studyFile)
	if _, err := st.CopyTo(t.Context(), b.file, nil); err != nil {
		t.Fatal(err)
	}
	b.OpenStudy(b.file)
	b.key(fyne.KeyF7)
	return b
}

// start starts a session from the form, and holds what would run beside the
// window.
func (b *bayWorld) start() {
	b.t.Helper()
	f := b.bay.start
	f.folder.SetText(b.land)
	f.player.SetText(playerLabel(b.state().Study, "a"))
	f.clubs.SetSelected(f.names[:2])
	if f.start.Disabled() {
		b.t.Fatalf("cannot be started: %s", f.why.Text)
	}
	b.around.Go = func(g func()) { b.later = append(b.later, g) }
	b.jobs.around.Go = b.around.Go
	test.Tap(f.start)
	job := b.later[0]
	b.later = nil
	job()
	if !b.state().Bay.On() || b.taking == nil {
		b.t.Fatalf("not started: %+v", b.state().Notice)
	}
	// What is left is the watch, which never ends; a test looks itself.
	b.later = nil
}

// work does what was to run beside the window.
func (b *bayWorld) work() {
	for len(b.later) > 0 {
		g := b.later[0]
		b.later = b.later[1:]
		g()
	}
}

// put lets a capture land, has the session look until it is whole, and draws.
func (b *bayWorld) put(name, run string) {
	b.t.Helper()
	content, err := os.ReadFile(filepath.Join(b.home, run+".csv"))
	if err != nil {
		b.t.Fatal(err)
	}
	b.write(name, content)
}

func (b *bayWorld) write(name string, content []byte) {
	b.t.Helper()
	path := filepath.Join(b.land, name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		b.t.Fatal(err)
	}
	b.taking.look(study.Glance{Begun: []string{path}})
	b.taking.look(study.Glance{Landed: []string{path}})
	if b.taking.early != "" {
		if got := b.state().Bay.Receiving; got != name {
			b.t.Errorf("while %s may be half written, %q is received", name, got)
		}
		b.taking.look(study.Glance{Landed: []string{path}})
	}
	b.work()
}

// saved returns the study on disk.
func (b *bayWorld) saved() *study.Study {
	b.t.Helper()
	st, err := study.Open(b.file)
	if err != nil {
		b.t.Fatal(err)
	}
	return st
}

// A study that has clubs and no run yet does not make the window taller than a
// small display.
func TestStudyWithoutRunsFits(t *testing.T) {
	b := newBayWorld(t)
	for i := range b.screens.buttons {
		test.Tap(b.screens.buttons[i])
		if m := b.win.Content().MinSize(); m.Width > 1280 || m.Height > 690 {
			t.Errorf("screen %d needs %v", i, m)
		}
	}
}

func TestBayStartsFromTheWindow(t *testing.T) {
	b := newBayWorld(t)
	f := b.bay.start
	if !f.root.Visible() || b.bay.live.root.Visible() || !f.start.Disabled() {
		t.Fatal("the bay does not begin where a session starts")
	}
	if !strings.Contains(careText, "local rules") || !strings.Contains(careText, "marker") {
		t.Error("nothing is said of care")
	}
	f.folder.SetText(filepath.Join(b.land, "none"))
	f.player.SetText("A new player")
	f.clubs.SetSelected([]string{f.names[0], f.names[2]})
	if !strings.Contains(f.why.Text, "both hands") {
		t.Errorf("shafts of both hands: %q", f.why.Text)
	}
	f.clubs.SetSelected(f.names[:2])
	test.Tap(f.start)
	if b.state().Bay.On() || !strings.Contains(b.state().Notice.Text, "is no folder") {
		t.Errorf("a folder that is not there: %+v", b.state().Notice)
	}
	if p := b.state().Study.Players; p[len(p)-1].Label != "A new player" {
		t.Errorf("players %+v", p)
	}
	b.start()
	s := b.state()
	if s.Unsaved() || s.Bay.Club != "base" || s.Bay.Player != "a" || !b.bay.live.root.Visible() {
		t.Errorf("%+v", s.Bay)
	}
	if got := b.bay.live.said.text; !strings.HasPrefix(got, "Ready for a swing with Baseline") {
		t.Errorf("says %q", got)
	}
}

// A swing lands, the shaft is changed, another lands; all is saved, shown, and
// the shaft of a swing can be put right and that undone.
func TestBaySession(t *testing.T) {
	b := newBayWorld(t)
	b.start()
	b.put("1.csv", "a-base-1")
	s := b.state()
	if len(s.swings()) != 1 || s.Swing("1") == nil || s.Study.Runs[0].Club != "base" || s.Unsaved() {
		t.Fatalf("runs %+v, unsaved %v, %+v", s.Study.Runs, s.Unsaved(), s.Bay.Said)
	}
	if got := b.saved().Runs; len(got) != 1 || got[0].Player != "a" {
		t.Errorf("saved %+v", got)
	}
	value := func(row, col int) string { return b.bay.live.figures.rows[row][col].text }
	if want := shownValue(study.Measures[0], s.Swing("1").AtImpact.Lead.Value); value(1, 1) != want || value(1, 2) != want {
		t.Errorf("lead %q, mean %q, want %q", value(1, 1), value(1, 2), want)
	}
	if !b.bay.live.shape.lead.Visible() || len(b.bay.live.shape.points) == 0 {
		t.Error("no picture")
	}

	b.key(fyne.Key2)
	if b.state().Bay.Club != "proto" {
		t.Fatalf("on the tee: %q", b.state().Bay.Club)
	}
	b.shortcut(&fyne.ShortcutUndo{})
	if b.state().Bay.Club != "base" {
		t.Error("undo does not change the shaft back")
	}
	b.key(fyne.KeySpace)
	b.work()
	// A file that was begun before the shaft was changed is of the one before.
	content, err := os.ReadFile(filepath.Join(b.home, "a-base-2.csv"))
	if err != nil {
		t.Fatal(err)
	}
	b.key(fyne.Key1)
	path := filepath.Join(b.land, "2.csv")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	b.taking.look(study.Glance{Begun: []string{path}})
	if got := b.bay.live.said.text; got != "Receiving 2.csv." {
		t.Errorf("says %q", got)
	}
	b.key(fyne.Key2)
	b.taking.look(study.Glance{Landed: []string{path}})
	b.work()
	if run := b.state().Study.Run("2"); run.Club != "base" {
		t.Errorf("begun with base, given to %q", run.Club)
	}
	b.put("3.csv", "a-proto-1")
	if run := b.state().Study.Run("3"); run.Club != "proto" || b.state().Unsaved() {
		t.Errorf("%+v", run)
	}
	if head := b.bay.live.figures.rows[0]; len(head) != 5 || head[2].under != "2 swings, mean ± sd" || head[4].text != "difference" {
		t.Errorf("heading %+v", head)
	}
	if got := b.bay.live.words.text; !strings.Contains(got, "no difference is larger than Player A (simulated)’s own spread") {
		t.Errorf("words %q", got)
	}

	// The swing was made with the other shaft.
	b.key(fyne.KeyG)
	if !b.asking() {
		t.Fatal("not asked for the shaft")
	}
	b.escape()
	b.change(GiveSwing{"3", "base"})
	b.work()
	if run := b.state().Study.Run("3"); run.Club != "base" || b.saved().Run("3").Club != "base" || b.state().Waits(2) {
		t.Errorf("%+v, waits %v, saved %+v", run, b.state().Waits(2), b.saved().Run("3"))
	}
	// A capture that lands is not taken back by undoing what was done before.
	b.shortcut(&fyne.ShortcutUndo{})
	b.work()
	if run := b.state().Study.Run("3"); run == nil || run.Club != "proto" || b.saved().Run("3").Club != "proto" {
		t.Errorf("after undo %+v", run)
	}
	b.shortcut(&fyne.ShortcutUndo{})
	b.shortcut(&fyne.ShortcutUndo{})
	b.work()
	if n := len(b.state().swings()); n != 3 {
		t.Errorf("undo took swings back: %d are left", n)
	}

	b.key(fyne.KeyLeft)
	if run, n, _ := b.state().shownSwing(); run.ID != "2" || n != 2 {
		t.Errorf("shown %s, number %d", run.ID, n)
	}
	b.key(fyne.KeyD)
	if b.bay.live.figures.Visible() || !b.bay.live.down.root.Visible() || len(b.bay.live.down.table.rows) != 1+len(study.Release) {
		t.Error("the other page is not shown")
	}
	if got := b.bay.live.down.words.Text; !strings.Contains(got, "ms before impact") || strings.Contains(got, "recommend") {
		t.Errorf("words %q", got)
	}
	b.key(fyne.KeyD)

	b.key(fyne.KeyP)
	b.work()
	if _, err := os.Stat(filepath.Join(filepath.Dir(b.file), "study-a.pdf")); err != nil || !strings.HasPrefix(b.bay.live.said.text, "Written: ") {
		t.Errorf("no sheet: %v; %+v", err, b.state().Notice)
	}
	test.Tap(b.screens.buttons[int(CompareScreen)])
	b.key(fyne.KeyF7)
	b.endBay()
	b.work()
	if b.taking != nil || b.state().Bay.On() || !b.bay.start.root.Visible() || b.bay.start.there.Checked {
		t.Error("the session does not end")
	}
	if len(b.saved().Runs) != 3 {
		t.Errorf("%d runs in the study", len(b.saved().Runs))
	}
}

func TestBayFaults(t *testing.T) {
	b := newBayWorld(t)
	b.start()
	b.write("note.csv", []byte("Dear colleague,\n"))
	if s := b.state(); !s.Bay.Said.Bad || !strings.Contains(b.bay.live.said.text, "note.csv: not a capture") || len(s.swings()) != 0 {
		t.Errorf("says %q", b.bay.live.said.text)
	}
	// Half a swing: no impact. Then the whole of it.
	content, err := os.ReadFile(filepath.Join(b.home, "a-base-1.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(content), "\n")
	b.write("1.csv", []byte(strings.Join(lines[:len(lines)/2], "")))
	if !strings.HasPrefix(b.bay.live.said.text, "No impact: ") || !b.bay.live.faults.Visible() {
		t.Errorf("says %q", b.bay.live.said.text)
	}
	b.put("2.csv", "a-base-2")
	if strings.HasPrefix(b.bay.live.said.text, "No impact") || b.state().Bay.Said.Bad {
		t.Errorf("after a good swing it says %q", b.bay.live.said.text)
	}
	b.key(fyne.KeyN)
	if run, _, _ := b.state().shownSwing(); run.ID != "1" || !strings.HasPrefix(b.bay.live.said.text, "No impact: ") {
		t.Errorf("the fault is not shown again: %s, %q", run.ID, b.bay.live.said.text)
	}
	b.write("1.csv", content)
	if b.bay.live.faults.Visible() || !strings.Contains(b.bay.live.said.text, "1.csv was written again") || b.state().Swing("1") == nil {
		t.Errorf("written again, it says %q", b.bay.live.said.text)
	}
	b.put("copy.csv", "a-base-2")
	if got := b.bay.live.said.text; got != "copy.csv is in the study already, as swing 2." || len(b.state().swings()) != 2 {
		t.Errorf("a copy: %q", got)
	}
	b.taking.look(study.Glance{Away: true, Notice: "study: the folder cannot be read"})
	if !b.state().Bay.Said.Bad {
		t.Error("the folder is away, and nothing is said of it")
	}
	// A study file that another program wrote meanwhile is taken over.
	st := b.saved()
	st.Title = "Retitled by another"
	if err := st.Save(b.file); err != nil {
		t.Fatal(err)
	}
	b.change(Exclude{"2", "slipped"})
	b.work()
	if s := b.state(); s.Study.Title != st.Title || !strings.Contains(s.Bay.Said.Text, "Another program") {
		t.Errorf("title %q, says %q", s.Study.Title, s.Bay.Said.Text)
	}
	b.shortcut(&fyne.ShortcutUndo{})
	b.work()
	if b.state().Study.Run("2").Excluded != "slipped" || b.saved().Run("2").Excluded != "slipped" {
		t.Error("what was here cannot be had back")
	}
}

// After a kill the form is as it was, and captures that landed meanwhile are
// taken in.
func TestBayGoesOn(t *testing.T) {
	b := newBayWorld(t)
	b.start()
	b.put("1.csv", "a-base-1")
	b.key(fyne.Key2)
	b.work()
	again := New(test.NewTempApp(t), Surroundings{
		Later: func(f func()) { f() }, Go: func(f func()) { f() }, Now: func() time.Time { return b.now },
		Preferences: b.around.Preferences, Demo: b.around.Demo, Results: b.around.Results,
	})
	again.Open(nil)
	if again.store.State().Screen != BayScreen {
		t.Error("the bay is not shown, though the program ended in a session")
	}
	f := again.bay.start
	if f.folder.Text != b.land || !f.there.Checked || !slices.Equal(f.chosen(), []string{"base", "proto"}) || f.start.Disabled() {
		t.Errorf("folder %q, %v, clubs %v: %s", f.folder.Text, f.there.Checked, f.chosen(), f.why.Text)
	}
}
