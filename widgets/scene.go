package widgets

import (
	"image/color"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Scene is what a ShaftView shows. Kinds further down are painted over those
// above them; within the rods, the nearer over the farther.
type Scene struct {
	Grid     bool    // lines on the ground
	Ground   float64 // height of the grid, m
	GridStep float64 // m, 0 for a quarter of a metre
	Axes     []Axis
	Trails   []Trail
	Outlines []Outline
	Rods     []Rod
	Dots     []Dot
}

// An Axis is a named arrow: three of them make a triad.
type Axis struct {
	From, To r3.Vec // m
	Label    string // at the end, "" for none
	Color    color.Color
}

// A Trail is the path of a point.
type Trail struct {
	Points []r3.Vec // m, oldest first
	Color  color.Color
	Fade   bool // fainter towards the oldest
}

// An Outline is a body of flat polygons, drawn see-through.
type Outline struct {
	Faces [][]r3.Vec // m, each closed by itself
	Color color.Color
}

// A Rod is a thin body about a line.
type Rod struct {
	Label  string     // in the key, "" for none
	Line   []r3.Vec   // m, first end to last
	Radius [2]float64 // m, at the two ends; drawn wide enough to be seen
	Color  color.Color
	Ghost  bool      // dashed and faint, as for an undeflected line
	Band   []float64 // half width of a faint tube at each point, m; nil for none
}

// A Dot is a marker.
type Dot struct {
	At     r3.Vec  // m
	Label  string  // beside it where there is room, "" for none
	Size   float64 // diameter, dp; 0 for 5
	Color  color.Color
	Hollow bool
}
