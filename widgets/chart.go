package widgets

import (
	"image"
	"image/color"
	"image/draw"
	"math"
)

// A chart paints curves in a frame of two axes.
type chart struct {
	ink   ink
	spots []spot
	edges []edge // of a band
}

// An edge is a band at one x, pixels; NaN is a gap.
type edge struct{ x, low, high float32 }

// A frame is what a chart needs to know beside the curves.
type frame struct {
	x, y           extent
	xTicks, yTicks []float64
	look           look
	w, h           int     // pixels
	px             float64 // pixels a dp
}

func (f *frame) pixelX(x float64) float64 { return f.x.at(x) * float64(f.w) }
func (f *frame) pixelY(y float64) float64 { return (1 - f.y.at(y)) * float64(f.h) }

// paint paints the map, if there is one, or the grid, then marks, bands and
// curves.
func (c *chart) paint(field *Map, curves []Curve, marks []Mark, f *frame) {
	k := &c.ink
	k.start(f.w, f.h, f.look.ground)
	thick := max(1, int(math.Round(f.px)))
	vertical := func(x float64, paint color.Color) {
		at := min(max(0, int(f.pixelX(x))), f.w-thick)
		k.rect(image.Rect(at, 0, at+thick, f.h), paint)
	}
	horizontal := func(y float64, paint color.Color) {
		at := min(max(0, int(f.pixelY(y))), f.h-thick)
		k.rect(image.Rect(0, at, f.w, at+thick), paint)
	}
	if field != nil {
		field.paint(k.img, f)
	} else {
		for _, x := range f.xTicks {
			vertical(x, f.look.line)
		}
		for _, y := range f.yTicks {
			horizontal(y, f.look.line)
		}
	}
	if f.y.has(0) && field == nil {
		horizontal(0, mix(f.look.ground, f.look.ink, 0.45))
	}
	rule := mix(f.look.ground, f.look.ink, 0.35)
	k.rect(image.Rect(0, 0, thick, f.h), rule)
	k.rect(image.Rect(0, f.h-thick, f.w, f.h), rule)
	for _, m := range marks {
		if f.x.has(m.At) {
			x := float32(min(max(0, int(f.pixelX(m.At))), f.w-thick)) + float32(thick)/2
			half := float32(thick) / 2
			k.dashed([]spot{{x, 0, half}, {x, float32(f.h), half}}, Dashed, float32(1.2*f.px), plain(mix(f.look.ground, f.look.ink, 0.6)))
		}
	}
	for i := range curves {
		c.band(&curves[i], f, colorOf(curves, i, f.look))
	}
	for i := range curves {
		c.curve(&curves[i], f, colorOf(curves, i, f.look))
	}
}

// colorOf returns the colour of a curve: its own or the palette's.
func colorOf(curves []Curve, i int, l look) color.Color {
	c := curves[i].Color
	if c == nil {
		c, _ = Style(i)
	}
	return l.legible(c)
}

// rect fills a rectangle.
func (k *ink) rect(r image.Rectangle, c color.Color) {
	k.fill.C = c
	draw.Draw(k.img, r, &k.fill, image.Point{}, draw.Over)
}

// curve paints the line of a curve.
func (c *chart) curve(v *Curve, f *frame, paint color.Color) {
	half := float32(0.85 * f.px)
	if v.Muted {
		half, paint = float32(0.5*f.px), mix(f.look.ground, paint, 0.5)
	}
	c.stroke(v, f, half, v.Dash, paint, func(i int) bool { return v.Filled == nil || !v.Filled[i] })
	if v.Filled != nil {
		// From the last point that was seen to the next, so that nothing is torn.
		near := func(i int) bool { return i >= 0 && i < len(v.Filled) && v.Filled[i] }
		c.stroke(v, f, half, Dotted, mix(f.look.ground, paint, 0.6), func(i int) bool { return near(i-1) || near(i) || near(i+1) })
	}
}

// stroke paints the line of a curve through the points that are in it.
func (c *chart) stroke(v *Curve, f *frame, half float32, dash Dash, paint color.Color, in func(i int) bool) {
	from, to := v.window(f.x)
	c.spots = c.spots[:0]
	for i := from; i < to; i++ {
		s := spot{float32(f.pixelX(v.X[i])), float32(f.pixelY(v.Y[i])), half}
		if !in(i) {
			s.y = float32(math.NaN())
		}
		c.spots = append(c.spots, s)
	}
	if len(c.spots) > 4*f.w {
		c.spots = thin(c.spots)
	}
	c.ink.dashed(c.spots, dash, 2*half, plain(paint))
}

// thin keeps of each column of pixels the first, lowest, highest and last spot
// and the gaps: a line through them covers the same pixels (M4 of U. Jugel et
// al., "M4: a visualization-oriented time series data aggregation", Proceedings
// of the VLDB Endowment 7 (2014)). It works in place.
func thin(spots []spot) []spot {
	kept := spots[:0]
	for i := 0; i < len(spots); {
		column := math.Floor(float64(spots[i].x))
		low, high, j := i, i, i
		for j < len(spots) && !spots[j].gap() && math.Floor(float64(spots[j].x)) == column {
			if spots[j].y < spots[low].y {
				low = j
			}
			if spots[j].y > spots[high].y {
				high = j
			}
			j++
		}
		if j == i { // a gap
			kept = append(kept, spots[i])
			i++
			continue
		}
		picks := [4]int{i, min(low, high), max(low, high), j - 1}
		taken := [4]spot{spots[picks[0]], spots[picks[1]], spots[picks[2]], spots[picks[3]]}
		for n := range picks {
			if n == 0 || picks[n] != picks[n-1] {
				kept = append(kept, taken[n])
			}
		}
		i = j
	}
	return kept
}

// band paints the band of a curve, see-through.
func (c *chart) band(v *Curve, f *frame, paint color.Color) {
	if v.Low == nil {
		return
	}
	paint = fade(paint, 0.2)
	from, to := v.window(f.x)
	c.edges = c.edges[:0]
	for i := from; i <= to; i++ {
		var e edge
		gap := i == to
		if !gap {
			e = edge{float32(f.pixelX(v.X[i])), float32(f.pixelY(v.Low[i])), float32(f.pixelY(v.High[i]))}
			gap = e.x+e.low+e.high != e.x+e.low+e.high
		}
		if gap {
			c.stretch(c.edges, float32(f.w), paint)
			c.edges = c.edges[:0]
			continue
		}
		c.edges = append(c.edges, e)
	}
}

// stretch paints a band without gaps in pieces that end between two columns of
// pixels, where see-through neighbours meet without a seam.
func (c *chart) stretch(edges []edge, w float32, paint color.Color) {
	const columns = 24
	if len(edges) < 2 {
		return
	}
	i := 0 // edges[i] is the last at or left of the piece's left end
	for left := max(0, edges[0].x); left < min(w, edges[len(edges)-1].x); {
		right := min(columns*(float32(math.Floor(float64(left/columns)))+1), edges[len(edges)-1].x)
		for i+1 < len(edges) && edges[i+1].x <= left {
			i++
		}
		c.spots = append(c.spots[:0], spot{x: left, y: cut(edges, i, left).low})
		j := i + 1
		for ; j < len(edges) && edges[j].x < right; j++ {
			c.spots = append(c.spots, spot{x: edges[j].x, y: edges[j].low})
		}
		end := cut(edges, j-1, right)
		c.spots = append(c.spots, spot{x: right, y: end.low}, spot{x: right, y: end.high})
		for n := j - 1; n > i; n-- {
			c.spots = append(c.spots, spot{x: edges[n].x, y: edges[n].high})
		}
		c.spots = append(c.spots, spot{x: left, y: cut(edges, i, left).high})
		for n := range c.spots { // a band far out of the picture is cut at its margin
			c.spots[n].y = max(-margin, min(float32(c.ink.img.Rect.Dy())+margin, c.spots[n].y))
		}
		c.ink.polygon(c.spots...)
		c.ink.paint(paint)
		left = right
	}
}

// cut returns a band at x between edges i and i+1.
func cut(edges []edge, i int, x float32) edge {
	a := edges[i]
	if i+1 >= len(edges) || edges[i+1].x == a.x {
		return a
	}
	b := edges[i+1]
	t := (x - a.x) / (b.x - a.x)
	return edge{x, a.low + t*(b.low-a.low), a.high + t*(b.high-a.high)}
}
