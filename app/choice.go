package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// A choice is a row of buttons of which one is down.
type choice struct {
	root    *fyne.Container
	buttons []*widget.Button
	down    int
}

// newChoice returns a choice between names; pick is told what the user takes.
func newChoice(names []string, pick func(i int)) *choice {
	c := &choice{root: container.NewHBox(), down: -1}
	for i, name := range names {
		b := widget.NewButton(name, func() { pick(i) })
		c.buttons = append(c.buttons, b)
		c.root.Add(b)
	}
	return c
}

// set puts button i down.
func (c *choice) set(i int) {
	if i == c.down {
		return
	}
	c.down = i
	for k, b := range c.buttons {
		b.Importance = widget.MediumImportance
		if k == i {
			b.Importance = widget.HighImportance
		}
		b.Refresh()
	}
}

// A pick is a choice from a list that opens.
type pick struct {
	widget.Select
	down int
}

// newPick returns a pick from names; take is told what the user takes, and the
// keyboard then goes back to the window.
func newPick(w *Window, names []string, take func(i int)) *pick {
	p := &pick{down: -1}
	p.Options = names
	p.ExtendBaseWidget(p)
	p.OnChanged = func(string) {
		w.win.Canvas().Unfocus()
		if i := p.SelectedIndex(); i >= 0 && i != p.down {
			take(i)
		}
	}
	return p
}

// set shows the ith name without telling anyone.
func (p *pick) set(i int) {
	if i == p.down {
		return
	}
	p.down = i
	p.Selected = ""
	if i >= 0 {
		p.Selected = p.Options[i]
	}
	p.Refresh()
}

// labelled returns content with a small grey word before it.
func labelled(word string, content fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(word)
	l.Importance = widget.LowImportance
	return container.NewHBox(l, content)
}

// newWords returns a label whose text wraps.
func newWords(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	return l
}
