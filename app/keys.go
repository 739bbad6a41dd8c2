package app

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// keyHelp is what F1 shows.
var keyHelp = [][2]string{
	{"Space", "play or pause"},
	{"Left, right", "one frame back or on"},
	{"Home, End", "first or last instant"},
	{"T, L, I", "go to top, peak lag, impact"},
	{"Ctrl+T, Ctrl+I", "set top, or impact, to the instant shown"},
	{"1, 2, 3, 4", "face on, down the line, along the shaft, grip held still"},
	{"Up, down, page keys", "choose a run, in the list"},
	{"Ctrl+click, shift+click", "tick one more row of a list, or all up to it"},
	{"Enter", "show the selected run beside the others, or no longer"},
	{"F, Escape", "let the selected run fill the window, and back"},
	{"U, M", "uncertainty, markers"},
	{"C", "curves of each run, or means"},
	{"F2 to F7", "swing, comparison, data, slides, bench, bay"},
	{"1 to 9, Space", "in a fitting session: choose the shaft, the next one"},
	{"A, G, X, N, R", "there: add a shaft, give the swing to another shaft, leave it out, next fault, hold the others against this shaft"},
	{"P, D, Left, right", "there: player sheet, the other page, swing before or after"},
	{"Left, right; up, down", "on the slides: turn to the slide before or after; choose a line of the list"},
	{"Space; Alt+up, Alt+down", "there: take the slide or leave it out; move it"},
	{"F11", "fill the whole display"},
	{"Ctrl+N, Ctrl+O", "begin a study, open one"},
	{"Ctrl+Enter", "bring in the captures shown"},
	{"Ctrl+S, Ctrl+Shift+S", "save the study, save it as another"},
	{"Ctrl+E", "export slides, tables, pictures"},
	{"Ctrl+C", "copy the values at the instant shown, or a table"},
	{"Ctrl+Z", "undo"},
	{"Ctrl+Shift+Z, Ctrl+Y", "redo"},
	{"Ctrl+Q", "quit"},
	{"Drag, wheel in a picture", "turn, come nearer; a double click brings the view back"},
	{"Wheel in a curve", "widen the time; a double click shows all of it"},
	{"Shift+drag in a curve", "move along the time"},
	{"Drag “top”, “impact”", "move the event, on the time bar"},
}

// bindKeys gives the window its keys: those of the menu, and the others.
func (w *Window) bindKeys() {
	c := w.win.Canvas()
	c.SetOnTypedKey(w.typedKey)
	c.AddShortcut(&fyne.ShortcutCopy{}, func(fyne.Shortcut) { w.copyValues() })
	c.AddShortcut(bringKey, func(fyne.Shortcut) {
		if w.store.State().Bringing && !w.asking() {
			w.bringThemIn()
		}
	})
	c.AddShortcut(&fyne.ShortcutRedo{}, func(fyne.Shortcut) { w.redo() })
	for name, by := range map[fyne.KeyName]int{fyne.KeyUp: -1, fyne.KeyDown: 1} {
		c.AddShortcut(&desktop.CustomShortcut{KeyName: name, Modifier: fyne.KeyModifierAlt}, func(fyne.Shortcut) {
			if s := w.store.State(); s.Study != nil && s.Screen == SlidesScreen && !s.Bringing && !w.asking() {
				w.change(MoveSlide{by})
			}
		})
	}
	for _, m := range w.menu.menu.Items {
		for _, item := range m.Items {
			if item.Shortcut != nil {
				c.AddShortcut(item.Shortcut, func(fyne.Shortcut) { item.Action() })
			}
		}
	}
}

// A typed is a box that keeps what was typed into it, to take it back.
type typed interface {
	Undo()
	Redo()
}

// undo takes back what was typed last in a box that has the keyboard, else the
// last change of the study.
func (w *Window) undo() {
	if e, ok := w.win.Canvas().Focused().(typed); ok {
		e.Undo()
	} else if !w.asking() {
		w.change(Undo{})
	}
}

// redo is the reverse of undo.
func (w *Window) redo() {
	if e, ok := w.win.Canvas().Focused().(typed); ok {
		e.Redo()
	} else if !w.asking() {
		w.change(Redo{})
	}
}

// typedKey does what a key without a modifier does. Over a dialog, only Escape
// does anything: it closes it.
func (w *Window) typedKey(e *fyne.KeyEvent) {
	if w.asking() {
		if e.Name == fyne.KeyEscape {
			w.escape()
		}
		return
	}
	s := w.store.State()
	switch e.Name {
	case fyne.KeyF1:
		w.showKeys()
	case fyne.KeyF11:
		w.win.SetFullScreen(!w.win.FullScreen())
	case fyne.KeyF2, fyne.KeyF3, fyne.KeyF4, fyne.KeyF5, fyne.KeyF6, fyne.KeyF7:
		w.store.Do(ShowScreen{Screen(e.Name[1] - '2')})
	case fyne.KeyReturn, fyne.KeyEnter:
		if s.RunIndex(s.Selected) >= 0 {
			w.showRun(s.Selected, !s.isPane(s.Selected))
		}
	}
	if s.Study != nil && s.Screen == SlidesScreen && !s.Bringing {
		w.slideTyped(s, e.Name)
	}
	if s.Study != nil && s.Screen == BayScreen && s.Bay.On() && !s.Bringing {
		w.bayKey(s, e.Name)
	}
	if s.Study == nil || s.Screen != SwingScreen || s.Bringing {
		return
	}
	if s.Large == "" && moves(e.Name) {
		w.runs.list.TypedKey(e)
	}
	switch e.Name {
	case fyne.KeySpace:
		w.togglePlay()
	case fyne.KeyLeft:
		w.store.Do(Step{-1})
	case fyne.KeyRight:
		w.store.Do(Step{1})
	case fyne.KeyHome:
		w.store.Do(JumpEnd{})
	case fyne.KeyEnd:
		w.store.Do(JumpEnd{Last: true})
	case fyne.KeyT:
		w.store.Do(Jump{Top})
	case fyne.KeyL:
		w.store.Do(Jump{PeakLag})
	case fyne.KeyI:
		w.store.Do(Jump{Impact})
	case fyne.KeyF:
		w.toggleLarge(s.Leader())
	case fyne.KeyEscape:
		w.store.Do(Enlarge{})
	case fyne.KeyU:
		w.store.Do(ShowBand{!s.Band})
	case fyne.KeyM:
		w.showMarkers(!s.Markers)
	case fyne.KeyC:
		w.store.Do(SetGrouping{(s.Grouping + 1) % Grouping(len(groupingNames))})
	case fyne.Key1, fyne.Key2, fyne.Key3, fyne.Key4:
		w.store.Do(SetView{View(e.Name[0] - '1')})
	}
}

// showKeys tells what the keys do.
func (w *Window) showKeys() {
	if w.asking() {
		return
	}
	columns := container.NewGridWithColumns(2)
	for half := range slices.Chunk(keyHelp, (len(keyHelp)+1)/2) {
		rows := container.New(layout.NewFormLayout())
		for _, k := range half {
			key := widget.NewLabel(k[0])
			key.TextStyle.Bold = true
			rows.Add(key)
			rows.Add(newWords(k[1]))
		}
		columns.Add(container.NewVBox(rows))
	}
	d := dialog.NewCustom("Keys", "Close", container.NewVScroll(columns), w.win)
	room := w.win.Canvas().Size()
	d.Resize(fyne.NewSize(min(1240, room.Width-20), min(680, room.Height-20)))
	d.Show()
}
