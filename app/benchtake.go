package app

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// takeBench takes what tables say into the bench sheets of the study; those that
// name no club into that of club.
func (w *Window) takeBench(tables []study.BenchTable, club string) {
	st, taken, err := w.store.State().Study.WithBench(tables, club)
	if err != nil {
		w.bench.entry.say(sentence(err))
		w.store.Do(Say{Notice{"Nothing was taken: " + sentence(err), true}})
		return
	}
	w.bench.entry.say("")
	w.change(Edit{func(now *study.Study) bool {
		now.Clubs = st.Clubs
		return true
	}})
	w.store.Do(Say{Notice{Text: taken.String()}})
}

// pasteBench takes the table on the clipboard.
func (w *Window) pasteBench(club string) {
	table, err := study.PastedBench(w.app.Clipboard().Content())
	if err != nil {
		w.store.Do(Say{Notice{"Nothing was pasted: " + sentence(err), true}})
		return
	}
	w.takeBench([]study.BenchTable{table}, club)
}

// copyBench puts a club's sheet on the clipboard.
func (w *Window) copyBench(club string) {
	c := w.store.State().Study.Club(club)
	if c == nil {
		return
	}
	text, err := c.BenchText()
	if err != nil {
		w.store.Do(Say{Notice{sentence(err), true}})
		return
	}
	w.app.Clipboard().SetContent(text)
	w.store.Do(Say{Notice{Text: "The sheet is on the clipboard, to be put into a spreadsheet or pasted into another club."}})
}

// askBench asks for the file of a bench sheet.
func (w *Window) askBench() {
	st := w.store.State().Study
	if st == nil || w.asking() {
		return
	}
	path := newEntry(w.escape)
	path.SetText(filepath.Dir(st.Path) + string(filepath.Separator))
	path.CursorColumn = len([]rune(path.Text))
	var d dialog.Dialog
	read := func(path string) {
		d.Hide()
		w.readBench([]string{path})
	}
	path.OnSubmitted = read
	browse := widget.NewButton("Look for it…", func() { w.findFile(path.Text, read, ".csv", ".txt", ".tsv", ".xlsx") })
	d = dialog.NewCustom("Read a bench sheet", "Close", container.NewVBox(
		newWords("A CSV file or a workbook. Values that name no club are taken for the one that is shown. Files can also be dropped on this page."),
		container.NewBorder(nil, nil, nil, container.NewHBox(widget.NewButton("Read", func() { read(path.Text) }), browse), path)), w.win)
	d.Resize(fyne.NewSize(760, 220))
	d.Show()
	w.win.Canvas().Focus(path)
}

// readBench reads files of bench sheets and takes what they say. It is no job, so
// that what is being worked at goes on.
func (w *Window) readBench(paths []string) {
	of, club := w.store.State().Study, w.store.State().benchClub()
	w.around.Go(func() {
		var tables []study.BenchTable
		var err error
		for _, path := range paths {
			var t []study.BenchTable
			if t, err = study.ReadBench(strings.TrimSpace(path)); err != nil {
				break
			}
			tables = append(tables, t...)
		}
		w.around.Later(func() {
			st := w.store.State().Study
			switch {
			case st == nil || st.Path != of.Path: // another study was opened meanwhile
			case err != nil:
				w.store.Do(Say{Notice{sentence(err), true}})
			default:
				w.takeBench(tables, club)
			}
		})
	})
}
