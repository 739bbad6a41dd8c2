package widgets

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// A timeRenderer has the labels of the marks above a track, ticks in
// milliseconds below it, and the time at its right.
type timeRenderer struct {
	bar         *TimeBar
	track, done *canvas.Rectangle // done is the track up to the time
	halo        *canvas.Circle
	thumb       *canvas.Rectangle
	time        *canvas.Text
	flags       words
	flagged     []int          // the mark of each flag
	poles       []*canvas.Line // of the marks
	ticks       words
	notches     []*canvas.Line      // of the ticks
	holes       []*canvas.Rectangle // where something was not seen
	pace        pace
}

const (
	trackHeight = 6 // dp
	thumbWidth  = 6
	thumbHeight = 18
	haloSize    = 24
)

// milliseconds formats a time of the bar.
func (b *TimeBar) milliseconds(t float64) string { return number(t*1e3, 1) + " ms" }

// Refresh is part of fyne.WidgetRenderer.
func (r *timeRenderer) Refresh() { r.Layout(r.bar.Size()) }

// Layout is part of fyne.WidgetRenderer.
func (r *timeRenderer) Layout(size fyne.Size) {
	b, look := r.bar, lookOf(r.bar.Theme())
	pad := look.pad
	r.time.Color, r.time.TextSize = look.ink, look.text
	text := float32(0) // room for the longest time
	for _, t := range []float64{b.span.lo, b.span.hi} {
		text = max(text, fyne.MeasureText(b.milliseconds(t), look.text, r.time.TextStyle).Width)
	}
	small := fyne.MeasureText("0", look.small, fyne.TextStyle{}).Height
	left := float32(haloSize) / 2
	width := max(0, size.Width-left-haloSize/2-text-2*pad)
	middle := small + thumbHeight/2
	r.track.FillColor, r.track.CornerRadius = mix(look.ground, look.ink, 0.16), trackHeight/2
	r.track.Move(fyne.NewPos(left, middle-trackHeight/2))
	r.track.Resize(fyne.NewSize(width, trackHeight))
	r.done.FillColor, r.done.CornerRadius = mix(look.ground, look.accent, 0.55), trackHeight/2
	r.done.Move(r.track.Position())
	r.thumb.FillColor, r.thumb.CornerRadius = look.accent, 2
	r.thumb.StrokeColor, r.thumb.StrokeWidth = look.ground, 1
	r.thumb.Resize(fyne.NewSize(thumbWidth, thumbHeight))
	r.halo.FillColor = look.focus
	r.halo.Resize(fyne.NewSquareSize(haloSize))
	if b.focused {
		r.halo.Show()
	} else {
		r.halo.Hide()
	}
	height := fyne.MeasureText("0", look.text, r.time.TextStyle).Height
	r.time.Resize(fyne.NewSize(text, height))
	r.time.Move(fyne.NewPos(size.Width-pad-text, middle-height/2))

	r.fill(left, width, middle, look)
	r.label(left, width, middle, look)
	r.scale(left, width, middle, look)
	for _, o := range []fyne.CanvasObject{r.track, r.done, r.thumb, r.halo, r.time} {
		o.Refresh()
	}
	r.place()
	r.read()
}

// fill places the stretches in which something was not seen: open where the
// track is full.
func (r *timeRenderer) fill(left, width, middle float32, look look) {
	const least = 2 // dp, so that a single frame is seen
	for len(r.holes) < len(r.bar.filled) {
		r.holes = append(r.holes, canvas.NewRectangle(nil))
	}
	for i, h := range r.holes {
		if i >= len(r.bar.filled) {
			h.Hide()
			continue
		}
		from := float32(r.bar.span.at(r.bar.span.hold(r.bar.filled[i][0]))) * width
		to := float32(r.bar.span.at(r.bar.span.hold(r.bar.filled[i][1]))) * width
		h.FillColor = look.ground
		h.Move(fyne.NewPos(left+from, middle-trackHeight/2+1.5))
		h.Resize(fyne.NewSize(max(least, to-from), trackHeight-3))
		h.Show()
		h.Refresh()
	}
}

// label places the marks.
func (r *timeRenderer) label(left, width, middle float32, look look) {
	var taken []extent
	shown, poles := 0, 0
	r.flagged = r.flagged[:0]
	for i, m := range r.bar.marks {
		if !r.bar.span.has(m.At) {
			continue
		}
		x := left + float32(r.bar.span.at(m.At))*width
		for len(r.poles) <= poles {
			r.poles = append(r.poles, canvas.NewLine(nil))
		}
		pole := r.poles[poles]
		pole.StrokeColor, pole.StrokeWidth = look.ink, 1.5
		pole.Position1, pole.Position2 = fyne.NewPos(x, middle-thumbHeight/2), fyne.NewPos(x, middle+trackHeight/2)
		pole.Show()
		pole.Refresh()
		poles++
		t := r.flags.take(shown, m.Label, look.ink, look.small)
		w := t.Size().Width
		start := max(0, min(x-w/2, left+width+haloSize/2-w))
		if !claim(&taken, start, w, look.pad) {
			continue
		}
		t.Move(fyne.NewPos(start, 0))
		r.flagged = append(r.flagged, i)
		shown++
	}
	r.flags.hide(shown)
	for _, p := range r.poles[poles:] {
		p.Hide()
	}
}

// scale places the ticks.
func (r *timeRenderer) scale(left, width, middle float32, look look) {
	var taken []extent
	span := extent{r.bar.span.lo * 1e3, r.bar.span.hi * 1e3}
	values, decimals := span.ticks(max(2, int(width/60)))
	shown := 0
	for i, v := range values {
		x := left + float32(span.at(v))*width
		for len(r.notches) <= i {
			r.notches = append(r.notches, canvas.NewLine(nil))
		}
		n := r.notches[i]
		n.StrokeColor, n.StrokeWidth = mix(look.ground, look.ink, 0.4), 1
		n.Position1, n.Position2 = fyne.NewPos(x, middle+trackHeight/2+1), fyne.NewPos(x, middle+trackHeight/2+4)
		n.Show()
		n.Refresh()
		t := r.ticks.take(shown, number(v, decimals), look.faint, look.small)
		w := t.Size().Width
		start := max(0, min(x-w/2, left+width+haloSize/2-w))
		if !claim(&taken, start, w, look.pad) {
			continue
		}
		stand(t, start, middle+thumbHeight/2+look.small*1.05)
		shown++
	}
	r.ticks.hide(shown)
	for _, n := range r.notches[min(len(values), len(r.notches)):] {
		n.Hide()
	}
}

// point moves the thumb and, at the pace of read-outs, the text.
func (r *timeRenderer) point() {
	r.place()
	r.pace.do(r.read)
}

// place puts the thumb where the time is.
func (r *timeRenderer) place() {
	done := float32(r.bar.span.at(r.bar.at)) * r.track.Size().Width
	middle := r.track.Position().AddXY(done, trackHeight/2)
	r.done.Resize(fyne.NewSize(done, trackHeight))
	r.thumb.Move(middle.SubtractXY(thumbWidth/2, thumbHeight/2))
	r.halo.Move(middle.SubtractXY(haloSize/2, haloSize/2))
}

// read shows the time.
func (r *timeRenderer) read() {
	if s := r.bar.milliseconds(r.bar.at); s != r.time.Text {
		r.time.Text = s
		r.time.Refresh()
	}
}

// markAt returns the mark whose label, or its room, is at a place in the widget,
// -1 if none is.
func (r *timeRenderer) markAt(pos fyne.Position) int {
	const room = 6 // dp
	for k, i := range r.flagged {
		at, size := r.flags[k].Position(), r.flags[k].Size()
		if pos.X >= at.X-room && pos.X <= at.X+size.Width+room && pos.Y <= at.Y+size.Height {
			return i
		}
	}
	return -1
}

// timeAt returns the time at a horizontal place in the widget.
func (r *timeRenderer) timeAt(left float32) float64 {
	return r.bar.span.value(float64((left - r.track.Position().X) / r.track.Size().Width))
}

// MinSize is part of fyne.WidgetRenderer.
func (r *timeRenderer) MinSize() fyne.Size {
	look := lookOf(r.bar.Theme())
	small := fyne.MeasureText("0", look.small, fyne.TextStyle{}).Height
	return fyne.NewSize(220, 2*small+thumbHeight)
}

// Objects is part of fyne.WidgetRenderer.
func (r *timeRenderer) Objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{r.track, r.done}
	for _, h := range r.holes {
		objects = append(objects, h)
	}
	for _, l := range r.notches {
		objects = append(objects, l)
	}
	for _, l := range r.poles {
		objects = append(objects, l)
	}
	for _, t := range r.flags {
		objects = append(objects, t)
	}
	for _, t := range r.ticks {
		objects = append(objects, t)
	}
	return append(objects, r.halo, r.thumb, r.time)
}

// Destroy is part of fyne.WidgetRenderer.
func (r *timeRenderer) Destroy() {
	if r.bar.drawn == r {
		r.bar.drawn = nil
	}
}
