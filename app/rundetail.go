package app

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
)

// runDetail tells about the selected run, and takes it out of comparisons.
type runDetail struct {
	root    fyne.CanvasObject
	title   *widget.Label
	text    *widget.Label
	exclude *widget.Button
	events  *widget.Button
	labels  *widget.Button
	run     study.Run
}

func newRunDetail(w *Window) *runDetail {
	d := &runDetail{title: widget.NewLabel(""), text: newWords("")}
	d.title.TextStyle.Bold = true
	d.title.Truncation = fyne.TextTruncateEllipsis
	d.exclude = widget.NewButton("", func() {
		if d.run.Excluded != "" {
			w.change(Exclude{Run: d.run.ID})
			return
		}
		w.askReason(d.run.ID)
	})
	d.events = widget.NewButton("Events…", func() { w.askEvents(d.run.ID) })
	d.labels = widget.NewButton("Labels…", func() { w.askLabels(d.run.ID) })
	buttons := container.NewVBox(container.NewGridWithColumns(2, d.events, d.labels), d.exclude)
	d.root = container.NewBorder(d.title, buttons, nil, nil, container.NewVScroll(d.text))
	return d
}

func (d *runDetail) present(s State) {
	i := s.RunIndex(s.Selected)
	if i < 0 {
		d.title.SetText("No run selected")
		d.text.SetText("Select a run to read about it.")
		for _, b := range []*widget.Button{d.exclude, d.events, d.labels} {
			b.Hide()
		}
		return
	}
	d.run = s.Study.Runs[i]
	d.title.SetText(d.run.ID)
	d.text.SetText(describe(d.run, s.Results[i]))
	d.exclude.SetText("Leave out of comparisons…")
	if d.run.Excluded != "" {
		d.exclude.SetText("Take back into comparisons")
	}
	for _, b := range []*widget.Button{d.exclude, d.events, d.labels} {
		b.Show()
	}
}

// describe returns what is known of a run, in plain sentences.
func describe(run study.Run, r *study.Result) string {
	var lines []string
	if run.Excluded != "" {
		lines = append(lines, "Left out of comparisons: "+strings.TrimRight(run.Excluded, ".")+".")
	}
	if what := run.Corrections(); len(what) > 0 {
		lines = append(lines, "By hand: "+strings.Join(what, ", ")+".")
	}
	if r != nil && r.Changed {
		lines = append(lines, "• The capture was changed since it was analysed last.")
	}
	switch {
	case r == nil:
		lines = append(lines, "Waits to be analysed.")
	case !r.OK():
		lines = append(lines, sentence(r.Err))
	default:
		lines = append(lines, fmt.Sprintf("%s, %.0f frames a second, %s.",
			plural(r.Capture.Frames, "frame"), r.Capture.Rate, plural(r.Capture.Markers, "marker")))
	}
	if r != nil {
		// What puts the values in doubt is read first: gaps may be many.
		for _, grave := range []bool{true, false} {
			for _, f := range r.Flags {
				if serious(f) == grave {
					lines = append(lines, "• "+flagSentence(f))
				}
			}
		}
		if r.OK() && len(r.Flags) == 0 {
			lines = append(lines, "Nothing to remark.")
		}
		if r.OK() && contactNote(r) != "" {
			lines = append(lines, contactNote(r))
		}
	}
	return strings.Join(lines, "\n")
}

// serious reports whether a flag puts the values of its run in doubt; the others
// tell what was made good.
func serious(f capture.Flag) bool {
	switch f.Code {
	case capture.Gap, capture.UnitGuessed, capture.RateGuessed:
		return false
	}
	return true
}

// flagSentence returns a flag as a sentence that names marker and time where
// its own detail does not.
func flagSentence(f capture.Flag) string {
	text := strings.TrimRight(f.Detail, ".")
	if text == "" {
		text = strings.ReplaceAll(string(f.Code), "_", " ")
	}
	if f.Marker != "" && !strings.Contains(text, f.Marker) {
		text = f.Marker + ": " + text
	}
	return capital(text) + "."
}

// askReason asks why a run is to be left out, and leaves it out.
func (w *Window) askReason(run string) {
	if w.asking() {
		return
	}
	reason := newEntry(w.escape)
	reason.SetPlaceHolder("for example: hit the ground first")
	reason.Validator = func(text string) error {
		if strings.TrimSpace(text) == "" {
			return fmt.Errorf("say why, so that others can follow")
		}
		return nil
	}
	form := dialog.NewForm("Leave "+run+" out of comparisons", "Leave out", "Keep it in",
		[]*widget.FormItem{widget.NewFormItem("Reason", reason)},
		func(ok bool) {
			if ok {
				w.change(Exclude{run, strings.TrimSpace(reason.Text)})
			}
		}, w.win)
	form.Resize(fyne.NewSize(460, 170))
	reason.OnSubmitted = func(string) { form.Submit() }
	form.Show()
	w.win.Canvas().Focus(reason)
}
