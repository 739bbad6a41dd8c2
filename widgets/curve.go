package widgets

import (
	"image/color"
	"math"
	"sort"
	"strconv"
)

// A Curve is y over x, with an optional band.
type Curve struct {
	Label     string
	X, Y      []float64   // as long as each other, x not falling; NaN in Y is a gap
	Low, High []float64   // the band, as long as X; nil for none
	Color     color.Color // nil for the palette's, by the curve's place
	Dash      Dash
	Filled    []bool // where the line is dotted and pale, as over what was not seen; as long as X, nil for nowhere
	Muted     bool   // thin and faint, as for one of many runs behind their mean
}

// A Mark is a named place on an axis, such as "impact".
type Mark struct {
	At    float64
	Label string
}

// Dash is the pattern of a line, so that curves differ by more than colour.
type Dash int

// The patterns.
const (
	Solid Dash = iota
	Dashed
	Dotted
	DashDot
)

// Palette holds colours that people with any of the common colour vision
// deficiencies can tell apart: those of M. Okabe and K. Ito, "Color Universal
// Design" (2008), in an order of our own, without the yellow and the black,
// which vanish on a light and on a dark ground.
var Palette = []color.NRGBA{
	{0x00, 0x72, 0xb2, 0xff}, // blue
	{0xd5, 0x5e, 0x00, 0xff}, // vermilion
	{0x00, 0x9e, 0x73, 0xff}, // bluish green
	{0xcc, 0x79, 0xa7, 0xff}, // reddish purple
	{0xe6, 0x9f, 0x00, 0xff}, // orange
	{0x56, 0xb4, 0xe9, 0xff}, // sky blue
}

// Style returns the colour and pattern of the ith of many: all colours solid,
// then all dashed, and so on.
func Style(i int) (color.NRGBA, Dash) {
	n := len(Palette)
	return Palette[i%n], Dash(i / n % int(DashDot+1))
}

// check panics where the slices of a curve do not belong together or x falls.
func (c *Curve) check() {
	n := len(c.X)
	if len(c.Y) != n || c.Low != nil && len(c.Low) != n || c.High != nil && len(c.High) != n || c.Filled != nil && len(c.Filled) != n {
		panic("widgets: the slices of curve " + strconv.Quote(c.Label) + " differ in length")
	}
	if (c.Low == nil) != (c.High == nil) {
		panic("widgets: curve " + strconv.Quote(c.Label) + " has half a band")
	}
	for i := 1; i < n; i++ {
		if !(c.X[i] >= c.X[i-1]) {
			panic("widgets: x of curve " + strconv.Quote(c.Label) + " falls or is NaN at " + strconv.Itoa(i))
		}
	}
}

// at returns y at x between the points on both sides, NaN in a gap or beyond
// the ends.
func (c *Curve) at(x float64) float64 {
	i := sort.SearchFloat64s(c.X, x)
	switch {
	case i < len(c.X) && c.X[i] == x:
		return c.Y[i]
	case i == 0 || i >= len(c.X):
		return math.NaN()
	}
	f := (x - c.X[i-1]) / (c.X[i] - c.X[i-1])
	return c.Y[i-1] + f*(c.Y[i]-c.Y[i-1])
}

// window returns the indices of the points seen between lo and hi with one more
// on either side, so that the line runs out of the picture.
func (c *Curve) window(e extent) (from, to int) {
	from = sort.SearchFloat64s(c.X, e.lo)
	to = sort.Search(len(c.X), func(i int) bool { return c.X[i] > e.hi })
	return max(0, from-1), min(len(c.X), to+1)
}
