package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// welcome is the page before a study is open.
type welcome struct {
	root fyne.CanvasObject
	form *openForm
	demo *widget.Button
}

func newWelcome(w *Window) *welcome {
	p := &welcome{form: newOpenForm(w, func(path string) { w.Open([]string{path}) })}
	title := widget.NewLabel("Bendline")
	title.SizeName = theme.SizeNameHeadingText
	title.TextStyle.Bold = true
	p.demo = widget.NewButton("Open the demo", w.OpenDemo)
	p.demo.Importance = widget.HighImportance

	page := container.NewVBox(
		title,
		newWords("See how the shaft of a golf club bends and twists through the swing, and whether a prototype differs from its baseline at impact."),
		gap(14),
		heading("Try it without data"),
		newWords("The demo is a study of two shafts. Everything in it is simulated: the captures, the players and the shafts. It is written to your cache folder once."),
		container.NewHBox(p.demo),
		gap(14),
		heading("Open a study, or captures"),
		newWords("Name a study, a capture, or a folder of either, or drop it on this window. Captures need no study yet: you say which club and player each shows, and they become one. A study is a folder of captures with a study.json."),
		p.form.root,
	)
	p.root = container.New(layout.NewCenterLayout(), container.NewGridWrap(fyne.NewSize(680, 560), page))
	return p
}

// heading returns a bold line.
func heading(text string) fyne.CanvasObject {
	l := widget.NewLabel(text)
	l.SizeName = theme.SizeNameSubHeadingText
	l.TextStyle.Bold = true
	return l
}

// gap returns an empty strip of the given height.
func gap(height float32) fyne.CanvasObject {
	return container.NewGridWrap(fyne.NewSize(1, height), layout.NewSpacer())
}
