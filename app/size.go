package app

import (
	"fmt"
	"os"
	"strconv"

	"fyne.io/fyne/v2"
)

// sizes are how large all in the window can be drawn, %.
var sizes = []int{100, 125, 150, 200}

// sizeVariable is the variable of the environment from which the toolkit takes
// how large the user wants things, whenever its settings change. There is no
// call for it.
const sizeVariable = "FYNE_SCALE"

// setSize draws all in the window larger or smaller, and remembers it. The window
// stays as large as it is.
func (w *Window) setSize(percent int) {
	w.prefs.Size = percent
	w.keepPreferences()
	w.applySize()
	c := w.win.Canvas()
	was, scale := c.Size(), c.Scale()
	w.app.Settings().SetTheme(newTheme(w.prefs.Look)) // has the settings read again
	if by := scale / c.Scale(); by != 1 && !w.win.FullScreen() {
		w.win.Resize(fyne.NewSize(was.Width*by, was.Height*by))
	}
	w.menu.checkSize(percent)
}

// applySize tells the toolkit the size remembered, if there is one: else it goes
// by the display.
func (w *Window) applySize() {
	if w.prefs.Size == 0 {
		return
	}
	if err := os.Setenv(sizeVariable, strconv.FormatFloat(float64(w.prefs.Size)/100, 'g', -1, 64)); err != nil {
		w.store.Do(Say{Notice{sentence(err), true}})
	}
}

// sizeName is the size in the menu.
func sizeName(percent int) string { return fmt.Sprintf("Size %d %%", percent) }
