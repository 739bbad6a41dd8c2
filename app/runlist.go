package app

import (
	"fmt"
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// runList is the list at the left: every run with its club, player and state,
// a tick for those side by side, and what is known of the selected one.
type runList struct {
	root   fyne.CanvasObject
	list   *keyList
	detail *runDetail
	count  *widget.Label
	state  State
}

func newRunList(w *Window) *runList {
	l := &runList{count: widget.NewLabel(""), detail: newRunDetail(w)}
	l.count.Importance = widget.LowImportance
	l.list = newKeyList(w.typedKey)
	l.list.Length = func() int {
		if l.state.Study == nil {
			return 0
		}
		return len(l.state.Study.Runs)
	}
	l.list.CreateItem = func() fyne.CanvasObject { return newRunRow(w, l.list) }
	l.list.OnToggle = func(i int) { w.showRun(l.state.Study.Runs[i].ID, !l.state.isPane(l.state.Study.Runs[i].ID)) }
	l.list.OnRange = func(from, to int) {
		for i := from; i <= to; i++ {
			w.showRun(l.state.Study.Runs[i].ID, true)
		}
	}
	l.list.UpdateItem = func(i widget.ListItemID, o fyne.CanvasObject) { o.(*runRow).present(l.state, i) }
	l.list.OnSelected = func(i widget.ListItemID) {
		if id := l.state.Study.Runs[i].ID; id != l.state.Selected {
			w.store.Do(SelectRun{id})
		}
	}
	title := widget.NewLabel("Runs")
	title.TextStyle.Bold = true
	head := container.NewBorder(nil, nil, title, l.count)
	split := container.NewVSplit(container.NewBorder(head, nil, nil, nil, l.list), l.detail.root)
	split.Offset = 0.66
	l.root = split
	return l
}

func (l *runList) present(s State) {
	was := l.state
	l.state = s
	if s.Study == nil {
		return
	}
	if was.Study != s.Study || was.Selected != s.Selected || !slices.Equal(was.Panes, s.Panes) ||
		!slices.Equal(was.Results, s.Results) {
		done := 0
		for i, r := range s.Results {
			if !s.Waits(i) && r.OK() {
				done++
			}
		}
		l.count.SetText(fmt.Sprintf("%d of %d analysed", done, len(s.Results)))
		l.list.Refresh()
		l.detail.present(s)
	}
	if i := s.RunIndex(s.Selected); i >= 0 && (was.Study == nil || was.Selected != s.Selected) {
		l.list.Select(i)
	}
}

// runRow is one run in the list.
type runRow struct {
	listRow
	body        fyne.CanvasObject
	show        *tick
	chip        *canvas.Rectangle
	name        *widget.Label
	whose, club *widget.Label
	both        *fyne.Container // of the two
	status      *widget.Label
	run         string
}

// bothLayout puts two labels side by side. Where there is no room for both, the
// first has not much more than half, so that something of either is seen.
type bothLayout struct{ left, right *widget.Label }

func (l *bothLayout) MinSize([]fyne.CanvasObject) fyne.Size {
	a, b := l.left.MinSize(), l.right.MinSize()
	return fyne.NewSize(a.Width+b.Width, max(a.Height, b.Height))
}

func (l *bothLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	th := l.left.Theme()
	inset := th.Size(theme.SizeNameInnerPadding)
	room := func(label *widget.Label) float32 {
		if label.Text == "" {
			return 0
		}
		return fyne.MeasureText(label.Text, th.Size(theme.SizeNameCaptionText), label.TextStyle).Width + 2*inset + 1
	}
	between := 2*inset - th.Size(theme.SizeNamePadding)/2 // the two insets are more than a space
	a, b := room(l.left), room(l.right)
	if a == 0 {
		between = 0
	}
	all := size.Width + between
	a = min(a, max(0.58*all, all-b))
	l.left.Resize(fyne.NewSize(a, size.Height))
	l.right.Move(fyne.NewPos(max(0, a-between), 0))
	l.right.Resize(fyne.NewSize(size.Width-max(0, a-between), size.Height))
}

func newRunRow(w *Window, list *keyList) *runRow {
	r := &runRow{listRow: listRow{list: list}, chip: canvas.NewRectangle(color.Transparent),
		name: widget.NewLabel(""), whose: widget.NewLabel(""), club: widget.NewLabel(""), status: widget.NewLabel("")}
	r.show = newTick("", func(on bool) {
		w.showRun(r.run, on)
	})
	r.chip.SetMinSize(fyne.NewSize(4, 26))
	r.chip.CornerRadius = 2
	for _, l := range []*widget.Label{r.name, r.whose, r.club} {
		l.Truncation = fyne.TextTruncateEllipsis
	}
	for _, l := range []*widget.Label{r.whose, r.club} {
		l.Importance = widget.LowImportance
		l.SizeName = theme.SizeNameCaptionText
	}
	r.status.SizeName = theme.SizeNameCaptionText
	r.name.SizeName = theme.SizeNameText
	r.both = container.New(&bothLayout{r.whose, r.club}, r.whose, r.club)
	lines := container.New(layout.NewCustomPaddedVBoxLayout(-14),
		container.NewBorder(nil, nil, nil, r.status, r.name), r.both)
	r.body = container.NewBorder(nil, nil, container.NewHBox(container.NewCenter(r.chip), r.show), nil, lines)
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is part of fyne.Widget.
func (r *runRow) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(r.body) }

// present shows the ith run.
func (r *runRow) present(s State, i int) {
	run := s.Study.Runs[i]
	r.run, r.at = run.ID, i
	pane := slices.Index(s.Panes, run.ID)
	r.chip.FillColor = color.Transparent
	if pane >= 0 {
		r.chip.FillColor = widgets.Palette[pane]
	}
	r.chip.Refresh()
	r.show.set(pane >= 0)
	r.name.SetText(run.ID)
	whose := playerLabel(s.Study, run.Player)
	if whose != "" {
		whose += ","
	}
	r.whose.SetText(whose)
	r.club.SetText(clubLabel(s.Study, run.Club))
	r.both.Refresh()
	r.name.TextStyle.Italic = len(run.Corrections()) > 0
	text, importance := status(run, s.Results[i])
	if s.stale[i] {
		text, importance = "waiting", widget.LowImportance
	}
	r.status.Importance = importance
	r.status.SetText(text)
}

// showRun puts a run among those side by side, or takes it away.
func (w *Window) showRun(id string, on bool) {
	if w.store.State().isPane(id) != on {
		w.store.Do(ShowRun{id, on})
		w.readMarkers()
	}
}

func clubLabel(st *study.Study, id string) string {
	if c := st.Club(id); c != nil && c.Label != "" {
		return c.Label
	}
	return id
}

// clubNames returns what the clubs of a study are called where one is chosen by
// its name: no two the same.
func clubNames(st *study.Study) []string {
	names := make([]string, len(st.Clubs))
	for i, c := range st.Clubs {
		names[i] = clubLabel(st, c.ID)
		if slices.Contains(names[:i], names[i]) {
			names[i] += ", " + c.ID
		}
	}
	return names
}

func playerLabel(st *study.Study, id string) string {
	if p := st.Player(id); p != nil && p.Label != "" {
		return p.Label
	}
	return id
}

// status returns the state of a run in a word or two.
func status(run study.Run, r *study.Result) (string, widget.Importance) {
	switch {
	case r == nil && run.Excluded == "":
		return "waiting", widget.LowImportance
	case r != nil && !r.OK():
		return "failed", widget.DangerImportance
	case run.Excluded != "":
		return "excluded", widget.LowImportance
	case slices.ContainsFunc(r.Flags, serious):
		return plural(len(r.Flags), "flag"), widget.WarningImportance
	case len(r.Flags) > 0:
		return plural(len(r.Flags), "flag"), widget.LowImportance
	}
	return "analysed", widget.LowImportance
}

// plural returns a count with its noun.
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
