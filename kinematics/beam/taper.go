package beam

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Taper is a smooth stiffness along a shaft: exp of a parabola in station. It
// is straight on a logarithmic plot but for one bow, as the stiffness of a
// tapering tube is.
type Taper struct{ a, b, c, centre float64 } // of exp(a + b x + c x²), x = station − centre

// ordinary is how far, in ln EI, readings of stiffness stray by themselves: 1 %,
// common practice, no source.
const ordinary = 0.01

// FitTaper returns the taper nearest to the stiffness at the stations, m, in
// the sense of Huber's estimate of ln EI: squares up to 1 % off, beyond that the
// distance itself, so that a dent hardly draws the taper to itself. It needs four
// stations.
func FitTaper(station, ei []float64) (Taper, error) {
	n := len(station)
	if n < 4 {
		return Taper{}, fmt.Errorf("beam: a smooth taper needs the stiffness at 4 stations or more; there are %d", n)
	}
	t := Taper{centre: (station[0] + station[n-1]) / 2}
	off := make([]float64, n) // ln of stiffness over taper; at first all count alike
	x, y := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	const rounds = 50 // of least squares weighted anew; a dozen settle it to a thousandth
	for range rounds {
		for i, s := range station {
			root := math.Sqrt(ordinary / math.Max(ordinary, math.Abs(off[i])))
			d := s - t.centre
			x.SetRow(i, []float64{root, root * d, root * d * d})
			y.SetVec(i, root*math.Log(ei[i]))
		}
		var p mat.VecDense
		if err := p.SolveVec(x, y); err != nil {
			return Taper{}, fmt.Errorf("beam: no taper fits the stations: %w", err)
		}
		t.a, t.b, t.c = p.AtVec(0), p.AtVec(1), p.AtVec(2)
		for i, s := range station {
			off[i] = math.Log(ei[i] / t.At(s))
		}
	}
	return t, nil
}

// At returns the taper's stiffness at a station, N m².
func (t Taper) At(station float64) float64 {
	x := station - t.centre
	return math.Exp(t.a + x*(t.b+x*t.c))
}

// A Departure is by how much the stiffness at a station departs from the smooth
// taper, as a share of it: −0.05 is a spot 5 % softer.
type Departure struct{ Station, Share float64 }

// Departures returns how far the stiffness departs from the smooth taper at
// every station.
func (t Taper) Departures(station, ei []float64) []Departure {
	out := make([]Departure, len(station))
	for i, s := range station {
		out[i] = Departure{s, ei[i]/t.At(s) - 1}
	}
	return out
}

// A SoftSpot is a stretch of neighbouring stations that are softer than the
// taper.
type SoftSpot struct {
	From, To float64 // first and last station, m
	Worst    Departure
}

// SoftSpots returns the stretches of stations whose stiffness is below the taper
// by more than limit, a share of it.
func SoftSpots(d []Departure, limit float64) []SoftSpot {
	var spots []SoftSpot
	soft := false
	for _, at := range d {
		if !(at.Share < -limit) {
			soft = false
			continue
		}
		if !soft {
			spots = append(spots, SoftSpot{From: at.Station, Worst: at})
		}
		soft = true
		last := &spots[len(spots)-1]
		last.To = at.Station
		if at.Share < last.Worst.Share {
			last.Worst = at
		}
	}
	return spots
}
