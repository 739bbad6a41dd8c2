package report

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"bendline/app/study"
)

// Progress is told how many of the slides are done.
type Progress func(done, total int)

// silent is the progress of which nobody is told.
func silent(int, int) {}

// Write makes the deck of an analysis and writes it to path: a PDF for a name
// ending in ".pdf", a presentation for ".pptx", else a folder of pictures
// slide-01.png, slide-02.png … 1920 × 1080. c and progress may be nil.
//
// A file is written whole or not at all. In a folder that exists already, the
// pictures are put in place when all of them are done, and those left of a
// longer deck are removed. A cancelled ctx ends the work between slides.
func Write(ctx context.Context, a *study.Analysis, c *study.Comparison, path string, o Options, progress Progress) error {
	var to func(context.Context, *Deck, string, Progress) error
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".pdf":
		to = writePDF
	case ext == ".pptx":
		to = writePPTX
	case ext == "" || isFolder(path):
		to = writeFolder
	default:
		return fmt.Errorf("report: %s: cannot write slides as %q; name a .pdf or .pptx file, or a folder for PNG pictures", path, ext)
	}
	if progress == nil {
		progress = silent
	}
	d, err := newDeck(ctx, a, c, o)
	if err != nil {
		return err
	}
	if err := to(ctx, d, path, progress); err != nil {
		return fmt.Errorf("report: writing %s: %w", path, err)
	}
	return nil
}

// endsIn returns an error where the name of a file does not end as its kind does.
func endsIn(path, ext, what string) error {
	if is := filepath.Ext(path); !strings.EqualFold(is, ext) {
		return fmt.Errorf("report: %s: cannot write %s as %q; name a %s file", path, what, is, ext)
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// pdf writes the deck as a PDF, a page for each slide.
func (d *Deck) pdf(ctx context.Context, w io.Writer, progress Progress) error {
	c := newPDF(vg.Point{X: Width, Y: Height})
	c.sign(d.Title, d.o.creator(), d.o.made())
	for i, s := range d.Slides {
		if err := ctx.Err(); err != nil {
			return err
		}
		c.page(s.Heading(), s.Draw)
		progress(i+1, len(d.Slides))
	}
	return c.write(w)
}

// encodePNG writes one slide as a PNG of 1920 × 1080. It is packed in half the
// time of the usual level, to a few per cent more bytes.
func (s Slide) encodePNG(w io.Writer) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, s.Picture())
}

// Picture returns the slide drawn, 1920 × 1080.
func (s Slide) Picture() image.Image {
	const dpi = 1920 * 72 / int(Width)
	c := vgimg.NewWith(vgimg.UseWH(Width, Height), vgimg.UseDPI(dpi))
	s.Draw(c)
	return c.Image()
}

func writePDF(ctx context.Context, d *Deck, path string, progress Progress) error {
	return study.WriteFile(path, func(w io.Writer) error { return d.pdf(ctx, w, progress) })
}

func writePPTX(ctx context.Context, d *Deck, path string, progress Progress) error {
	return study.WriteFile(path, func(w io.Writer) error { return d.pptx(ctx, w, progress) })
}

// slideName matches the pictures of a deck.
var slideName = regexp.MustCompile(`^slide-\d{2,}\.png$`)

func writeFolder(ctx context.Context, d *Deck, dir string, progress Progress) error {
	files := make([]folderFile, len(d.Slides))
	for i, s := range d.Slides {
		files[i] = folderFile{picture(i), s.encodePNG}
	}
	if err := fillFolder(ctx, dir, files, progress); err != nil {
		return err
	}
	return removeRest(dir, len(d.Slides))
}

// A folderFile is a file of a folder and what writes it.
type folderFile struct {
	name  string
	write func(io.Writer) error
}

// fillFolder writes files beside the folder and moves them into it when all of
// them are done. The folder is made if need be.
func fillFolder(ctx context.Context, dir string, files []folderFile, progress Progress) (err error) {
	parent := filepath.Dir(filepath.Clean(dir))
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return err
	}
	tmp, err := os.MkdirTemp(parent, ".bendline-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(tmp)) }()
	if err := writeAtOnce(ctx, tmp, files, progress); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if err := os.Rename(filepath.Join(tmp, f.name), filepath.Join(dir, f.name)); err != nil {
			return err
		}
	}
	return nil
}

// writeAtOnce writes files into a folder, one on each processor. Progress is told
// of one after the other.
func writeAtOnce(ctx context.Context, dir string, files []folderFile, progress Progress) error {
	work, ctx := errgroup.WithContext(ctx)
	work.SetLimit(runtime.GOMAXPROCS(0))
	var told sync.Mutex
	done := 0
	for _, f := range files {
		work.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := study.WriteFile(filepath.Join(dir, f.name), f.write); err != nil {
				return err
			}
			told.Lock()
			defer told.Unlock()
			done++
			progress(done, len(files))
			return nil
		})
	}
	return work.Wait()
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
