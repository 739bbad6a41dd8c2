package widgets

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A picture paints scenes.
type picture struct {
	ink   ink
	floor ink // the grid alone, kept while the camera stands still
	laid  floor
	spots []spot
	near  []float64 // of the spots, m
	order []int
}

// A setting is what a picture needs to know beside the scene.
type setting struct {
	camera Camera
	look   look
	w, h   int     // pixels
	px     float64 // pixels a dp
}

// A floor is all that a grid is painted from.
type floor struct {
	setting
	ground, step float64
}

// paint paints a scene.
func (p *picture) paint(s *Scene, set setting) {
	p.ink.start(set.w, set.h, set.look.ground)
	l := set.camera.lens(float64(set.w), float64(set.h))
	if s.Grid {
		if f := (floor{set, s.Ground, s.GridStep}); f != p.laid {
			p.laid = f
			p.grid(f, &l)
		}
		copy(p.ink.img.Pix, p.floor.img.Pix)
	}
	for _, a := range s.Axes {
		p.axis(a, &l, set)
	}
	for _, t := range s.Trails {
		p.trail(t, &l, set)
	}
	for _, o := range s.Outlines {
		p.outline(o, &l, set)
	}
	p.rods(s.Rods, &l, set)
	for _, d := range s.Dots {
		p.dot(d, &l, set)
	}
}

// line projects a line to spots of a least half width, pixels, and a radius, m.
func (p *picture) line(points []r3.Vec, l *lens, least float64, radius func(i int) float64) []spot {
	p.spots, p.near = p.spots[:0], p.near[:0]
	for i, v := range points {
		x, y, scale, near, ok := l.project(v)
		if !ok {
			x, y = math.NaN(), math.NaN()
		}
		half := least
		if radius != nil {
			half = math.Max(least, scale*radius(i))
		}
		p.spots = append(p.spots, spot{float32(x), float32(y), float32(half)})
		p.near = append(p.near, near)
	}
	return p.spots
}

// grid paints a round patch of ground under the target, fainter towards its
// rim.
func (p *picture) grid(f floor, l *lens) {
	p.floor.start(f.w, f.h, f.look.ground)
	step := f.step
	if step <= 0 {
		step = 0.25
	}
	const reach, pieces = 8, 20
	middle := f.camera.Target
	cx, cy := math.Round(middle.X/step), math.Round(middle.Y/step)
	var points [pieces + 1]r3.Vec
	for _, along := range []bool{true, false} {
		for i := -reach + 1; i < reach; i++ {
			chord := math.Sqrt(float64(reach*reach - i*i))
			for j := range points {
				a, b := (cx+float64(i))*step, (cy+chord*(2*float64(j)/pieces-1))*step
				if along {
					a, b = (cx+chord*(2*float64(j)/pieces-1))*step, (cy+float64(i))*step
				}
				points[j] = r3.Vec{X: a, Y: b, Z: f.ground}
			}
			spots := p.line(points[:], l, 0.5*f.px, nil)
			for j := range pieces {
				t := 2*(float64(j)+0.5)/pieces - 1
				rim := math.Hypot(float64(i), chord*t) / reach
				p.floor.line(spots[j:j+2], plain(mix(f.look.line, f.look.ground, rim)))
			}
		}
	}
}

// axis paints an arrow.
func (p *picture) axis(a Axis, l *lens, set setting) {
	c := mix(set.look.ground, set.look.or(a.Color), 0.9)
	spots := p.line([]r3.Vec{a.From, a.To}, l, 0.9*set.px, nil)
	if spots[0].gap() || spots[1].gap() {
		return
	}
	p.ink.line(spots, plain(c))
	tip, dir := spots[1], [2]float32{spots[1].x - spots[0].x, spots[1].y - spots[0].y}
	length := float32(math.Hypot(float64(dir[0]), float64(dir[1])))
	head := float32(7 * set.px)
	if length < head { // seen from its end
		return
	}
	ux, uy := dir[0]/length*head, dir[1]/length*head
	const flare = 0.36
	p.ink.polygon(tip,
		spot{x: tip.x - ux - flare*uy, y: tip.y - uy + flare*ux},
		spot{x: tip.x - ux + flare*uy, y: tip.y - uy - flare*ux})
	p.ink.paint(c)
}

// trail paints the path of a point.
func (p *picture) trail(t Trail, l *lens, set setting) {
	c := set.look.or(t.Color)
	spots := p.line(t.Points, l, 0.7*set.px, nil)
	p.ink.line(spots, func(i int) color.Color {
		part := 0.6
		if t.Fade {
			part = 0.1 + 0.6*float64(i+1)/float64(len(spots))
		}
		return mix(set.look.ground, c, part)
	})
}

// outline paints a body.
func (p *picture) outline(o Outline, l *lens, set setting) {
	c := set.look.or(o.Color)
	whole := func(spots []spot) bool { return !slices.ContainsFunc(spots, spot.gap) }
	for _, face := range o.Faces {
		if spots := p.line(face, l, 0, nil); len(spots) > 2 && whole(spots) {
			p.ink.polygon(spots...)
		}
	}
	p.ink.paint(fade(c, 0.22))
	for _, face := range o.Faces {
		if spots := p.line(face, l, 0.6*set.px, nil); len(spots) > 1 && whole(spots) {
			p.ink.line(append(spots, spots[0]), plain(mix(set.look.ground, c, 0.75)))
		}
	}
}

// rods paints rods, the farthest first. What is farther is fainter.
func (p *picture) rods(rods []Rod, l *lens, set setting) {
	near, far := math.Inf(-1), math.Inf(1)
	mean := make([]float64, len(rods))
	p.order = p.order[:0]
	for i, r := range rods {
		n := 0
		for _, v := range r.Line {
			if _, _, _, d, ok := l.project(v); ok {
				near, far = math.Max(near, d), math.Min(far, d)
				mean[i] += d
				n++
			}
		}
		mean[i] /= math.Max(1, float64(n))
		p.order = append(p.order, i)
	}
	slices.SortStableFunc(p.order, func(a, b int) int { return cmp.Compare(mean[a], mean[b]) })
	// A rod square to the line of sight has no depth to speak of: then a
	// difference of a tenth of the view counts in full proportion, not less.
	depth := math.Max(near-far, 0.3*set.camera.span())
	for _, i := range p.order {
		p.rod(&rods[i], l, set, func(d float64) float64 { return (near - d) / depth })
	}
}

// rod paints a rod. far tells how far back a depth is, from 0 to 1.
func (p *picture) rod(r *Rod, l *lens, set setting, far func(near float64) float64) {
	c := set.look.or(r.Color)
	if r.Band != nil {
		spots := p.line(r.Line, l, 0, func(i int) float64 { return r.Band[i] })
		p.ink.tube(spots, fade(c, 0.2))
	}
	cue := func(part float64) shade {
		return func(i int) color.Color {
			return mix(set.look.ground, c, part*(1-0.5*far(p.near[i])))
		}
	}
	if r.Ghost {
		spots := p.line(r.Line, l, 0.75*set.px, nil)
		p.ink.dashed(spots, Dashed, float32(1.8*set.px), cue(0.75))
		return
	}
	last := math.Max(1, float64(len(r.Line)-1))
	spots := p.line(r.Line, l, 1.1*set.px, func(i int) float64 {
		return r.Radius[0] + (r.Radius[1]-r.Radius[0])*float64(i)/last
	})
	p.ink.line(spots, cue(1))
}

// dot paints a marker.
func (p *picture) dot(d Dot, l *lens, set setting) {
	x, y, _, _, ok := l.project(d.At)
	if !ok {
		return
	}
	size := d.Size
	if size <= 0 {
		size = 5
	}
	at := spot{float32(x), float32(y), float32(size / 2 * set.px)}
	p.ink.disc(at)
	p.ink.paint(set.look.or(d.Color))
	if d.Hollow {
		at.half = max(0, at.half-float32(1.3*set.px))
		p.ink.disc(at)
		p.ink.paint(set.look.ground)
	}
}
