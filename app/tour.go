package app

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// tour is what a newcomer is told, step by step, each on its screen.
var tour = []struct {
	screen Screen
	text   string
}{
	{SwingScreen, "Look. Tick runs in the list to put up to six side by side. Space plays, left and right step a frame, T, L and I go to top, peak lag and impact. Drag a picture to turn it; what a chart shows is chosen in its corner."},
	{SwingScreen, "Correct. Select a run to read at the left what is doubtful about it. Drag the words “top” and “impact” above the time bar to move an event, exchange labels under “Labels…”, or leave the run out with a reason. Ctrl+Z takes anything back, and figures say what was set by hand."},
	{CompareScreen, "Compare, and leave with slides. This page says whether the prototype differs from the baseline at impact, and how sure that is. “Slides” shows the deck of the design review, slide by slide; “Export…” writes it, and tables. F1 lists all keys."},
}

// tourStrip is the strip at the top that shows the tour.
type tourStrip struct {
	root *fyne.Container
	text *widget.Label
	next *widget.Button
	step int
}

func newTourStrip(w *Window) *tourStrip {
	t := &tourStrip{text: newWords("")}
	t.next = widget.NewButton("", func() { w.store.Do(TakeTour{(w.store.State().Tour + 1) % (len(tour) + 1)}) })
	t.next.Importance = widget.HighImportance
	end := widget.NewButton("Close", func() { w.store.Do(TakeTour{}) })
	buttons := container.NewCenter(container.NewHBox(t.next, end))
	t.root = container.NewVBox(container.NewBorder(nil, nil, nil, buttons, t.text), widget.NewSeparator())
	return t
}

func (t *tourStrip) present(s State) {
	show(t.root, s.Tour > 0)
	if s.Tour == 0 || s.Tour == t.step {
		return
	}
	t.step = s.Tour
	t.text.SetText(fmt.Sprintf("%d of %d: %s", s.Tour, len(tour), tour[s.Tour-1].text))
	t.next.SetText("Next")
	if s.Tour == len(tour) {
		t.next.SetText("Done")
	}
}
