package app

import (
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/kinematics"
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

// valuesNow returns the measures of the runs side by side at the instant shown as
// lines of cells separated by tabs, each value followed by its u95: at impact
// itself those at first contact. It is "" where no run is shown.
func valuesNow(s State) string {
	var b strings.Builder
	b.WriteString("run\tms from " + alignNames[s.Align])
	for _, m := range study.Measures {
		fmt.Fprintf(&b, "\t%s, %s\tu95", m.Label, m.Unit)
	}
	shown := 0
	for _, id := range s.visible() {
		sw := s.Swing(id)
		if sw == nil {
			continue
		}
		frame, ok := s.FrameOf(sw)
		if !ok {
			continue
		}
		shown++
		fmt.Fprintf(&b, "\n%s\t%s", id, decimal(s.Time*milli, 1))
		for _, m := range study.Measures {
			e := m.AtImpact(sw)
			if s.Align != AlignImpact || math.Abs(s.Time) >= 0.5/sw.Rate {
				series := m.Series(sw)
				e = kinematics.Estimate{Value: series.Value[frame], U95: series.U95[frame]}
			}
			fmt.Fprintf(&b, "\t%s\t%s", shownValue(m, e.Value), shownValue(m, e.U95))
		}
	}
	if shown == 0 {
		return ""
	}
	return strings.NewReplacer("−", "-", "–", "").Replace(b.String()) + "\n"
}

// copyValues puts the values at the instant shown on the clipboard.
func (w *Window) copyValues() {
	s := w.store.State()
	if w.asking() || s.Study == nil || s.Screen != SwingScreen || s.Bringing {
		return
	}
	text := valuesNow(s)
	if text == "" {
		w.store.Do(Say{Notice{"No run is shown whose values could be copied.", true}})
		return
	}
	w.app.Clipboard().SetContent(text)
	w.store.Do(Say{Notice{Text: "The values at this instant are on the clipboard, with tabs between them."}})
}
