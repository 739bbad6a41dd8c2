package sampledata

import (
	"fmt"
	"math"

	"bendline/capture"
	"bendline/kinematics"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Club is a shaft with its head, grip and markers.
type Club struct {
	ID, Label, Role           string
	Hand                      kinematics.Hand
	Shaft                     kinematics.Shaft // as the bench knows it
	ButtDiameter, TipDiameter float64          // m

	Markers capture.MarkerSet
	Around  []float64 // direction of each shaft marker from the axis, rad from x towards y
	Grip    []r3.Vec  // grip markers in the club frame, m
	Head    []r3.Vec  // head markers in the club frame moved to the tip end, m

	Bench *Bench // as measured; nil where it was not
	Spec  *Spec
}

// base is the shaft of the demo's baseline. Its stiffness lies in the usual
// range of a driver's shaft: butt 55-90, middle 30-45, tip 15-30 N m² in bend,
// butt 25-45 and tip 6-12 N m² in torsion (common practice, no source).
var base = kinematics.Shaft{
	Length:  1.130,
	Station: []float64{0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9, 1.02, 1.13},
	EI:      []float64{76, 68, 58, 48, 40, 33, 26.5, 22.5, 20.5},
	GJ:      []float64{37, 33, 28, 22.5, 18, 14, 10.8, 8.8, 8},
}

// driver returns a right-handed club with the given shaft, eleven markers along
// it, and clusters of four on grip and head.
func driver(shaft kinematics.Shaft) Club {
	c := Club{
		Shaft:        shaft,
		ButtDiameter: 0.0152,
		TipDiameter:  0.0086,
		Grip: []r3.Vec{
			{X: 0.040, Y: 0.004, Z: 0.030},
			{X: -0.026, Y: 0.035, Z: 0.012},
			{X: -0.024, Y: -0.036, Z: 0.018},
			{X: 0.006, Y: -0.003, Z: -0.032},
		},
		// Heel and toe differ in y and z only: they set the direction of y.
		Head: []r3.Vec{
			{X: 0.018, Y: 0.008, Z: 0.024},
			{X: 0.018, Y: 0.094, Z: 0.046},
			{X: -0.078, Y: 0.060, Z: 0.034},
			{X: -0.014, Y: 0.050, Z: 0.004},
		},
	}
	c.Markers = capture.MarkerSet{
		Grip: []string{"G1", "G2", "G3", "G4"},
		Head: []string{"H1", "H2", "H3", "H4"},
		Heel: "H1",
		Toe:  "H2",
	}
	const stalk = 0.004 // from the shaft's surface to a marker's centre, m
	first, last, n := 0.29, shaft.Length-0.045, 11
	for i := range n {
		s := first + (last-first)*float64(i)/float64(n-1)
		radius := (c.ButtDiameter + (c.TipDiameter-c.ButtDiameter)*s/shaft.Length) / 2
		c.Markers.Shaft = append(c.Markers.Shaft, capture.ShaftMarker{
			Name:    fmt.Sprintf("S%02d", i+1),
			Station: round(s, 1e-4),
			Offset:  round(radius+stalk, 1e-5),
		})
		// A third of a turn from one to the next, so that they show the twist.
		c.Around = append(c.Around, 0.4+2*math.Pi/3*float64(i))
	}
	return c
}

// round returns x rounded to a whole number of steps: what a study file states
// of the club is then exactly what was simulated.
func round(x, step float64) float64 {
	n := math.Round(1 / step)
	return math.Round(x*n) / n
}

// headPoint returns the centroid of the head markers, from the tip end.
func (c *Club) headPoint() r3.Vec {
	var sum r3.Vec
	for _, p := range c.Head {
		sum = r3.Add(sum, p)
	}
	return r3.Scale(1/float64(len(c.Head)), sum)
}

// headAtRest returns the head point of the unbent club in the club frame, m.
func (c *Club) headAtRest() r3.Vec {
	return r3.Add(c.headPoint(), r3.Vec{Z: c.Shaft.Length})
}

// stiffness returns EI and GJ over station: linear in the table, constant
// beyond.
func (c *Club) stiffness() (ei, gj func(float64) float64) {
	var e, g interp.PiecewiseLinear
	for _, fit := range []error{e.Fit(c.Shaft.Station, c.Shaft.EI), g.Fit(c.Shaft.Station, c.Shaft.GJ)} {
		if fit != nil {
			panic("sampledata: stiffness table: " + fit.Error())
		}
	}
	return e.Predict, g.Predict
}
