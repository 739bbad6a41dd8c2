package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// keyHelp is what F1 shows.
var keyHelp = [][2]string{
	{"Space", "play or pause"},
	{"Left, right", "one frame back or on"},
	{"Home, End", "first or last instant"},
	{"T, L, I", "go to top, peak lag, impact"},
	{"1, 2, 3, 4", "face on, down the line, along the shaft, grip held still"},
	{"Up, down", "choose a run, in the list"},
	{"Ctrl+O", "open a study"},
	{"Ctrl+S", "save the study"},
	{"Ctrl+E", "export slides"},
	{"Ctrl+Z", "undo"},
	{"Ctrl+Shift+Z, Ctrl+Y", "redo"},
	{"Ctrl+Q", "quit"},
	{"Drag, wheel in a picture", "turn, come nearer; a double click brings the view back"},
	{"Wheel in a curve", "widen the time; a double click shows all of it"},
}

// bindKeys gives the window its keys: those of the menu, and the others.
func (w *Window) bindKeys() {
	c := w.win.Canvas()
	c.SetOnTypedKey(w.typedKey)
	c.AddShortcut(&fyne.ShortcutRedo{}, func(fyne.Shortcut) { w.redo() })
	for _, m := range w.menu.menu.Items {
		for _, item := range m.Items {
			if item.Shortcut != nil {
				c.AddShortcut(item.Shortcut, func(fyne.Shortcut) { item.Action() })
			}
		}
	}
}

// undo takes back what was typed last in an entry that has the keyboard, else
// the last change of the study.
func (w *Window) undo() {
	if e, ok := w.win.Canvas().Focused().(*entry); ok {
		e.Undo()
	} else if !w.asking() {
		w.store.Do(Undo{})
	}
}

// redo is the reverse of undo.
func (w *Window) redo() {
	if e, ok := w.win.Canvas().Focused().(*entry); ok {
		e.Redo()
	} else if !w.asking() {
		w.store.Do(Redo{})
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
	if e.Name == fyne.KeyF1 {
		w.showKeys()
		return
	}
	s := w.store.State()
	if s.Study == nil || s.Screen != SwingScreen {
		return
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
	case fyne.Key1, fyne.Key2, fyne.Key3, fyne.Key4:
		w.store.Do(SetView{View(e.Name[0] - '1')})
	}
}

// showKeys tells what the keys do.
func (w *Window) showKeys() {
	if w.asking() {
		return
	}
	rows := container.New(layout.NewFormLayout())
	for _, k := range keyHelp {
		key := widget.NewLabel(k[0])
		key.TextStyle.Bold = true
		rows.Add(key)
		rows.Add(widget.NewLabel(k[1]))
	}
	dialog.NewCustom("Keys", "Close", rows, w.win).Show()
}
