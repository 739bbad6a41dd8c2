package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/widgets"
)

// copyable returns the heading of a table with a button that copies it.
func (w *Window) copyable(text string, table *widgets.ValueTable) fyne.CanvasObject {
	b := widget.NewButtonWithIcon("Copy", theme.ContentCopyIcon(), func() {
		w.app.Clipboard().SetContent(table.Text())
		w.store.Do(Say{Notice{Text: "The table is on the clipboard, with tabs between its columns."}})
	})
	b.Importance = widget.LowImportance
	return container.NewHBox(heading(text), b)
}
