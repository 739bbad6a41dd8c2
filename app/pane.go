package app

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/widgets"
)

// pane shows one run in space.
type pane struct {
	root   *fyne.Container
	view   *widgets.ShaftView
	words  *widget.Label // in place of the picture, where there is none
	figure *figure       // nil without a picture
	frame  int           // drawn; -1 for none
}

func newPane(w *Window) *pane {
	p := &pane{view: widgets.NewShaftView(), words: newWords(""), frame: -1}
	p.words.Alignment = fyne.TextAlignCenter
	p.view.OnCamera = func(c widgets.Camera) { w.store.Do(SetCamera{c}) }
	p.view.OnReset = func() { w.store.Do(SetView{w.store.State().View}) }
	p.root = container.NewStack(p.view, container.NewVBox(layoutGap(), p.words))
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
	sw := s.Swing(id)
	if sw == nil {
		p.figure = nil
		return
	}
	f := p.figure
	if f != nil && f.swing == sw && f.fixed == s.View.gripFixed() && f.factor == s.Exaggeration {
		return
	}
	p.figure = newFigure(sw, *s.Study.Club(s.Study.Runs[s.RunIndex(id)].Club), s.Study.World, s.View, s.Exaggeration)
	p.frame = -1
}

// present shows the run at the state's time. slot is its place, which gives
// the colour; camera is shared by all panes.
func (p *pane) present(s State, id string, slot int, camera widgets.Camera) {
	i := s.RunIndex(id)
	run := s.Study.Runs[i]
	p.view.SetCaption(fmt.Sprintf("%s  %s", id, about(s.Study, run)))
	text := ""
	frame, placed := -1, false
	if p.figure == nil {
		text = describe(run, s.Results[i])
	} else if frame, placed = s.FrameOf(p.figure.swing); !placed {
		text = "No impact was found in this run, so it cannot be held together with others at impact. Hold the runs together at the top instead."
	}
	if text != p.words.Text {
		p.words.SetText(text)
	}
	if !placed {
		p.frame = -1
		p.view.SetScene(widgets.Scene{})
		p.view.SetNote("")
		return
	}
	if p.view.Camera() != camera {
		p.view.SetCamera(camera)
	}
	if frame != p.frame {
		p.frame = frame
		p.view.SetScene(p.figure.scene(frame, widgets.Palette[slot]))
	}
	p.view.SetNote(drawn(s.Exaggeration))
}

// drawn says how the bend is drawn.
func drawn(factor float64) string {
	if factor == 1 {
		return "bend drawn to scale"
	}
	return fmt.Sprintf("bend drawn %g times as large", factor)
}
