package report

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// maxInstants is how many instants have room on a slide.
const maxInstants = 4

// usualInstants are shown where none are chosen, ms before impact: the loaded
// shaft, its release, and impact (common practice, no source).
var usualInstants = []float64{100, 50, 20, 0}

// A pose is how a shaft is bent in one plane at one instant.
type pose struct {
	look look
	y    []float64 // distance from the undeflected line at stations, mm
}

// tip returns the last known value, NaN if there is none.
func (p pose) tip() float64 {
	for i := len(p.y) - 1; i >= 0; i-- {
		if !math.IsNaN(p.y[i]) {
			return p.y[i]
		}
	}
	return math.NaN()
}

// poses returns the mean pose of each group, before seconds before impact.
func poses(groups []group, x []float64, in plane, before float64) []pose {
	all := make([]pose, len(groups))
	for i, g := range groups {
		mean, _ := g.mean(len(x), centreline(x, in, before))
		all[i] = pose{g.look, mean}
	}
	return all
}

// A stand draws poses hanging from the butt end at the top, to one scale.
type stand struct {
	x      []float64 // stations, mm
	lo, hi float64   // of the distances drawn, mm
	factor float64   // how much larger a millimetre is across the shaft than along it
}

// exaggerations are those a stand may have, largest first.
var exaggerations = []float64{10, 8, 6, 5, 4, 3, 2.5, 2, 1.5, 1, 0.5, 0.25}

// newStand returns the stand for poses in a box: with the largest exaggeration
// that keeps them inside. It draws nothing where no pose is known.
func newStand(x []float64, all []pose, box vg.Point) stand {
	s := stand{x: x}
	for _, p := range all {
		lo, hi := extent(p.y)
		s.lo, s.hi = math.Min(s.lo, lo), math.Max(s.hi, hi)
	}
	along := float64(box.Y) / x[len(x)-1]
	for _, s.factor = range exaggerations {
		if (s.hi-s.lo)*s.factor*along <= float64(box.X) {
			break
		}
	}
	return s
}

// draw draws the unbent shaft, dashed, and the poses over all of c.
func (s stand) draw(c draw.Canvas, all []pose) {
	long := s.x[len(s.x)-1]
	along := c.Size().Y / vg.Length(long)
	mid := (s.lo + s.hi) / 2 * s.factor
	at := func(x, y float64) vg.Point {
		return vg.Point{X: c.Center().X + along*vg.Length(y*s.factor-mid), Y: c.Max.Y - along*vg.Length(x)}
	}
	c.StrokeLines(draw.LineStyle{Color: muted, Width: 0.9, Dashes: []vg.Length{3, 2.5}}, []vg.Point{at(0, 0), at(long, 0)})
	for _, p := range all {
		for _, part := range stretches(p.y) {
			var points []vg.Point
			for i := part.from; i < part.to; i++ {
				points = append(points, at(s.x[i], p.y[i]))
			}
			c.StrokeLines(p.look.line(2.4), points)
		}
	}
	const grip = 0.22 // of a driver's length (common practice, no source)
	c.StrokeLines(draw.LineStyle{Color: ink, Width: 5}, []vg.Point{at(0, 0), at(grip*long, 0)})
}

// instants shows the shafts side by side at chosen instants, ms before impact,
// in both planes.
func (m *material) instants(before []float64) []Slide {
	if len(m.shown) == 0 || m.longest() == 0 {
		return nil
	}
	if len(before) == 0 {
		before = usualInstants
	}
	const gap = 14
	wide := (bodyWide + gap) / vg.Length(len(before))
	pane := (wide - gap) / vg.Length(len(planes))
	lines := vg.Length(len(m.shown)) * 14
	box := vg.Point{X: min(pane, 150) - 12, Y: body.Size().Y - 66 - lines}

	x := m.stations(profilePoints)
	all := make([][][]pose, len(planes)) // by plane and instant
	var every []pose
	for j, plane := range planes {
		for _, ms := range before {
			p := poses(m.shown, x, plane, ms/1e3)
			all[j] = append(all[j], p)
			every = append(every, p...)
		}
	}
	if lo, hi := extent(ys(every)...); lo > hi {
		return nil
	}
	// Each plane has its own limits; the smaller exaggeration holds for both.
	stands := make([]stand, len(planes))
	factor := math.Inf(1)
	for j := range planes {
		var of []pose
		for _, p := range all[j] {
			of = append(of, p...)
		}
		stands[j] = newStand(x, of, box)
		factor = math.Min(factor, stands[j].factor)
	}
	for j := range stands {
		stands[j].factor = factor
	}
	sub := "Mean shapes, the grip held still; bend drawn " + m.number(factor, digitsOf(factor)) + " times the scale along the shaft."
	s := Slide{Title: "Shaft shapes on the way to impact", Subtitle: sub, key: m.key(m.shown)}
	for i, ms := range before {
		left := side + vg.Length(i)*wide
		head := m.number(ms, digitsOf(ms)) + "\u00a0ms before impact"
		if ms == 0 {
			head = "Last frame before contact"
		}
		s.parts = append(s.parts, newRule(left, body.Max.Y-22, wide-gap), line(bold(leadSize, ink), left, body.Max.Y-15, wide-gap, head))
		for j, plane := range planes {
			x := left + vg.Length(j)*pane
			top := body.Max.Y - 44
			small := sans(labelSize, muted)
			s.parts = append(s.parts, line(small, x, top+6, pane, plane.measure+", mm"))
			rect := vg.Rectangle{Min: vg.Point{X: x, Y: top - 4 - box.Y}, Max: vg.Point{X: x + pane - 8, Y: top - 4}}
			these, st := all[j][i], stands[j]
			s.parts = append(s.parts, illustration{rect, plane.name + ", " + head, func(c draw.Canvas) { st.draw(c, these) }})
			for k, p := range these {
				y := rect.Min.Y - 16 - 14*vg.Length(k)
				s.parts = append(s.parts, line(bold(labelSize, p.look.text()), x, y, pane-8, m.number(p.tip(), 1)))
			}
		}
	}
	return []Slide{s}
}

// digitsOf returns the decimals that a chosen number needs, at most two.
func digitsOf(v float64) int {
	for d, power := range []float64{1, 10} {
		if v*power == math.Round(v*power) {
			return d
		}
	}
	return 2
}

// ys returns the rows of poses.
func ys(all []pose) [][]float64 {
	rows := make([][]float64, len(all))
	for i, p := range all {
		rows[i] = p.y
	}
	return rows
}
