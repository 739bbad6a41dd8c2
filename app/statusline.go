package app

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// statusLine is the line at the bottom: the last notice, and the work under
// way.
type statusLine struct {
	root   fyne.CanvasObject
	notice *widget.Label
	work   *fyne.Container
	title  *widget.Label
	bar    *widget.ProgressBar
	job    Job
	said   Notice
}

func newStatusLine(cancel func()) *statusLine {
	l := &statusLine{notice: widget.NewLabel(""), title: widget.NewLabel(""), bar: widget.NewProgressBar()}
	l.bar.TextFormatter = func() string { return "" } // the words beside it tell more, and can be read on any ground
	l.notice.Truncation = fyne.TextTruncateEllipsis
	l.work = container.NewHBox(l.title,
		container.NewGridWrap(fyne.NewSize(160, l.title.MinSize().Height), l.bar),
		widget.NewButton("Cancel", cancel))
	l.work.Hide()
	l.root = container.NewVBox(widget.NewSeparator(), container.NewBorder(nil, nil, nil, l.work, l.notice))
	return l
}

func (l *statusLine) present(s State) {
	if n := s.said(); n != l.said {
		l.said = n
		l.notice.Importance, l.notice.Truncation, l.notice.Wrapping = widget.MediumImportance, fyne.TextTruncateEllipsis, fyne.TextWrapOff
		if n.Bad { // to its end, where it says what to do
			l.notice.Importance, l.notice.Truncation, l.notice.Wrapping = widget.DangerImportance, fyne.TextTruncateOff, fyne.TextWrapWord
		}
		l.notice.SetText(n.Text)
	}
	if s.Job == l.job {
		return
	}
	l.job = s.Job
	show(l.work, s.Job.Title != "")
	text := s.Job.Title
	if s.Job.Total > 0 {
		text = fmt.Sprintf("%s: %d of %d", s.Job.Title, s.Job.Done, s.Job.Total)
		l.bar.SetValue(float64(s.Job.Done) / float64(s.Job.Total))
	} else {
		l.bar.SetValue(0)
	}
	l.title.SetText(text)
}
