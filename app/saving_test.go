package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bendline/app/study"
)

// TestLostChangesAreOffered leaves changes unsaved, as a killed program does.
func TestLostChangesAreOffered(t *testing.T) {
	file := smallStudy(t)
	st, err := study.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	st.Runs[1].Excluded = "slipped"
	if err := st.Autosave(); err != nil {
		t.Fatal(err)
	}
	for _, take := range []bool{true, false} {
		x := newWorld(t)
		x.OpenStudy(file)
		text := "Give them up"
		if take {
			text = "Take them back"
		}
		test.Tap(x.button(t, text))
		if got := x.state().Study.Runs[1].Excluded == "slipped"; got != take || x.state().Unsaved() != take || !x.state().Complete() {
			t.Errorf("take %v: left out %v, unsaved %v", take, got, x.state().Unsaved())
		}
		if take {
			x.shortcut(&fyne.ShortcutUndo{})
			if x.state().Study.Runs[1].Excluded != "" {
				t.Error("what was taken back cannot be undone")
			}
			x.shortcut(redoKey)
		}
		left, _, err := study.Recover(file)
		if err != nil || (left != nil) != take {
			t.Errorf("take %v: beside the file there is %v, %v", take, left, err)
		}
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(file), ".study.json.unsaved"), []byte("half"), 0o644); err != nil {
		t.Fatal(err)
	}
	x := newWorld(t)
	x.hold = false
	x.OpenStudy(file)
	if x.asking() || !x.state().Complete() {
		t.Errorf("a damaged file stands in the way: %q", x.state().Notice.Text)
	}
}

// TestReopenedFromKeptResults opens twice with the same keep; then a capture
// changes.
func TestReopenedFromKeptResults(t *testing.T) {
	file := smallStudy(t)
	x := newWorld(t)
	x.OpenStudy(file)
	again := newWorld(t)
	again.keep = x.keep
	again.OpenStudy(file)
	for _, id := range []string{"a-base-1", "a-proto-1"} {
		a, b := x.state().Swing(id), again.state().Swing(id)
		if b == nil || a.AtImpact != b.AtImpact || a.Impact != b.Impact {
			t.Errorf("%s comes back otherwise", id)
		}
	}
	capture := filepath.Join(filepath.Dir(file), again.state().Study.Runs[0].File)
	b, err := os.ReadFile(capture)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(b), "\n")
	if err := os.WriteFile(capture, []byte(strings.Join(lines[:len(lines)-20], "")), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(capture, time.Time{}, time.Unix(1e9, 0)); err != nil {
		t.Fatal(err)
	}
	again.checkCaptures()
	if n := again.state().Notice; !n.Bad || !strings.Contains(n.Text, "a-base-1 were changed") {
		t.Errorf("a changed capture gives the notice %q", n.Text)
	}
	frames := again.state().Results[0].Capture.Frames
	again.analyze()
	if got := again.state().Results[0]; got.Capture.Frames >= frames || !got.Changed {
		t.Errorf("analysed again it has %d frames of %d, changed %v", got.Capture.Frames, frames, got.Changed)
	}
	if n := again.state().Notice; !strings.Contains(n.Text, "Changed since") {
		t.Errorf("the notice is %q", n.Text)
	}
}

func TestNewAndSaveAs(t *testing.T) {
	x := withSmall(t)
	x.change(Exclude{"a-proto-1", "slipped"})
	path := filepath.Join(x.dir, "elsewhere", "other.json")
	x.saveAs(path)
	s := x.state()
	if s.Study.Path != path || s.Unsaved() || !s.Complete() {
		t.Fatalf("kept at %s, unsaved %v: %q", s.Study.Path, s.Unsaved(), s.Notice.Text)
	}
	back, err := study.Open(path)
	if err != nil || back.Run("a-proto-1").Excluded != "slipped" {
		t.Errorf("the copy: %v", err)
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if got := x.state().Study; got.Path != path || got.Run("a-proto-1").Excluded != "" {
		t.Errorf("undone after moving: %s, %q", got.Path, got.Run("a-proto-1").Excluded)
	}
	x.shortcut(redoKey)
	if x.prefs.Recent[0] != path {
		t.Errorf("lately opened are %v", x.prefs.Recent)
	}
	x.saveAs(path)
	x.saveAs(filepath.Join(filepath.Dir(path), "a-base-1.csv"))
	if !x.state().Notice.Bad {
		t.Error("saves over a capture")
	}

	fresh := filepath.Join(x.dir, "fresh")
	if err := os.Mkdir(fresh, 0o755); err != nil {
		t.Fatal(err)
	}
	x.newStudy(fresh)
	for x.asking() { // what was undone and made again is another study to it
		test.Tap(x.button(t, "Go on without saving"))
	}
	if got := x.state().Study; got.Path != filepath.Join(fresh, studyFile) || len(got.Runs) != 0 || x.state().Notice.Text == "" {
		t.Errorf("the new study is %+v, %q", got, x.state().Notice.Text)
	}
	x.newStudy(fresh)
	if !x.state().Notice.Bad {
		t.Error("a new study over one that is there")
	}
}

// TestLeavingGivesUp answers that changes are not to be saved.
func TestLeavingGivesUp(t *testing.T) {
	x := withSmall(t)
	x.change(Exclude{"a-proto-1", "slipped"})
	file := x.state().Study.Path
	left := false
	x.leaving(func() { left = true })
	test.Tap(x.button(t, "Go on without saving"))
	if got, _, _ := study.Recover(file); !left || got != nil {
		t.Errorf("left %v, and beside the file there is %v", left, got)
	}
}
