package app

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bendline/app/report"
	"bendline/app/study"
)

// withSlides shows the slides of the small study.
func withSlides(t *testing.T) *world {
	x := withSmall(t)
	x.store.Do(ShowScreen{SlidesScreen})
	return x
}

// plan returns the plan that the study keeps.
func (x *world) plan(t *testing.T) report.Plan {
	t.Helper()
	p, err := planOf(x.state().Study)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestSlidesAreSeenAsTheyWillBe(t *testing.T) {
	x := withSlides(t)
	if x.runs.root.Visible() || !x.deck.root.Visible() {
		t.Error("the slides do not have the window for themselves")
	}
	s := x.state()
	o, err := s.deckOptions()
	if err != nil {
		t.Fatal(err)
	}
	o.Date = x.now
	deck, err := report.New(s.analysis(), s.Comparison, o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range deck.Slides {
		v := x.state().Preview
		if v.Number != i+1 || v.slides() != len(deck.Slides) || v.Title != deck.Slides[i].Title {
			t.Fatalf("shows slide %d of %d, %q; want %d of %d, %q", v.Number, v.slides(), v.Title, i+1, len(deck.Slides), deck.Slides[i].Title)
		}
		if i < 3 && !samePicture(v.Picture, deck.Slides[i].Picture()) || x.deck.picture.Image != v.Picture {
			t.Errorf("slide %d is not seen as it will be", i+1)
		}
		x.key(fyne.KeyRight)
	}
	x.key(fyne.KeyRight) // past the end
	for range deck.Slides {
		x.key(fyne.KeyPageUp)
	}
	if x.state().Preview.Number != 1 {
		t.Errorf("back at slide %d, want 1", x.state().Preview.Number)
	}
}

func samePicture(a, b image.Image) bool {
	p, ok := a.(*image.RGBA)
	q, is := b.(*image.RGBA)
	return ok && is && bytes.Equal(p.Pix, q.Pix)
}

func TestPlanIsEditedUndoneAndKept(t *testing.T) {
	x := withSlides(t)
	c := x.deck
	test.Tap(c.rows[2].name)
	if x.state().Slide.Choice != 2 {
		t.Fatalf("looks at %+v", x.state().Slide)
	}
	test.Type(c.title, "=Load")
	test.Type(c.note, "Say this.")
	test.Tap(c.up)
	c.rows[4].on.SetChecked(false)
	p := x.plan(t)
	if want := (report.Choice{Kind: report.Loading, Title: "=Load", Note: "Say this."}); !reflect.DeepEqual(p[1], want) || !p[4].Off {
		t.Errorf("the plan is %+v", p)
	}
	v := x.state().Preview
	if v.of.study != x.state().Study || v.Pages[4] != 0 || v.Pages[2] == 0 || v.Number != 0 || v.Picture == nil {
		t.Errorf("the slide left out is number %d, of pages %v", v.Number, v.Pages)
	}

	if err := x.state().Study.Save(x.state().Study.Path); err != nil {
		t.Fatal(err)
	}
	again, err := study.Open(x.state().Study.Path)
	if err != nil {
		t.Fatal(err)
	}
	if q, err := planOf(again); err != nil || !reflect.DeepEqual(p, q) {
		t.Errorf("read back: %+v, %v", q, err)
	}

	// A word typed is one change: out, up, note, title.
	for i, done := range []func(report.Plan) bool{
		func(p report.Plan) bool { return !p[4].Off && p[1].Kind == report.Loading },
		func(p report.Plan) bool { return p[2].Kind == report.Loading && p[2].Note != "" },
		func(p report.Plan) bool { return p[2].Note == "" && p[2].Title == "=Load" },
		func(p report.Plan) bool { return reflect.DeepEqual(p, report.DefaultPlan()) },
	} {
		x.change(Undo{})
		if !done(x.plan(t)) {
			t.Errorf("undone %d times: %+v", i+1, x.plan(t))
		}
	}
	if x.state().CanUndo() || x.state().Study.Slides != nil || !c.usual.Disabled() {
		t.Error("the usual plan is not as it was")
	}
	x.change(Redo{})
	test.Tap(c.usual)
	if !reflect.DeepEqual(x.plan(t), report.DefaultPlan()) {
		t.Error("the usual plan does not come back")
	}
}

// The keys choose, tick and move slides.
func TestSlidesByKeys(t *testing.T) {
	x := withSlides(t)
	x.key(fyne.KeyDown)
	x.key(fyne.KeyDown)
	kind := x.plan(t)[2].Kind
	x.key(fyne.KeySpace)
	if p := x.plan(t); x.state().Slide.Choice != 2 || !p[2].Off {
		t.Errorf("at %d, %v", x.state().Slide.Choice, p[2])
	}
	x.change(MoveSlide{1})
	if p := x.plan(t); p[3].Kind != kind || x.state().Slide.Choice != 3 {
		t.Errorf("moved to %v, at %d", p, x.state().Slide.Choice)
	}
	x.key(fyne.KeyUp)
	x.key(fyne.KeyHome)
	x.key(fyne.KeyUp)
	if x.state().Slide.Choice != 0 {
		t.Errorf("at %d, want the first", x.state().Slide.Choice)
	}
	x.key(fyne.KeyEnd)
	if x.state().Slide.Choice != len(x.plan(t))-1 {
		t.Errorf("at %d, want the last", x.state().Slide.Choice)
	}
	x.undo()
	x.undo()
	if !reflect.DeepEqual(x.plan(t), report.DefaultPlan()) {
		t.Errorf("undone, the plan is %v", x.plan(t))
	}
}

// Words in place of a slide do not push the fields out of the window.
func TestWordsInPlaceOfASlideKeepTheFields(t *testing.T) {
	x := withSlides(t)
	x.store.Do(Previewed{preview{of: x.state().Preview.of}}) // nothing for this slide
	if x.deck.words.Text == "" {
		t.Fatal("nothing is said")
	}
	for _, o := range []fyne.CanvasObject{x.deck.note, x.deck.title} {
		at := fyne.CurrentApp().Driver().AbsolutePositionForObject(o)
		if bottom := at.Y + o.Size().Height; bottom > x.win.Canvas().Size().Height {
			t.Errorf("a field ends at %v, below the window's %v", bottom, x.win.Canvas().Size().Height)
		}
	}
	if x.deck.words.Size().Height > 100 {
		t.Errorf("the words are %v high", x.deck.words.Size().Height)
	}
}

func TestInstantsAreChosen(t *testing.T) {
	x := withSlides(t)
	at := slices.IndexFunc(report.DefaultPlan(), func(c report.Choice) bool { return c.Kind == report.Instants })
	if x.deck.instantsRow.Visible() {
		t.Error("instants are asked for the first slide")
	}
	x.store.Do(ShowSlide{slidePlace{Choice: at}})
	test.Type(x.deck.instants, "80 12,5 soon")
	if got := x.plan(t)[at].BeforeMS; !slices.Equal(got, []float64{80, 12.5}) {
		t.Errorf("instants %v", got)
	}
	for _, bad := range []string{"soon", "1 2 3 4 5", "-1", "NaN"} {
		if _, err := milliseconds(bad); err == nil {
			t.Errorf("%q are instants", bad)
		}
	}
}

func TestUnreadablePlanIsTold(t *testing.T) {
	x := withSmall(t)
	x.store.Do(Edit{func(st *study.Study) bool { st.Slides = json.RawMessage(`[{"slide":"dance"}]`); return true }})
	x.store.Do(ShowScreen{SlidesScreen})
	if !strings.Contains(x.deck.words.Text, "dance") || x.deck.picture.Image != nil {
		t.Errorf("says %q", x.deck.words.Text)
	}
	x.export(exports[0], filepath.Join(x.dir, "x.pdf"))
	if !x.state().Notice.Bad || exists(filepath.Join(x.dir, "x.pdf")) {
		t.Error("a deck is written all the same")
	}
	test.Tap(x.deck.usual)
	if x.deck.picture.Image == nil {
		t.Errorf("the usual plan shows nothing: %q", x.deck.words.Text)
	}
}

// TestEveryExport writes every format from the window, and cancels each.
func TestEveryExport(t *testing.T) {
	x := withSlides(t)
	magic := map[string]string{".pdf": "%PDF", ".pptx": "PK", ".xlsx": "PK", ".gif": "GIF89a"}
	ids, _ := x.state().sheetPlayers()
	if len(ids) != 1 {
		t.Fatalf("players %v", ids)
	}
	for _, e := range append(slices.Clone(exports), playerSheet(ids[0])) {
		path := e.path(x.state().Study)
		x.hold = true
		x.export(e, path)
		x.jobs.stop()
		x.hold = false
		queued := x.queued
		x.queued = nil
		for _, f := range queued {
			f()
		}
		if exists(path) {
			t.Errorf("%s: cancelled, and written", e.name)
		}
		x.export(e, path)
		if n := x.state().Notice; n.Bad || !strings.Contains(n.Text, path) {
			t.Errorf("%s: %q", e.name, n.Text)
			continue
		}
		if e.ext == "" {
			if files, err := os.ReadDir(path); err != nil || len(files) < 5 {
				t.Errorf("%s: %d files, %v", e.name, len(files), err)
			}
		} else if b, err := os.ReadFile(path); err != nil || !bytes.HasPrefix(b, []byte(magic[e.ext])) {
			t.Errorf("%s: %v", e.name, err)
		}
	}
	for _, f := range []string{".bendline-*", "*.tmp"} {
		if left, err := filepath.Glob(filepath.Join(filepath.Dir(x.state().Study.Path), f)); err != nil || len(left) > 0 {
			t.Errorf("left over: %v, %v", left, err)
		}
	}
}

func TestExportPaths(t *testing.T) {
	dir := t.TempDir()
	pdf, pictures := exports[0], exports[2]
	for _, c := range []struct {
		e          export
		path, want string // want "" for an error
	}{
		{pdf, " a.pdf ", "a.pdf"}, {pdf, "a.PDF", "a.PDF"}, {pdf, "a", "a.pdf"}, {pdf, "v1.2", "v1.2.pdf"},
		{pdf, "a.pptx", ""}, {pdf, "", ""}, {pictures, "a", "a"}, {pictures, "a.pdf", ""}, {pictures, dir, dir},
	} {
		got, err := c.e.check(c.path)
		if got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s to %q: %q, %v; want %q", c.e.name, c.path, got, err, c.want)
		}
	}
	if got := playerSheet("../b 1").stem; got != "----b-1" {
		t.Errorf("the sheet's name ends in %q", got)
	}
}

func TestFailedExportIsOneSentence(t *testing.T) {
	x := withSmall(t)
	x.export(export{making: "Making", ext: ".pdf", write: func(context.Context, *study.Analysis, *study.Comparison, string, report.Options, report.Progress) error {
		return os.ErrPermission
	}}, "x.pdf")
	if n := x.state().Notice; !n.Bad || !strings.HasSuffix(n.Text, ".") || strings.Contains(n.Text, "\n") {
		t.Errorf("says %q", n.Text)
	}
}

func TestHouseStyleIsKept(t *testing.T) {
	x := withSlides(t)
	before := x.state().Preview.Picture
	file := filepath.Join(x.dir, "logo.png")
	var logo bytes.Buffer
	if err := png.Encode(&logo, image.NewGray(image.Rect(0, 0, 40, 10))); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, logo.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	style := report.Style{Name: "Lab 4", Accents: []string{"#102030"}, DecimalComma: true, Paper: report.Letter}
	x.setHouse(style, file)
	style.Logo = logo.Bytes()
	prefs, err := ReadPreferences(x.around.Preferences)
	if err != nil || prefs.House == nil || !reflect.DeepEqual(*prefs.House, style) {
		t.Fatalf("kept: %+v, %v", prefs.House, err)
	}
	if samePicture(before, x.state().Preview.Picture) {
		t.Error("the slide is not drawn in the style")
	}
	for _, bad := range []string{filepath.Join(x.dir, "none.png"), x.state().Study.Path} {
		x.setHouse(style, bad)
		if !x.state().Notice.Bad {
			t.Errorf("%s is a logo", bad)
		}
	}
	x.setHouse(report.Style{}, "")
	if x.prefs.House != nil || x.state().House != nil {
		t.Error("Bendline's own style does not come back")
	}
}
