package report

import (
	"bytes"
	"errors"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bendline/app/study"
)

func TestPDFDateIsNotTheClock(t *testing.T) {
	a, c := small.make()
	var b bytes.Buffer
	if err := must(New(a, c, Options{})).pdf(t.Context(), &b, silent); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b.Bytes(), []byte("D:1970")) {
		t.Error("without a date the metadata should hold a fixed one")
	}
}

// tool returns the path of a program of poppler-utils, or skips.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed (poppler-utils)", name)
	}
	return path
}

func pdfFile(t *testing.T, a *study.Analysis, c *study.Comparison) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "deck.pdf")
	if err := Write(t.Context(), a, c, path, options, nil); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestPDFTextCanBeRead(t *testing.T) {
	pdftotext := tool(t, "pdftotext")
	a, c := medium.make()
	a.Study.Title = "Größe ± 5 µm, 2° − AVATAR 1111 猫🏌"
	out, err := exec.Command(pdftotext, "-layout", pdfFile(t, a, c), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(out), "\u00a0", " ")
	for _, want := range []string{"Größe ± 5 µm, 2° − AVATAR 1111 □□", "Does Prototype A differ from Baseline at impact?",
		"On the way to impact", "time to impact, ms", "−300", "mean ± SD", "mishit, toe strike"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text of the PDF lacks %q", want)
		}
	}
}

func TestPDFFontsAreEmbedded(t *testing.T) {
	pdffonts := tool(t, "pdffonts")
	a, c := small.make()
	out, err := exec.Command(pdffonts, pdfFile(t, a, c)).Output()
	if err != nil {
		t.Fatal(err)
	}
	fonts := strings.Split(strings.TrimSpace(string(out)), "\n")[2:]
	if len(fonts) != 2 {
		t.Errorf("%d fonts, want regular and bold:\n%s", len(fonts), out)
	}
	for _, f := range fonts {
		// Columns end: emb sub uni object-ID.
		fields := strings.Fields(f)
		if n := len(fields); n < 5 || fields[n-5] != "yes" || fields[n-3] != "yes" {
			t.Errorf("not embedded, or without a map to Unicode: %s", f)
		}
	}
}

func TestWriteFolder(t *testing.T) {
	a, c := small.make()
	dir := filepath.Join(t.TempDir(), "slides")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, old := range []string{"slide-99.png", "slide-100.png", "notes.txt", "slide-1x.png"} {
		if err := os.WriteFile(filepath.Join(dir, old), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var last, total int
	if err := Write(t.Context(), a, c, dir, options, func(done, of int) { last, total = done, of }); err != nil {
		t.Fatal(err)
	}
	slides := len(must(New(a, c, options)).Slides)
	if last != slides || total != slides {
		t.Errorf("progress ended at %d of %d, want %d", last, total, slides)
	}
	found, err := filepath.Glob(filepath.Join(dir, "slide-[0-9][0-9].png"))
	if err != nil || len(found) != slides {
		t.Errorf("%d pictures, want %d (%v)", len(found), slides, err)
	}
	for _, keep := range []string{"notes.txt", "slide-1x.png"} {
		if _, err := os.Stat(filepath.Join(dir, keep)); err != nil {
			t.Errorf("%s is gone", keep)
		}
	}
	f, err := os.Open(filepath.Join(dir, "slide-01.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	conf, err := png.DecodeConfig(f)
	if err != nil || conf.Width != 1920 || conf.Height != 1080 {
		t.Errorf("picture %d × %d (%v)", conf.Width, conf.Height, err)
	}
}

func TestWriteRefusesOtherKinds(t *testing.T) {
	a, c := small.make()
	for name, is := range map[string]struct {
		write func(path string) error
		want  string
	}{
		"deck.odp":  {func(path string) error { return Write(t.Context(), a, c, path, options, nil) }, `cannot write slides as ".odp"`},
		"deck.key":  {func(path string) error { return Write(t.Context(), a, c, path, options, nil) }, `cannot write slides as ".key"`},
		"swing.mp4": {func(path string) error { return WriteAnimation(t.Context(), a, c, path, options, nil) }, `cannot write the animation as ".mp4"; name a .gif file`},
		"sheet":     {func(path string) error { return WriteSheet(t.Context(), a, "p1", path, options) }, `cannot write the sheet as ""; name a .pdf file`},
	} {
		path := filepath.Join(t.TempDir(), name)
		err := is.write(path)
		if err == nil || !strings.Contains(err.Error(), is.want) || !strings.HasPrefix(err.Error(), "report: ") {
			t.Errorf("%s: error %v", name, err)
		}
		if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s was written", name)
		}
	}
	if err := Write(t.Context(), a, c, filepath.Join(t.TempDir(), "no", "such", "deck.pdf"), options, nil); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("missing folder: error %v", err)
	}
}
