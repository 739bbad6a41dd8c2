package widgets

import (
	"image"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// A ShaftView shows a Scene through a Camera. Dragging turns the camera about
// its target, the wheel zooms, dragging with the secondary button or with shift
// moves the target.
type ShaftView struct {
	widget.BaseWidget

	OnCamera func(Camera) // the user moved the camera
	OnReset  func()       // the user asked for the first view again by a double tap
	NoteRoom float32      // dp left free at the right of the note, for what the owner puts there

	scene   Scene
	camera  Camera
	caption string
	note    string

	grip     fyne.Position // where the secondary button last was
	shifting bool          // the drag moves the target

	raster *canvas.Raster // of the renderer, nil before there is one
}

var (
	_ fyne.Draggable      = (*ShaftView)(nil)
	_ fyne.Scrollable     = (*ShaftView)(nil)
	_ fyne.DoubleTappable = (*ShaftView)(nil)
	_ desktop.Mouseable   = (*ShaftView)(nil)
	_ desktop.Hoverable   = (*ShaftView)(nil)
)

// NewShaftView returns a view of an empty scene, three metres from the origin.
func NewShaftView() *ShaftView {
	v := &ShaftView{camera: Camera{Distance: 3}}
	v.ExtendBaseWidget(v)
	return v
}

// SetScene shows s. Its slices are read whenever the view is painted: they may
// be changed if SetScene is called again afterwards. It panics if a rod's band
// is not as long as its line.
func (v *ShaftView) SetScene(s Scene) {
	for _, r := range s.Rods {
		if r.Band != nil && len(r.Band) != len(r.Line) {
			panic("widgets: a rod's band is not as long as its line")
		}
	}
	v.scene = s
	v.Refresh()
}

// SetCamera looks through c. It panics if the distance is not positive.
func (v *ShaftView) SetCamera(c Camera) {
	if !(c.Distance > 0) {
		panic("widgets: a camera's distance must be positive")
	}
	if c != v.camera {
		v.camera = c
		v.Refresh()
	}
}

// Camera returns the camera looked through.
func (v *ShaftView) Camera() Camera { return v.camera }

// SetCaption sets the line at the top.
func (v *ShaftView) SetCaption(s string) {
	if s != v.caption {
		v.caption = s
		v.Refresh()
	}
}

// SetNote sets the small line at the bottom, such as "deflection × 5".
func (v *ShaftView) SetNote(s string) {
	if s != v.note {
		v.note = s
		v.Refresh()
	}
}

// move takes a camera from a gesture.
func (v *ShaftView) move(c Camera) {
	if c == v.camera {
		return
	}
	v.camera = c
	v.Refresh()
	if v.OnCamera != nil {
		v.OnCamera(c)
	}
}

// pan moves the target so that the scene follows the pointer.
func (v *ShaftView) pan(d fyne.Delta) {
	if v.raster == nil {
		return
	}
	size := v.raster.Size()
	side := math.Min(float64(size.Width), float64(size.Height))
	if side <= 0 {
		return
	}
	m := v.camera.span() / side
	v.move(v.camera.Pan(-float64(d.DX)*m, float64(d.DY)*m))
}

// Dragged is part of fyne.Draggable.
func (v *ShaftView) Dragged(e *fyne.DragEvent) {
	if v.shifting {
		v.pan(e.Dragged)
		return
	}
	const turn = math.Pi / 400 // half a turn over 400 dp
	v.move(v.camera.Orbit(-float64(e.Dragged.DX)*turn, float64(e.Dragged.DY)*turn))
}

// DragEnd is part of fyne.Draggable.
func (v *ShaftView) DragEnd() { v.shifting = false }

// MouseDown is part of desktop.Mouseable.
func (v *ShaftView) MouseDown(e *desktop.MouseEvent) {
	v.shifting = e.Button != desktop.MouseButtonPrimary || e.Modifier&fyne.KeyModifierShift != 0
	v.grip = e.Position
}

// MouseUp is part of desktop.Mouseable.
func (v *ShaftView) MouseUp(*desktop.MouseEvent) { v.shifting = false }

// MouseIn is part of desktop.Hoverable.
func (v *ShaftView) MouseIn(*desktop.MouseEvent) {}

// MouseMoved is part of desktop.Hoverable. Fyne sends no drag for the secondary
// button, but moves with the button in them.
func (v *ShaftView) MouseMoved(e *desktop.MouseEvent) {
	if e.Button == desktop.MouseButtonSecondary && v.shifting {
		v.pan(fyne.NewDelta(e.Position.X-v.grip.X, e.Position.Y-v.grip.Y))
		v.grip = e.Position
	}
}

// MouseOut is part of desktop.Hoverable.
func (v *ShaftView) MouseOut() {}

// Scrolled is part of fyne.Scrollable.
func (v *ShaftView) Scrolled(e *fyne.ScrollEvent) { v.move(v.camera.Zoom(zoomOf(e))) }

// notch is what Fyne gives for a slow notch of the wheel, dp.
const notch = 25

// zoomOf returns the factor of a turn of the wheel: a fifth a notch.
func zoomOf(e *fyne.ScrollEvent) float64 { return math.Pow(1.2, float64(e.Scrolled.DY)/notch) }

// DoubleTapped is part of fyne.DoubleTappable.
func (v *ShaftView) DoubleTapped(*fyne.PointEvent) {
	if v.OnReset != nil {
		v.OnReset()
	}
}

// CreateRenderer is part of fyne.Widget.
func (v *ShaftView) CreateRenderer() fyne.WidgetRenderer {
	v.ExtendBaseWidget(v)
	r := &shaftRenderer{
		view:    v,
		caption: canvas.NewText("", nil),
		note:    canvas.NewText("", nil),
		frame:   canvas.NewRectangle(nil),
		key:     newKey(),
	}
	r.caption.TextStyle.Bold = true
	r.raster = canvas.NewRaster(r.draw)
	v.raster = r.raster
	r.read()
	return r
}

type shaftRenderer struct {
	view          *ShaftView
	raster        *canvas.Raster
	caption, note *canvas.Text
	frame         *canvas.Rectangle
	key           *key
	names         words // at the ends of the axes

	picture picture
	look    look
	shown   []sample // what the key was laid out for
	texts   [2]string
}

// read takes the state of the view over into what is painted. It reports
// whether the places of things change with it.
func (r *shaftRenderer) read() bool {
	v := r.view
	look := lookOf(v.Theme())
	var samples []sample
	for _, rod := range v.scene.Rods {
		if rod.Label == "" || slices.ContainsFunc(samples, func(s sample) bool { return s.label == rod.Label }) {
			continue
		}
		s := sample{label: rod.Label, color: look.or(rod.Color), width: 3}
		if rod.Ghost {
			s.dash, s.width, s.color = Dashed, 1.6, mix(look.ground, s.color, 0.75)
		}
		samples = append(samples, s)
	}
	texts := [2]string{v.caption, v.note}
	if look == r.look && texts == r.texts && slices.Equal(samples, r.shown) {
		return false
	}
	r.look, r.texts, r.shown = look, texts, samples
	r.key.look, r.key.samples = look, samples
	r.caption.Color, r.caption.TextSize = look.ink, look.text
	r.note.Text, r.note.Color, r.note.TextSize = v.note, look.faint, look.small
	r.frame.StrokeColor, r.frame.StrokeWidth, r.frame.FillColor = look.line, 1, look.ground
	return true
}

// Layout places caption and key above the scene and the note below it, so that
// no text lies on a rod.
func (r *shaftRenderer) Layout(size fyne.Size) {
	pad := r.look.pad
	r.frame.Resize(size)
	width := size.Width - 4*pad
	y := pad
	r.caption.Text = shorten(r.view.caption, width, r.look.text, r.caption.TextStyle)
	r.caption.Move(fyne.NewPos(2*pad, y))
	caption := r.caption.MinSize()
	r.caption.Resize(caption)
	if r.view.caption == "" {
		caption = fyne.Size{}
	}
	keyWidth := r.key.width()
	if keyWidth > 0 && caption.Width+6*pad+keyWidth <= width {
		row := r.key.layout(fyne.NewPos(size.Width-2*pad-keyWidth, y+max(0, (caption.Height-r.key.rowHeight())/2)), keyWidth)
		y += max(caption.Height, row)
	} else {
		y += caption.Height
		y += r.key.layout(fyne.NewPos(2*pad, y), width)
	}
	r.caption.Refresh()
	bottom := size.Height - 1
	if r.view.note != "" {
		r.note.Text = shorten(r.view.note, width-r.view.NoteRoom, r.look.small, r.note.TextStyle)
		note := r.note.MinSize()
		bottom = size.Height - pad - note.Height
		r.note.Move(fyne.NewPos(2*pad, bottom))
		r.note.Resize(note)
	}
	r.note.Refresh()
	r.raster.Move(fyne.NewPos(1, y))
	r.raster.Resize(fyne.NewSize(max(0, size.Width-2), max(0, bottom-y)))
	r.name()
}

// name puts the names of the axes at their ends, and those of dots beside them.
func (r *shaftRenderer) name() {
	size := r.raster.Size()
	l := r.view.camera.lens(float64(size.Width), float64(size.Height))
	n := 0
	for _, a := range r.view.scene.Axes {
		x0, y0, _, _, ok0 := l.project(a.From)
		x, y, _, _, ok := l.project(a.To)
		const least = 12 // dp; a shorter arrow points at the eye and its name would lie on others
		if !ok || !ok0 || a.Label == "" || math.Hypot(x-x0, y-y0) < least {
			continue
		}
		t := r.names.take(n, a.Label, r.look.readable(r.look.or(a.Color)), r.look.small)
		text := t.MinSize()
		// The text's middle goes beyond the tip, farther for its longer side.
		d := math.Hypot(x-x0, y-y0)
		x += (x - x0) / d * (float64(text.Width)/2 + 4)
		y += (y - y0) / d * (float64(text.Height)/2 + 1)
		left, top := float32(x)-text.Width/2, float32(y)-text.Height/2
		if left < 0 || top < 0 || left+text.Width > size.Width || top+text.Height > size.Height {
			continue
		}
		t.Move(r.raster.Position().AddXY(left, top))
		n++
	}
	n = r.nameDots(n, l)
	r.names.hide(n)
}

// Refresh is part of fyne.WidgetRenderer.
func (r *shaftRenderer) Refresh() {
	if r.read() {
		r.frame.Refresh()
		r.Layout(r.view.Size())
	}
	r.name()
	r.raster = repaint(r.raster)
	r.view.raster = r.raster
}

// draw paints the scene.
func (r *shaftRenderer) draw(w, h int) image.Image {
	px := float64(w) / math.Max(1, float64(r.raster.Size().Width))
	r.picture.paint(&r.view.scene, setting{camera: r.view.camera, look: r.look, w: w, h: h, px: px})
	return r.picture.ink.img
}

// MinSize is part of fyne.WidgetRenderer.
func (r *shaftRenderer) MinSize() fyne.Size { return fyne.NewSize(160, 120) }

// Objects is part of fyne.WidgetRenderer.
func (r *shaftRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.frame, r.raster, r.caption, r.note}
	objects = append(objects, r.key.objects()...)
	for _, t := range r.names {
		objects = append(objects, t)
	}
	return objects
}

// Destroy is part of fyne.WidgetRenderer.
func (r *shaftRenderer) Destroy() { r.view.raster = nil }
