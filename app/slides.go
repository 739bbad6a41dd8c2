package app

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/report"
	"bendline/app/study"
)

// askSlides asks where the slides are to go, and writes them.
func (w *Window) askSlides() {
	s := w.store.State()
	switch {
	case s.Study == nil || w.asking():
		return
	case s.Job.Title != "":
		w.store.Do(Say{Notice{"Slides need every result: wait until the work is done, or cancel it.", true}})
		return
	case !s.Complete():
		w.store.Do(Say{Notice{"Slides need every result: choose “Analyse again” in the menu first.", true}})
		return
	}
	stem := strings.TrimSuffix(s.Study.Path, filepath.Ext(s.Study.Path)) + "-slides"
	path := newEntry(w.escape)
	path.SetText(stem + ".pdf")
	kinds := []string{"One PDF file", "A folder of PNG pictures"}
	kind := widget.NewRadioGroup(kinds, func(k string) {
		if k == kinds[0] {
			path.SetText(strings.TrimSuffix(path.Text, ".pdf") + ".pdf")
		} else {
			path.SetText(strings.TrimSuffix(path.Text, ".pdf"))
		}
	})
	kind.Required = true
	kind.Selected = kinds[0]
	form := dialog.NewForm("Export slides", "Export", "Close",
		[]*widget.FormItem{widget.NewFormItem("As", kind), widget.NewFormItem("To", path)},
		func(ok bool) {
			if ok {
				w.exportSlides(strings.TrimSpace(path.Text))
			}
		}, w.win)
	form.Resize(fyne.NewSize(680, 220))
	path.OnSubmitted = func(string) { form.Submit() }
	form.Show()
	w.win.Canvas().Focus(path)
}

// exportSlides writes the slides of what is shown.
func (w *Window) exportSlides(path string) {
	s := w.store.State()
	options := report.Options{Date: w.around.Now(), Version: study.Version}
	w.jobs.start("Making slides", func(ctx context.Context, post func(Command)) error {
		return report.Write(ctx, s.analysis(), s.Comparison, path, options, func(done, total int) {
			post(Work{Job{Title: "Making slides", Done: done, Total: total}})
		})
	}, func() {
		w.catchUp()
		w.store.Do(Say{Notice{Text: fmt.Sprintf("The slides are in %s.", path)}})
	})
}
