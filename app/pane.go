package app

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// pane shows one run in space.
type pane struct {
	root   *fyne.Container
	view   *widgets.ShaftView
	words  *widget.Label // in place of the picture, where there is none
	large  *widget.Button
	run    string
	figure *figure // nil without a picture
	drawn  paneKey
}

// A paneKey is what a pane's picture depends on beside its figure.
type paneKey struct {
	frame int // -1 for none
	slot  int
	band  bool
	seen  *study.Sighting
}

var notDrawn = paneKey{frame: -1}

func newPane(w *Window) *pane {
	p := &pane{view: widgets.NewShaftView(), words: newWords(""), drawn: notDrawn}
	p.words.Alignment = fyne.TextAlignCenter
	p.view.OnCamera = func(c widgets.Camera) { w.store.Do(SetCamera{c}) }
	p.view.OnReset = func() { w.store.Do(SetView{w.store.State().View}) }
	p.large = widget.NewButtonWithIcon("", theme.ViewFullScreenIcon(), func() { w.toggleLarge(p.run) })
	p.large.Importance = widget.LowImportance
	p.view.NoteRoom = p.large.MinSize().Width
	corner := container.NewVBox(layout.NewSpacer(), container.NewHBox(layout.NewSpacer(), p.large))
	p.root = container.NewStack(p.view, container.NewVBox(layoutGap(), p.words), corner)
	return p
}

// layoutGap keeps words below the caption of a view.
func layoutGap() fyne.CanvasObject {
	g := widget.NewLabel(" ")
	g.TextStyle.Bold = true
	return g
}

// prepare makes the figure of the run for the state's view and exaggeration,
// if it is not made already.
func (p *pane) prepare(s State, id string) {
	p.run = id
	sw := s.Swing(id)
	if sw == nil {
		p.figure = nil
		return
	}
	f := p.figure
	if f == nil || f.swing != sw || f.fixed != s.View.gripFixed() || f.factor != s.Exaggeration {
		p.figure = newFigure(sw, *s.Study.Club(s.Study.Runs[s.RunIndex(id)].Club), s.Study.World, s.View, s.Exaggeration)
		p.drawn = notDrawn
	}
	if s.Markers {
		p.figure.see(s.Sight(id))
	} else {
		p.figure.see(nil)
	}
}

// present shows the run at the state's time. slot is its place, which gives
// the colour; camera is shared by all panes.
func (p *pane) present(s State, slot int, camera widgets.Camera) {
	i := s.RunIndex(p.run)
	run := s.Study.Runs[i]
	p.view.SetCaption(caption(s.Study, run))
	text := ""
	key, placed := notDrawn, false
	if p.figure == nil {
		text = describe(run, s.Results[i])
	} else if key.frame, placed = s.FrameOf(p.figure.swing); !placed {
		text = "No impact was found in this run, so it cannot be held together with others at impact. Hold the runs together at the top instead, or set the impact by hand."
	}
	if placed && !p.figure.swing.Grip[key.frame].Known() {
		text = "Nothing is fitted at this instant: it lies outside the window, or too few markers were seen."
	}
	if text != p.words.Text {
		p.words.SetText(text)
	}
	icon := theme.ViewFullScreenIcon()
	if s.Large == p.run {
		icon = theme.ViewRestoreIcon()
	}
	if p.large.Icon == nil || p.large.Icon.Name() != icon.Name() {
		p.large.SetIcon(icon)
	}
	if !placed {
		if p.drawn != notDrawn || p.view.Camera() != camera {
			p.drawn = notDrawn
			p.view.SetScene(widgets.Scene{})
		}
		p.view.SetNote("")
		return
	}
	if p.view.Camera() != camera {
		p.view.SetCamera(camera)
	}
	key.slot, key.band, key.seen = slot, s.Band, p.figure.seen
	if key != p.drawn {
		p.drawn = key
		p.view.SetScene(p.figure.scene(key.frame, widgets.Palette[slot], s.Band))
	}
	p.view.SetNote(note(s, i, p.figure))
}

// caption returns what stands over every picture of a run: which it is, what was
// corrected in it, and whose it is. The club stands beside the line of its shaft.
func caption(st *study.Study, run study.Run) string {
	text := run.ID
	if what := run.Corrections(); len(what) > 0 {
		text += " (" + strings.Join(what, ", ") + ")"
	}
	if run.Excluded != "" {
		text += " (left out)"
	}
	return strings.TrimRight(text+"  "+playerLabel(st, run.Player), " ")
}

// note says how the picture of the ith run is drawn.
func note(s State, i int, f *figure) string {
	var parts []string
	if s.stale[i] {
		parts = append(parts, "being analysed again")
	}
	if f.factor == 1 {
		parts = append(parts, "bend to scale")
	} else {
		parts = append(parts, fmt.Sprintf("bend drawn %g×", f.factor))
	}
	if s.Band {
		parts = append(parts, "band: 95 % at the tip")
	}
	switch {
	case s.Markers && f.seen != nil:
		parts = append(parts, fmt.Sprintf("distances of markers %d×", residualFactor))
	case s.Markers:
		parts = append(parts, "reading markers")
	}
	return strings.Join(parts, "; ") + setByHand(s.Study)
}
