package widgets

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// A TimeBar shows and sets the one time all views share, in seconds to impact.
// Pressing or dragging scrubs; with the keyboard, left and right step a frame,
// page up and page down ten, home and end go to the ends. Where OnMark is set,
// the label of a mark can be dragged: the time goes with it.
type TimeBar struct {
	widget.BaseWidget

	OnScrub    func(t float64)        // the user moves the time
	OnScrubEnd func(t float64)        // the user let go after moving it
	OnMark     func(i int, t float64) // the user dragged the ith mark to t and let go; nil: marks stay
	OnTypedKey func(*fyne.KeyEvent)   // a key that does not move the time

	span    extent
	step    float64
	at      float64
	marks   []Mark
	filled  [][2]float64
	moved   bool // since the last OnScrubEnd
	held    int  // mark that is dragged, -1 for none
	over    bool // the pointer is on a label that can be dragged
	focused bool
	drawn   *timeRenderer // nil before there is one
}

var (
	_ fyne.Draggable     = (*TimeBar)(nil)
	_ fyne.Focusable     = (*TimeBar)(nil)
	_ desktop.Mouseable  = (*TimeBar)(nil)
	_ desktop.Hoverable  = (*TimeBar)(nil)
	_ desktop.Cursorable = (*TimeBar)(nil)
)

// NewTimeBar returns a bar from -1 s to 0 with steps of a millisecond, at 0.
func NewTimeBar() *TimeBar {
	b := &TimeBar{span: extent{-1, 0}, step: 1e-3, held: -1}
	b.ExtendBaseWidget(b)
	return b
}

// SetRange sets the ends of the bar and the step of a frame, s, and keeps the
// time within them. It panics unless from is below to and the step positive.
func (b *TimeBar) SetRange(from, to, step float64) {
	if !(from < to) || !(step > 0) {
		panic("widgets: a time bar needs from below to and a positive step")
	}
	b.span, b.step = extent{from, to}, step
	b.at = b.span.hold(b.at)
	b.Refresh()
}

// SetMarks shows named times, s. Of two labels that would touch, the later in
// marks is left out.
func (b *TimeBar) SetMarks(marks []Mark) {
	b.marks, b.held = slices.Clone(marks), -1
	b.Refresh()
}

// SetFilled shows stretches of time, s, as ones in which something was not seen.
func (b *TimeBar) SetFilled(stretches [][2]float64) {
	b.filled = slices.Clone(stretches)
	b.Refresh()
}

// SetTime moves to t, kept within the ends.
func (b *TimeBar) SetTime(t float64) {
	t = b.span.hold(t)
	if t == b.at {
		return
	}
	b.at = t
	if b.drawn != nil {
		b.drawn.point()
	}
}

// Time returns where the bar stands, s.
func (b *TimeBar) Time() float64 { return b.at }

// scrub takes a time from a gesture.
func (b *TimeBar) scrub(t float64) {
	if t = b.span.hold(t); t == b.at {
		return
	}
	b.SetTime(t)
	b.moved = true
	if b.OnScrub != nil {
		b.OnScrub(t)
	}
}

// markAt returns the mark whose label is at a place in the widget, -1 if none
// is or marks stay.
func (b *TimeBar) markAt(pos fyne.Position) int {
	if b.OnMark == nil || b.drawn == nil {
		return -1
	}
	return b.drawn.markAt(pos)
}

// pull moves the mark that is held.
func (b *TimeBar) pull(pos fyne.Position) {
	t := b.span.hold(b.drawn.timeAt(pos.X))
	if t == b.marks[b.held].At {
		return
	}
	b.marks[b.held].At = t
	b.scrub(t)
	b.Refresh()
}

// release ends a gesture.
func (b *TimeBar) release() {
	if held := b.held; held >= 0 {
		b.held = -1
		if b.moved {
			b.moved = false
			b.OnMark(held, b.marks[held].At)
		}
		return
	}
	if b.moved {
		b.moved = false
		if b.OnScrubEnd != nil {
			b.OnScrubEnd(b.at)
		}
	}
}

func (b *TimeBar) scrubTo(pos fyne.Position) {
	switch {
	case b.drawn == nil || b.drawn.track.Size().Width <= 0:
	case b.held >= 0:
		b.pull(pos)
	default:
		b.scrub(b.drawn.timeAt(pos.X))
	}
}

// MouseDown is part of desktop.Mouseable.
func (b *TimeBar) MouseDown(e *desktop.MouseEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Focus(b)
	}
	if e.Button != desktop.MouseButtonPrimary {
		return
	}
	if b.held = b.markAt(e.Position); b.held < 0 {
		b.scrubTo(e.Position)
	}
}

// MouseIn is part of desktop.Hoverable.
func (b *TimeBar) MouseIn(e *desktop.MouseEvent) { b.over = b.markAt(e.Position) >= 0 }

// MouseMoved is part of desktop.Hoverable.
func (b *TimeBar) MouseMoved(e *desktop.MouseEvent) { b.over = b.markAt(e.Position) >= 0 }

// MouseOut is part of desktop.Hoverable.
func (b *TimeBar) MouseOut() { b.over = false }

// Cursor is part of desktop.Cursorable.
func (b *TimeBar) Cursor() desktop.Cursor {
	if b.over || b.held >= 0 {
		return desktop.HResizeCursor
	}
	return desktop.DefaultCursor
}

// MouseUp is part of desktop.Mouseable.
func (b *TimeBar) MouseUp(*desktop.MouseEvent) { b.release() }

// Dragged is part of fyne.Draggable.
func (b *TimeBar) Dragged(e *fyne.DragEvent) { b.scrubTo(e.Position) }

// DragEnd is part of fyne.Draggable.
func (b *TimeBar) DragEnd() { b.release() }

// FocusGained is part of fyne.Focusable.
func (b *TimeBar) FocusGained() {
	b.focused = true
	b.Refresh()
}

// FocusLost is part of fyne.Focusable.
func (b *TimeBar) FocusLost() {
	b.focused = false
	b.Refresh()
}

// TypedRune is part of fyne.Focusable.
func (b *TimeBar) TypedRune(rune) {}

// TypedKey is part of fyne.Focusable.
func (b *TimeBar) TypedKey(e *fyne.KeyEvent) {
	t := b.at
	switch e.Name {
	case fyne.KeyLeft:
		t -= b.step
	case fyne.KeyRight:
		t += b.step
	case fyne.KeyPageUp:
		t -= 10 * b.step
	case fyne.KeyPageDown:
		t += 10 * b.step
	case fyne.KeyHome:
		t = b.span.lo
	case fyne.KeyEnd:
		t = b.span.hi
	default:
		if b.OnTypedKey != nil {
			b.OnTypedKey(e)
		}
		return
	}
	b.scrub(t)
	b.release()
}

// CreateRenderer is part of fyne.Widget.
func (b *TimeBar) CreateRenderer() fyne.WidgetRenderer {
	b.ExtendBaseWidget(b)
	r := &timeRenderer{
		bar:   b,
		track: canvas.NewRectangle(nil),
		done:  canvas.NewRectangle(nil),
		halo:  canvas.NewCircle(nil),
		thumb: canvas.NewRectangle(nil),
		time:  canvas.NewText("", nil),
	}
	r.time.TextStyle = fyne.TextStyle{Monospace: true}
	r.time.Alignment = fyne.TextAlignTrailing
	b.drawn = r
	return r
}
