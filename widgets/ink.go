package widgets

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
)

// chunk is how many segments of a line are painted in one go. The rasterizer's
// cost goes with the area of the box around a path, so that a long line is
// cheaper in pieces.
const chunk = 8

// A spot is a point of a line on a picture: place and half width in pixels. A
// NaN place is a gap.
type spot struct{ x, y, half float32 }

func (s spot) gap() bool { return s.x != s.x || s.y != s.y }

// An ink paints anti-aliased shapes on a picture that it keeps from one
// painting to the next. The zero ink is ready for start.
type ink struct {
	img  *image.RGBA
	fill image.Uniform
	z    vector.Rasterizer

	path []spot // corners of the polygons gathered
	ends []int  // where each polygon ends in path
	dash []spot
}

// start begins a picture of w by h pixels on a ground.
func (k *ink) start(w, h int, ground color.Color) {
	if k.img == nil || k.img.Rect.Dx() != w || k.img.Rect.Dy() != h {
		k.img = image.NewRGBA(image.Rect(0, 0, w, h))
	}
	k.fill.C = ground
	draw.Draw(k.img, k.img.Rect, &k.fill, image.Point{}, draw.Src)
}

// polygon gathers a polygon. Polygons of one paint unite: all are turned the
// same way round, as the rasterizer sums windings and would let two opposite
// ones cancel.
func (k *ink) polygon(corners ...spot) {
	area := float32(0)
	for i, c := range corners {
		d := corners[(i+1)%len(corners)]
		area += c.x*d.y - d.x*c.y
	}
	if area < 0 {
		for i := len(corners) - 1; i >= 0; i-- {
			k.path = append(k.path, corners[i])
		}
	} else {
		k.path = append(k.path, corners...)
	}
	k.ends = append(k.ends, len(k.path))
}

// disc gathers a disc.
func (k *ink) disc(c spot) {
	n := 6 + int(2*math.Sqrt(float64(c.half)))*2
	var corners [40]spot
	n = min(n, len(corners))
	for i := range n {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		corners[i] = spot{x: c.x + c.half*float32(co), y: c.y + c.half*float32(s)}
	}
	k.polygon(corners[:n]...)
}

// paint fills what was gathered with a colour.
func (k *ink) paint(c color.Color) {
	defer func() { k.path, k.ends = k.path[:0], k.ends[:0] }()
	if len(k.path) == 0 {
		return
	}
	x0, y0, x1, y1 := k.path[0].x, k.path[0].y, k.path[0].x, k.path[0].y
	for _, p := range k.path[1:] {
		x0, x1 = min(x0, p.x), max(x1, p.x)
		y0, y1 = min(y0, p.y), max(y1, p.y)
	}
	w, h := float32(k.img.Rect.Dx()), float32(k.img.Rect.Dy())
	if x1 < 0 || y1 < 0 || x0 > w || y0 > h {
		return
	}
	x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, w), min(y1, h)
	box := image.Rect(int(x0), int(y0), int(math.Ceil(float64(x1))), int(math.Ceil(float64(y1))))
	if box.Empty() {
		return
	}
	k.z.Reset(box.Dx(), box.Dy())
	dx, dy := float32(box.Min.X), float32(box.Min.Y)
	from := 0
	for _, to := range k.ends {
		k.z.MoveTo(k.path[from].x-dx, k.path[from].y-dy)
		for _, p := range k.path[from+1 : to] {
			k.z.LineTo(p.x-dx, p.y-dy)
		}
		k.z.ClosePath()
		from = to
	}
	k.fill.C = c
	k.z.Draw(k.img, box, &k.fill, image.Point{})
}

// shade gives the colour of the piece of a line that starts at its ith spot.
type shade func(i int) color.Color

// plain is the shade of one colour.
func plain(c color.Color) shade { return func(int) color.Color { return c } }

// line paints a line through spots in pieces. Colours should be opaque: pieces
// overlap by a pixel, which hides the joint.
func (k *ink) line(spots []spot, of shade) {
	for i := 0; i < len(spots); {
		if spots[i].gap() {
			i++
			continue
		}
		j := i + 1
		for j < len(spots) && !spots[j].gap() {
			j++
		}
		for a := i; a == i || a < j-1; a += chunk {
			b := min(a+chunk, j-1)
			k.strip(spots[i:j], a-i, b-i)
			k.paint(of(a))
		}
		i = j
	}
}

// tube paints a line in one go, so that the colour may be see-through.
func (k *ink) tube(spots []spot, c color.Color) {
	for i := 0; i < len(spots); {
		if spots[i].gap() {
			i++
			continue
		}
		j := i + 1
		for j < len(spots) && !spots[j].gap() {
			j++
		}
		k.strip(spots[i:j], 0, j-i-1)
		i = j
	}
	k.paint(c)
}

// strip gathers the segments from spot a to spot b of a line without gaps. A
// line of one spot is a dot. Neighbouring segments share their mitred corners;
// at a sharp turn a disc joins them.
func (k *ink) strip(line []spot, a, b int) {
	if a == b {
		k.disc(line[a])
		return
	}
	for i := a; i < b; i++ {
		p, q := line[i], line[i+1]
		if p.x == q.x && p.y == q.y {
			continue
		}
		nx, ny := normal(p, q)
		pm, pSharp := miter(line, i, nx, ny)
		qm, qSharp := miter(line, i+1, nx, ny)
		if i == a && a > 0 { // reach back over the joint with the piece before
			p.x, p.y = p.x-ny, p.y+nx
		}
		p, q, ok := k.clip(p, q)
		if !ok {
			continue
		}
		k.polygon(
			spot{x: p.x + pm.x*p.half, y: p.y + pm.y*p.half},
			spot{x: q.x + qm.x*q.half, y: q.y + qm.y*q.half},
			spot{x: q.x - qm.x*q.half, y: q.y - qm.y*q.half},
			spot{x: p.x - pm.x*p.half, y: p.y - pm.y*p.half},
		)
		if qSharp {
			k.disc(q)
		} else if pSharp && i == a {
			k.disc(line[i])
		}
	}
}

// margin is how far beyond the picture a line is followed, pixels: enough that
// what is cut off is not seen, little enough that the rasterizer's fixed point
// numbers do not overflow.
const margin = 1024

// clip returns the part of a segment on the picture and its margin, after
// Y.-D. Liang and B. A. Barsky, "A new concept and method for line clipping",
// ACM Transactions on Graphics 3 (1984); ok is false if there is none.
func (k *ink) clip(p, q spot) (a, b spot, ok bool) {
	w, h := float32(k.img.Rect.Dx()), float32(k.img.Rect.Dy())
	dx, dy := q.x-p.x, q.y-p.y
	t0, t1 := float32(0), float32(1)
	for _, side := range [4][2]float32{
		{-dx, p.x + margin}, {dx, w + margin - p.x},
		{-dy, p.y + margin}, {dy, h + margin - p.y},
	} {
		move, room := side[0], side[1]
		switch {
		case move == 0 && room < 0:
			return p, q, false
		case move < 0:
			t0 = max(t0, room/move)
		case move > 0:
			t1 = min(t1, room/move)
		}
	}
	return between(p, q, t0), between(p, q, t1), t0 < t1
}

// between returns the spot at part t of the way from p to q.
func between(p, q spot, t float32) spot {
	return spot{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y), p.half + t*(q.half-p.half)}
}

// normal returns the unit normal of a segment.
func normal(p, q spot) (x, y float32) {
	dx, dy := q.x-p.x, q.y-p.y
	l := float32(math.Hypot(float64(dx), float64(dy)))
	return -dy / l, dx / l
}

// miter returns the corner direction at spot i of a line, for half width 1,
// seen from a segment with normal nx, ny, and whether the turn is too sharp for
// one, in which case it is the normal itself.
func miter(line []spot, i int, nx, ny float32) (m spot, sharp bool) {
	m = spot{x: nx, y: ny}
	if i == 0 || i == len(line)-1 || line[i-1] == line[i] || line[i] == line[i+1] {
		return m, false
	}
	ax, ay := normal(line[i-1], line[i])
	bx, by := normal(line[i], line[i+1])
	if ax != ax || bx != bx {
		return m, false
	}
	sx, sy := ax+bx, ay+by
	// The mitre's length is 1/cos of half the turn, and |s| is twice that
	// cosine: beyond a turn of 60° the corner would stick out.
	s2 := sx*sx + sy*sy
	if s2 < 3 {
		return m, true
	}
	return spot{x: 2 * sx / s2, y: 2 * sy / s2}, false
}

// patterns are the lengths of strokes and spaces, in line widths.
var patterns = map[Dash][]float32{
	Dashed:  {4, 2.5},
	Dotted:  {1, 2},
	DashDot: {5, 2, 1, 2},
}

// dashed paints a line with a pattern, each stroke in the colour where it
// starts.
func (k *ink) dashed(spots []spot, d Dash, width float32, of shade) {
	pattern := patterns[d]
	if pattern == nil {
		k.line(spots, of)
		return
	}
	stroke, left := 0, pattern[0]*width
	k.dash = k.dash[:0]
	start := 0
	flush := func() {
		if len(k.dash) > 1 {
			k.strip(k.dash, 0, len(k.dash)-1)
			k.paint(of(start))
		}
		k.dash = k.dash[:0]
	}
	for i := 0; i+1 < len(spots); i++ {
		p, q := spots[i], spots[i+1]
		if p.gap() || q.gap() {
			flush()
			stroke, left = 0, pattern[0]*width
			continue
		}
		p, q, ok := k.clip(p, q)
		if !ok {
			flush()
			continue
		}
		length := float32(math.Hypot(float64(q.x-p.x), float64(q.y-p.y)))
		if stroke%2 == 0 && len(k.dash) == 0 {
			start = i
			k.dash = append(k.dash, p)
		}
		at := float32(0)
		for at+left < length {
			at += left
			m := between(p, q, at/length)
			if stroke%2 == 0 {
				k.dash = append(k.dash, m)
				flush()
			} else {
				start = i
				k.dash = append(k.dash, m)
			}
			stroke = (stroke + 1) % len(pattern)
			left = pattern[stroke] * width
		}
		left -= length - at
		if stroke%2 == 0 {
			k.dash = append(k.dash, q)
		}
	}
	flush()
}

// mix returns the opaque colour part of the way from a to b.
func mix(a, b color.Color, part float64) color.NRGBA {
	x, y := color.NRGBAModel.Convert(a).(color.NRGBA), color.NRGBAModel.Convert(b).(color.NRGBA)
	part = math.Max(0, math.Min(1, part))
	at := func(p, q uint8) uint8 { return uint8(math.Round(float64(p) + part*(float64(q)-float64(p)))) }
	return color.NRGBA{at(x.R, y.R), at(x.G, y.G), at(x.B, y.B), 0xff}
}

// fade returns c at a part of its opacity.
func fade(c color.Color, part float64) color.NRGBA {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	n.A = uint8(math.Round(float64(n.A) * part))
	return n
}
