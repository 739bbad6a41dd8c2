package app

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// browseSize is that of the dialogs that look through folders.
var browseSize = fyne.NewSize(820, 560)

// findFile lets the user look for a file, from the folder of a path on, and hands
// over its path. With endings, only files that have one are shown.
func (w *Window) findFile(from string, then func(path string), endings ...string) {
	d := dialog.NewFileOpen(func(r fyne.URIReadCloser, err error) {
		if w.told(err) && r != nil && w.told(r.Close()) {
			then(r.URI().Path())
		}
	}, w.win)
	if len(endings) > 0 {
		d.SetFilter(storage.NewExtensionFileFilter(endings))
	}
	begin(d, from)
}

// findFolder lets the user look for a folder, from that of a path on.
func (w *Window) findFolder(from string, then func(path string)) {
	begin(dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
		if w.told(err) && u != nil {
			then(u.Path())
		}
	}, w.win), from)
}

// begin shows the dialog at the nearest folder above a path that is there.
func begin(d *dialog.FileDialog, from string) {
	if from = strings.TrimSpace(from); from != "" {
		for dir := from; ; dir = filepath.Dir(dir) {
			if isDir(dir) {
				if l, err := storage.ListerForURI(storage.NewFileURI(dir)); err == nil {
					d.SetLocation(l)
				}
				break
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	d.Resize(browseSize)
	d.Show()
}

// told says what went wrong, and reports whether nothing did.
func (w *Window) told(err error) bool {
	if err != nil {
		w.store.Do(Say{Notice{sentence(err), true}})
	}
	return err == nil
}

// withFolder returns an entry for the path of what is written, with a button that
// looks for the folder it is to be in.
func (w *Window) withFolder(e *entry) fyne.CanvasObject {
	look := widget.NewButtonWithIcon("", theme.FolderOpenIcon(), func() {
		w.findFolder(e.Text, func(dir string) { e.SetText(filepath.Join(dir, filepath.Base(e.Text))) })
	})
	return container.NewBorder(nil, nil, nil, look, e)
}
