package report

import (
	"context"
	"errors"
	"fmt"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"gonum.org/v1/plot/vg/vgimg"

	"bendline/app/study"
)

// Progress is told how many of the slides are done.
type Progress func(done, total int)

// Write makes the deck of an analysis and writes it to path: a PDF for a name
// ending in ".pdf", else a folder of pictures slide-01.png, slide-02.png …
// 1920 × 1080. c and progress may be nil.
//
// A file is written whole or not at all. In a folder that exists already, the
// pictures are put in place when all of them are done, and those left of a
// longer deck are removed. A cancelled ctx ends the work between slides.
func Write(ctx context.Context, a *study.Analysis, c *study.Comparison, path string, o Options, progress Progress) error {
	var to func(context.Context, *Deck, string, Progress) error
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".pdf":
		to = writePDF
	case ext == "" || isFolder(path):
		to = writeFolder
	case ext == ".pptx":
		return fmt.Errorf("report: %s: slides for a presentation program are not written yet; name a .pdf file or a folder for PNG pictures", path)
	default:
		return fmt.Errorf("report: %s: cannot write slides as %q; name a .pdf file or a folder for PNG pictures", path, ext)
	}
	if progress == nil {
		progress = func(int, int) {}
	}
	d, err := New(a, c, o)
	if err != nil {
		return err
	}
	if err := to(ctx, d, path, progress); err != nil {
		return fmt.Errorf("report: writing %s: %w", path, err)
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// WritePDF writes the deck as a PDF, a page for each slide.
func (d *Deck) WritePDF(w io.Writer) error {
	return d.pdf(context.Background(), w, func(int, int) {})
}

func (d *Deck) pdf(ctx context.Context, w io.Writer, progress Progress) error {
	c := newPDF()
	c.doc.SetTitle(d.Title, true)
	c.doc.SetCreator(strings.TrimSpace("Bendline "+d.Version), true)
	c.doc.SetProducer("Bendline", true)
	// A zero time would be replaced by the clock.
	made := d.Date
	if made.IsZero() {
		made = made.AddDate(1969, 0, 0)
	}
	c.doc.SetCreationDate(made)
	c.doc.SetModificationDate(made)
	for i, s := range d.Slides {
		if err := ctx.Err(); err != nil {
			return err
		}
		c.page(s)
		progress(i+1, len(d.Slides))
	}
	return c.write(w)
}

// WritePNG writes the deck to a folder as slide-01.png, slide-02.png …,
// 1920 × 1080. The folder is made if need be.
func (d *Deck) WritePNG(dir string) error {
	return writeFolder(context.Background(), d, dir, func(int, int) {})
}

// EncodePNG writes one slide as a PNG of 1920 × 1080.
func (s Slide) EncodePNG(w io.Writer) error {
	const dpi = 1920 * 72 / int(Width)
	c := vgimg.NewWith(vgimg.UseWH(Width, Height), vgimg.UseDPI(dpi))
	s.Draw(c)
	return png.Encode(w, c.Image())
}

func writePDF(ctx context.Context, d *Deck, path string, progress Progress) error {
	return replace(path, func(w io.Writer) error { return d.pdf(ctx, w, progress) })
}

// replace writes a file beside path and moves it there when it is whole.
func replace(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".bendline-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	if err := write(f); err != nil {
		return errors.Join(err, f.Close())
	}
	// Temporary files are private; what is handed on is not.
	if err := errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// slideName matches the pictures of a deck.
var slideName = regexp.MustCompile(`^slide-\d{2,}\.png$`)

func writeFolder(ctx context.Context, d *Deck, dir string, progress Progress) (err error) {
	if err := os.MkdirAll(filepath.Dir(filepath.Clean(dir)), 0o755); err != nil {
		return err
	}
	tmp, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".bendline-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(tmp)) }()
	for i, s := range d.Slides {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := replace(filepath.Join(tmp, picture(i)), s.EncodePNG); err != nil {
			return err
		}
		progress(i+1, len(d.Slides))
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for i := range d.Slides {
		if err := os.Rename(filepath.Join(tmp, picture(i)), filepath.Join(dir, picture(i))); err != nil {
			return err
		}
	}
	return removeRest(dir, len(d.Slides))
}

func picture(i int) string { return fmt.Sprintf("slide-%02d.png", i+1) }

// removeRest removes pictures of slides beyond the first n.
func removeRest(dir string, n int) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		var number int
		if !slideName.MatchString(e.Name()) {
			continue
		}
		if _, err := fmt.Sscanf(e.Name(), "slide-%d.png", &number); err == nil && number > n {
			if err := os.Remove(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}
