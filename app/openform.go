package app

import (
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// openForm asks for a study or captures: by path, from the disk, or a study opened
// lately.
type openForm struct {
	root   *fyne.Container
	path   *entry
	recent *fyne.Container
	open   func(path string)
}

func newOpenForm(w *Window, open func(path string)) *openForm {
	f := &openForm{path: newEntry(w.escape), recent: container.NewVBox(), open: open}
	f.path.SetPlaceHolder("path of a study, of a capture, or of a folder of either")
	f.path.OnSubmitted = open
	file := widget.NewButtonWithIcon("A file…", theme.FileIcon(), func() { w.findFile(f.path.Text, open) })
	folder := widget.NewButtonWithIcon("A folder…", theme.FolderOpenIcon(), func() { w.findFolder(f.path.Text, open) })
	button := widget.NewButton("Open", func() { open(f.path.Text) })
	f.root = container.NewVBox(
		container.NewBorder(nil, nil, nil, container.NewHBox(button, file, folder), f.path), f.recent)
	return f
}

// setRecent lists studies opened lately.
func (f *openForm) setRecent(paths []string) {
	f.recent.RemoveAll()
	if len(paths) == 0 {
		return
	}
	l := widget.NewLabel("Opened lately")
	l.Importance = widget.LowImportance
	f.recent.Add(l)
	for _, p := range paths[:min(len(paths), 5)] {
		b := widget.NewButton(shortPath(p), func() { f.open(p) })
		b.Alignment = widget.ButtonAlignLeading
		b.Importance = widget.LowImportance
		f.recent.Add(b)
	}
}

// shortPath returns the end of a path that tells studies apart.
func shortPath(p string) string {
	const longest = 70
	if r := []rune(p); len(r) > longest {
		return "…" + string(r[len(r)-longest:])
	}
	return filepath.Clean(p)
}

// askStudy asks for a study, or captures, in a dialog.
func (w *Window) askStudy() {
	if w.asking() {
		return
	}
	var d dialog.Dialog
	form := newOpenForm(w, func(path string) {
		d.Hide()
		w.Open([]string{path})
	})
	form.setRecent(w.prefs.Recent)
	d = dialog.NewCustom("Open a study, or captures", "Close", form.root, w.win)
	d.Resize(fyne.NewSize(720, 300))
	d.Show()
	w.win.Canvas().Focus(form.path)
}
