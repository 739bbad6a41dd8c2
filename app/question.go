package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// A reply to a question, and what it leads to.
type reply struct {
	text string
	do   func()
}

// ask asks a question with a button for each reply. The last is the one that
// loses nothing, and stands out.
func (w *Window) ask(question, words string, replies ...reply) {
	d := dialog.NewCustomWithoutButtons(question, newWords(words), w.win)
	var buttons []fyne.CanvasObject
	for i, a := range replies {
		b := widget.NewButton(a.text, func() {
			d.Hide()
			a.do()
		})
		if i == len(replies)-1 {
			b.Importance = widget.HighImportance
		}
		buttons = append(buttons, b)
	}
	d.SetButtons(buttons)
	d.Resize(fyne.NewSize(480, 170))
	d.Show()
}
