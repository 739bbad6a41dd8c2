package app

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/capture"
)

// bareFolder writes the captures of the small study to a folder without one.
func bareFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Dir(smallStudy(t))
	for _, name := range []string{studyFile, "truth.json"} {
		if err := os.Remove(filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// page returns the page that brings captures in.
func (x *world) page() *importPage { return x.bringing }

func (x *world) drop(paths ...string) {
	var uris []fyne.URI
	for _, p := range paths {
		uris = append(uris, storage.NewFileURI(p))
	}
	x.dropped(fyne.Position{}, uris)
}

// typeIn types into an entry and presses Enter.
func typeIn(e interface {
	fyne.Focusable
	SetText(string)
}, text string) {
	e.SetText(text)
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
}

// TestImportBareFolder goes from a dropped folder of captures to an analysed
// study on disk.
func TestImportBareFolder(t *testing.T) {
	dir := bareFolder(t)
	x := newWorld(t)
	x.drop(dir)
	s, page := x.state(), x.page()
	if !s.Bringing || !page.root.Visible() || x.main.Visible() || x.welcome.root.Visible() {
		t.Fatalf("no page to bring captures in: %q", s.Notice.Text)
	}
	plan := s.Import.Plan
	if len(plan.Files) != 6 || len(plan.Drafts) != 4 {
		t.Fatalf("%d files and %d clubs: %q", len(plan.Files), len(plan.Drafts), s.Notice.Text)
	}
	if !page.bring.Disabled() || !strings.Contains(page.blocked.Text, "length") {
		t.Errorf("to bring in is disabled %v: %q", page.bring.Disabled(), page.blocked.Text)
	}
	if exists(filepath.Join(dir, studyFile)) {
		t.Error("a study was written before anything was brought in")
	}
	// The clubs without swings are left out, all at once.
	for _, a := range plan.Files {
		if strings.Contains(a.Path, "left") {
			x.store.Do(tickFile(a.Path, true))
		}
	}
	if got := page.list.subject.Text; got != "Set 2 ticked files" {
		t.Errorf("the change is for %q", got)
	}
	page.list.use.SetSelected(study.Aside.String())
	if n := x.state().Import.Plan.Count(); n != 4 {
		t.Errorf("%d files are to be brought in, want 4", n)
	}
	x.store.Do(editImport{func(m *Import) { m.Ticked = nil }})

	test.Tap(page.tabs.buttons[1])
	x.store.Do(editImport{func(m *Import) { m.Club = "base" }})
	typeIn(page.club.length, "1130")
	typeIn(page.club.butt, "15,2")
	typeIn(page.club.tip, "8.6")
	x.store.Do(pointAt("S01"))
	typeIn(page.club.station, "290")
	if page.bring.Disabled() {
		t.Fatalf("not to be brought in: %q", page.blocked.Text)
	}
	x.shortcut(bringKey)
	s = x.state()
	if s.Bringing || !s.Complete() || s.Unsaved() || len(s.Study.Runs) != 2 || len(s.Study.Clubs) != 2 {
		t.Fatalf("brought in: %+v; unsaved %v; %q", s.Study, s.Unsaved(), s.Notice.Text)
	}
	for _, id := range []string{"a-base-1", "a-proto-1"} {
		if s.Swing(id) == nil {
			t.Errorf("%s was not analysed: %v", id, s.Result(id).Err)
		}
	}
	if s.Study.World != (study.World{Up: "+z", Target: "+x"}) || s.Study.Run("a-base-1").Player != "a" {
		t.Errorf("axes %v, player %q", s.Study.World, s.Study.Run("a-base-1").Player)
	}
	if _, err := study.Open(filepath.Join(dir, studyFile)); err != nil {
		t.Error(err)
	}
	if !slices.Contains(x.prefs.Recent, s.Study.Path) {
		t.Error("the new study is not among the recent ones")
	}
}

// The list is in the order of names, though the first file takes longest to read
// and the others are shown as they come.
func TestImportListsByName(t *testing.T) {
	dir := bareFolder(t)
	for _, name := range []string{"z-3.csv", "z-1.csv", "z-2.csv"} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	x := newWorld(t)
	now := x.around.Now()
	x.around.Now = func() time.Time { now = now.Add(showEvery + 1); return now }
	x.drop(dir)
	files := x.state().Import.Plan.Files
	if len(files) != 9 || !slices.IsSortedFunc(files, func(a, b study.Arrival) int { return strings.Compare(a.Path, b.Path) }) {
		for _, a := range files {
			t.Log(a.Path)
		}
		t.Errorf("%d files, or out of order", len(files))
	}
}

// TestWelcomeTakesCaptures names a folder of captures where studies are opened.
func TestWelcomeTakesCaptures(t *testing.T) {
	dir := bareFolder(t)
	x := newWorld(t)
	typeIn(x.welcome.form.path, " "+dir+"\n")
	s := x.state()
	if !s.Bringing || len(s.Import.Plan.Files) != 6 {
		t.Fatalf("%d files to bring in: %q", len(s.Import.Plan.Files), s.Notice.Text)
	}
	for path, want := range map[string]string{filepath.Join(dir, "visit", "a.csv"): "visit/a.csv", filepath.Join(filepath.Dir(dir), "b.csv"): "b.csv"} {
		if got := s.Import.nameOf(path); got != want {
			t.Errorf("%s is shown as %q, want %q", path, got, want)
		}
	}
	if id := s.Import.Plan.Drafts[0].ID; id != "base" {
		t.Errorf("the first club is %s, want base before base-left", id)
	}
	x.store.Do(setFiles([]string{s.Import.Plan.Files[0].Path}, func(a *study.Arrival) { a.Player, a.Chosen.Player = "z", true }))
	x.askEndImport()
	if !x.state().Bringing || !x.asking() {
		t.Error("what was sorted by hand is given up without a question")
	}
}

// TestImportIsNotLostUnasked closes the window, and opens another study, while an
// import is sorted by hand.
func TestImportIsNotLostUnasked(t *testing.T) {
	dir, other := bareFolder(t), smallStudy(t)
	x := newWorld(t)
	x.drop(dir)
	path := x.state().Import.Plan.Files[0].Path
	x.store.Do(setFiles([]string{path}, func(a *study.Arrival) { a.Player, a.Chosen.Player = "z", true }))
	kept := func() bool {
		s := x.state()
		return s.Bringing && s.Import.Plan.File(path).Player == "z"
	}
	for what, leave := range map[string]func(){"to close": x.close, "to open another study": func() { x.OpenStudy(other) }} {
		leave()
		if !x.asking() || !kept() {
			t.Fatalf("%s gives up what was sorted by hand without a question", what)
		}
		x.press(t, "Stay")
		if x.asking() || !kept() {
			t.Errorf("%s, and to stay after all, gives up what was sorted by hand", what)
		}
	}
	x.OpenStudy(other)
	x.press(t, "Leave without")
	if s := x.state(); s.Bringing || s.Study.Path != other {
		t.Errorf("to leave without opens %s, bringing in %v", s.Study.Path, s.Bringing)
	}
}

// TestImportTypesInPlace clicks into the boxes of club and player, and types.
func TestImportTypesInPlace(t *testing.T) {
	x := newWorld(t)
	x.drop(bareFolder(t))
	list, path := x.page().list, ""
	for _, a := range x.state().Import.Plan.Files {
		if strings.HasSuffix(a.Path, "a-base-1.csv") {
			path = a.Path
		}
	}
	x.store.Do(showFile(path))
	for e, was := range map[*nameEntry]string{list.club: "base", list.player: "a"} {
		if e.Text != was {
			t.Fatalf("the box holds %q, want %q", e.Text, was)
		}
		click(e)
		if x.win.Canvas().Focused() != fyne.Focusable(e) || e.SelectedText() != was {
			t.Errorf("a click into %q selects %q", was, e.SelectedText())
		}
		for _, r := range "proto" {
			x.win.Canvas().Focused().TypedRune(r)
		}
	}
	if a := x.state().Import.Plan.File(path); a.Club != "proto" || a.Player != "proto" {
		t.Errorf("typed: club %q, player %q", a.Club, a.Player)
	}
	click(list.club)
	click(list.club) // puts the cursor among the letters
	if got := list.club.SelectedText(); got != "" {
		t.Errorf("a second click selects %q", got)
	}
	x.win.Canvas().Focused().TypedRune('x')
	typed := list.club.Text
	if x.undo(); list.club.Text == typed {
		t.Errorf("undo leaves %q in the box that has the keyboard", typed)
	}
}

// click clicks near the beginning of an entry, as the driver tells of it.
func click(e *nameEntry) {
	at := fyne.PointEvent{Position: fyne.NewPos(15, 15)}
	m := &desktop.MouseEvent{PointEvent: at, Button: desktop.MouseButtonPrimary}
	e.MouseDown(m)
	e.MouseUp(m)
	e.Tapped(&at)
}

// press taps the button with a text in the dialog that is open.
func (x *world) press(t *testing.T, text string) {
	t.Helper()
	for _, o := range test.LaidOutObjects(x.win.Canvas().Overlays().Top()) {
		if b, ok := o.(*widget.Button); ok && b.Text == text {
			test.Tap(b)
			return
		}
	}
	t.Fatalf("no button %q", text)
}

// TestImportIntoStudy adds a swing from elsewhere to an open study, takes it out
// with Undo and in again.
func TestImportIntoStudy(t *testing.T) {
	file := smallStudy(t)
	elsewhere := filepath.Join(t.TempDir(), "a-base-9.csv")
	b, err := os.ReadFile(filepath.Join(filepath.Dir(file), "a-base-1.csv"))
	if err == nil {
		err = os.WriteFile(elsewhere, append(b, '\n'), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	x := newWorld(t)
	x.OpenStudy(file)
	x.drop(elsewhere)
	a := x.state().Import.Plan.File(elsewhere)
	if a == nil || a.Club != "base" || a.Player != "a" || x.page().bring.Disabled() {
		t.Fatalf("proposed as %+v: %q", a, x.page().blocked.Text)
	}
	test.Tap(x.page().bring)
	s := x.state()
	if len(s.Study.Runs) != 3 || !s.Complete() || !s.Unsaved() || s.Swing("a-base-9") == nil {
		t.Fatalf("%d runs, complete %v: %q", len(s.Study.Runs), s.Complete(), s.Notice.Text)
	}
	x.shortcut(&fyne.ShortcutUndo{})
	if s = x.state(); len(s.Study.Runs) != 2 || s.Unsaved() || !s.Complete() {
		t.Errorf("taken back, there are %d runs", len(s.Study.Runs))
	}
	x.shortcut(&fyne.ShortcutRedo{})
	if s = x.state(); len(s.Study.Runs) != 3 || !s.Complete() {
		t.Errorf("made again, there are %d runs", len(s.Study.Runs))
	}
}

// TestImportCorrects corrects a file that cannot be read, which counts for
// another of its layout, here and later.
func TestImportCorrects(t *testing.T) {
	dir := t.TempDir()
	text := "frame,G_x,G_y,G_z\n0,1,2,3\n1,1,2,3\n2,1,2,4\n"
	put := func(name string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text+strings.Repeat("\n", len(name))), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	a, b := put("a1.csv"), put("bb2.csv")
	x := newWorld(t)
	x.drop(a, b)
	page := x.page()
	if !strings.Contains(page.file.said.Text, "rate") || !strings.Contains(x.state().Notice.Text, "None of 2 files") {
		t.Errorf("files without a rate: %q; %q", page.file.said.Text, x.state().Notice.Text)
	}
	typeIn(page.file.rate, "500")
	if got := x.state().Notice.Text; got != "All 2 files could be read." {
		t.Errorf("after the correction it says %q", got)
	}
	page.file.unit.SetSelected(string(capture.Centimetre))
	for _, path := range []string{a, b} {
		f := x.state().Import.Plan.File(path)
		if f.Err != nil || f.Capture.Rate != 500 || f.Origin.Unit != capture.Centimetre {
			t.Errorf("%s: corrected to %v, %+v", path, f.Err, f.Hints)
		}
	}
	x.store.Do(pointAt("G"))
	typeIn(page.file.renamed, "G1")
	if f := x.state().Import.Plan.File(b); f.Markers[0] != "G1" || x.state().Import.Marker != "G1" {
		t.Errorf("renamed to %v", f.Markers)
	}
	c := put("ccc3.csv")
	x.drop(c)
	if f := x.state().Import.Plan.File(c); f == nil || !f.Remembered || f.Capture.Rate != 500 || f.Markers[0] != "G1" {
		t.Errorf("a file of the layout is read as %+v", f)
	}
	test.Tap(page.file.forget)
	if f := x.state().Import.Plan.File(a); f.Err == nil {
		t.Error("the corrections are not forgotten")
	}
	x.endImport()
	if s := x.state(); s.Study != nil || !x.welcome.root.Visible() || exists(filepath.Join(dir, studyFile)) {
		t.Error("left without, a study is there")
	}
}

// TestImportPointing sorts markers by pointing at them, and keeps the set.
func TestImportPointing(t *testing.T) {
	x := newWorld(t)
	x.drop(bareFolder(t))
	page := x.page()
	test.Tap(page.tabs.buttons[1])
	x.store.Do(editImport{func(m *Import) { m.Club = "base" }})
	draft := func() *study.Draft { return x.state().Import.Plan.Draft("base") }
	typeIn(page.club.length, "1130")
	x.store.Do(pointAt("S01"))
	typeIn(page.club.station, "290")

	// Point at each dot where it is drawn: it is pointed at, or the one before it.
	ref := page.club.reference()
	hit := 0
	for y := float32(0); y < page.club.view.Size().Height; y += 3 {
		for at := float32(0); at < page.club.view.Size().Width; at += 3 {
			p := fyne.NewPos(at, y)
			i := page.club.view.DotAt(p)
			if i < 0 || hit > 3 {
				continue
			}
			x.store.Do(editImport{func(m *Import) { m.Marker = "" }})
			page.club.view.Tapped(&fyne.PointEvent{Position: p})
			if got := x.state().Import.Marker; got != ref.Markers[i] {
				t.Fatalf("pointed at %q, want %q", got, ref.Markers[i])
			}
			hit++
		}
	}
	if hit == 0 {
		t.Error("no marker is drawn")
	}

	x.store.Do(editImport{func(m *Import) { m.Marker = "S11" }})
	test.Tap(page.club.parts.buttons[3]) // none
	if d := draft(); len(d.Markers.Shaft) != 10 || d.Measured["S01"].Station != 0.29 {
		t.Errorf("without S11 the shaft has %v", d.Markers.Shaft)
	}
	test.Tap(page.club.parts.buttons[1]) // on the shaft
	if d := draft(); len(d.Markers.Shaft) != 11 || d.Markers.Shaft[10].Name != "S11" || r3.Norm(r3.Vec{X: d.Markers.Shaft[10].Station - 1.085}) > 1e-3 {
		t.Errorf("with S11 again the shaft has %v", d.Markers.Shaft)
	}
	x.store.Do(editImport{func(m *Import) { m.Marker = "H3" }})
	test.Tap(page.club.toe)
	if draft().Markers.Toe != "H3" {
		t.Errorf("the toe is %s", draft().Markers.Toe)
	}
	typeIn(page.club.setName, "driver 19")
	sets, err := study.ReadSets(x.setsFile())
	if err != nil || len(sets) != 1 || sets[0].Name != "driver 19" || sets[0].Markers.Toe != "H3" {
		t.Fatalf("kept %+v: %v", sets, err)
	}
	// Used for another club, it needs nothing typed.
	x.store.Do(editImport{func(m *Import) { m.Club = "proto" }})
	page.club.set.SetSelected("driver 19")
	if d := x.state().Import.Plan.Draft("proto"); d.Set != "driver 19" || d.Markers.Toe != "H3" || x.state().Import.Plan.ClubProblem("proto") != "" {
		t.Errorf("the other club has the set %q, toe %s", d.Set, d.Markers.Toe)
	}
}

// TestImportRefuses tells in words what cannot be brought in, and stops where it
// is told to.
func TestImportRefuses(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"letter.txt": "Dear all,\nnothing.\n", "empty.csv": ""} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	x := newWorld(t)
	x.hold = true
	x.drop(dir)
	if x.state().Job.Title == "" || !x.status.work.Visible() {
		t.Error("reading does not show")
	}
	x.jobs.stop()
	x.hold = false
	for _, f := range x.queued {
		f()
	}
	if n := len(x.state().Import.Plan.Files); n != 0 || x.state().Job.Title != "" {
		t.Errorf("%d files came after all", n)
	}
	x.page().path.SetText(dir)
	x.page().path.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	plan := x.state().Import.Plan
	if len(plan.Files) != 2 || plan.Count() != 0 || !x.page().bring.Disabled() {
		t.Fatalf("%d files, %d to bring in", len(plan.Files), plan.Count())
	}
	for _, a := range plan.Files {
		x.store.Do(showFile(a.Path))
		if text := x.page().file.said.Text; !strings.HasSuffix(text, ".") || strings.Contains(text, "capture: ") {
			t.Errorf("%s is refused with %q", filepath.Base(a.Path), text)
		}
	}
	x.page().path.SetText(filepath.Join(dir, "none"))
	x.page().path.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if n := x.state().Notice; !n.Bad || !strings.Contains(n.Text, "check the path") {
		t.Errorf("a path that leads nowhere gives %q", n.Text)
	}
}
