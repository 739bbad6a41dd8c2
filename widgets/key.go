package widgets

import (
	"image"
	"image/color"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// keyRows is how many rows a key may take unless its owner has room for more; what
// does not fit is counted.
const keyRows = 2

// swatch is the length of the piece of line beside a label, dp.
const swatch = 22

// A sample is one line of a key: how it looks and what it is called.
type sample struct {
	label  string
	color  color.Color
	dash   Dash
	width  float32 // dp
	widest string  // the longest read-out to leave room for, "" for none
}

// A key tells which line is which, and what it reads at the cursor.
type key struct {
	samples []sample
	rows    int            // it may take
	strip   *canvas.Raster // the swatches, behind all labels
	labels  words
	values  words
	more    *canvas.Text

	look   look
	ink    ink
	places []fyne.Position // of the samples shown
}

func newKey() *key {
	k := &key{rows: keyRows, more: canvas.NewText("", nil)}
	k.strip = canvas.NewRaster(k.draw)
	k.more.Hide()
	return k
}

// objects returns what is to be painted.
func (k *key) objects() []fyne.CanvasObject {
	objects := []fyne.CanvasObject{k.strip, k.more}
	for _, t := range k.labels {
		objects = append(objects, t)
	}
	for _, t := range k.values {
		objects = append(objects, t)
	}
	return objects
}

// one returns the width of a sample.
func (k *key) one(s sample) float32 {
	w := swatch + k.look.pad + fyne.MeasureText(s.label, k.look.small, fyne.TextStyle{}).Width
	if s.widest != "" {
		w += k.look.pad + fyne.MeasureText(s.widest, k.look.small, fyne.TextStyle{Monospace: true}).Width
	}
	return w
}

// width returns the width of all samples in one row, 0 if there are none.
func (k *key) width() float32 {
	w := float32(0)
	for i, s := range k.samples {
		if i > 0 {
			w += 3 * k.look.pad
		}
		w += k.one(s)
	}
	return w
}

// rowHeight returns the height of a row.
func (k *key) rowHeight() float32 {
	return fyne.MeasureText("M", k.look.small, fyne.TextStyle{}).Height
}

// layout places the samples in rows from pos within width and returns the
// height taken.
func (k *key) layout(pos fyne.Position, width float32) float32 {
	k.places = k.places[:0]
	k.more.Hide()
	row, x := 0, float32(0)
	height := k.rowHeight()
	for i, s := range k.samples {
		w := k.one(s)
		if x > 0 && x+w > width {
			row, x = row+1, 0
		}
		if row == k.rows {
			k.count(len(k.samples)-i, pos, width)
			break
		}
		at := fyne.NewPos(x, float32(row)*height)
		room := width - x - swatch - k.look.pad
		if s.widest != "" {
			room -= k.look.pad + fyne.MeasureText(s.widest, k.look.small, fyne.TextStyle{Monospace: true}).Width
		}
		label := k.labels.take(i, shorten(s.label, room, k.look.small, fyne.TextStyle{}), k.look.ink, k.look.small)
		label.Move(pos.Add(at).AddXY(swatch+k.look.pad, 0))
		k.places = append(k.places, at)
		x += w + 3*k.look.pad
	}
	shown := len(k.places)
	k.labels.hide(shown)
	k.values.hide(shown)
	k.strip.Move(pos)
	if shown == 0 {
		k.strip.Hide()
		return 0
	}
	rows := k.places[shown-1].Y + height
	k.strip.Show()
	k.strip.Resize(fyne.NewSize(width, rows))
	k.strip = repaint(k.strip)
	return rows
}

// count says at the end of the last row how many samples were left out, in the
// place of the last one shown if need be.
func (k *key) count(left int, pos fyne.Position, width float32) {
	for shown := len(k.places); shown > 0; shown, left = shown-1, left+1 {
		last := k.places[shown-1]
		end := last.X + k.one(k.samples[shown-1]) + 2*k.look.pad
		k.more.Text, k.more.TextSize, k.more.Color = "+"+strconv.Itoa(left), k.look.small, k.look.faint
		if end+k.more.MinSize().Width <= width || shown == 1 {
			k.more.Move(pos.Add(last).AddXY(end-last.X, 0))
			k.more.Resize(k.more.MinSize())
			k.more.Show()
			k.more.Refresh()
			return
		}
		k.places = k.places[:shown-1]
	}
}

// read shows a value beside each sample: by index of the sample.
func (k *key) read(value func(i int) string) {
	for i := range k.places {
		s := value(i)
		if s == "" {
			if i < len(k.values) {
				k.values[i].Hide()
			}
			continue
		}
		t := k.values.take(i, s, k.look.ink, k.look.small)
		if !t.TextStyle.Monospace {
			t.TextStyle = fyne.TextStyle{Monospace: true}
			t.Refresh()
		}
		label := k.labels[i]
		room := fyne.MeasureText(k.samples[i].widest, k.look.small, t.TextStyle).Width
		size := t.MinSize()
		t.Resize(size)
		stand(t, label.Position().X+label.MinSize().Width+k.look.pad+room-size.Width, label.Position().Y+baseline(label))
	}
}

// draw paints the swatches.
func (k *key) draw(w, h int) image.Image {
	k.ink.start(w, h, color.Transparent)
	size := k.strip.Size()
	if size.Width <= 0 {
		return k.ink.img
	}
	px := float32(w) / size.Width
	for i, at := range k.places {
		s := k.samples[i]
		y := (at.Y + k.rowHeight()/2) * px
		half := s.width * px / 2
		line := []spot{{at.X * px, y, half}, {(at.X + swatch) * px, y, half}}
		k.ink.dashed(line, s.dash, 2*half, plain(s.color))
	}
	return k.ink.img
}
