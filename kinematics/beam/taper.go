package beam

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A Taper is a smooth stiffness along a shaft: exp of a polynomial in station. As
// FitTaper gives it, a parabola, it is straight on a logarithmic plot but for one
// bow, as the stiffness of a tapering tube is.
type Taper struct {
	c      []float64 // of exp(c[0] + c[1] x + …), x = station − centre
	centre float64
}

// ordinary is how far, in ln EI, readings of stiffness stray by themselves: 1 %,
// common practice, no source.
const ordinary = 0.01

// FitTaper returns the taper nearest to the stiffness at the stations, m, in
// the sense of Huber's estimate of ln EI: squares up to 1 % off, beyond that the
// distance itself, so that a dent hardly draws the taper to itself. It needs four
// stations.
func FitTaper(station, ei []float64) (Taper, error) {
	if n := len(station); n < 4 {
		return Taper{}, fmt.Errorf("beam: a smooth taper needs the stiffness at 4 stations or more; there are %d", n)
	}
	return fitTaper(station, ei, 3)
}

// fitTaper fits so many terms.
func fitTaper(station, ei []float64, terms int) (Taper, error) {
	n := len(station)
	t := Taper{make([]float64, terms), (station[0] + station[n-1]) / 2}
	off := make([]float64, n) // ln of stiffness over taper; at first all count alike
	x, y := mat.NewDense(n, terms, nil), mat.NewVecDense(n, nil)
	const rounds = 50 // of least squares weighted anew; a dozen settle it to a thousandth
	for range rounds {
		for i, s := range station {
			root := math.Sqrt(ordinary / math.Max(ordinary, math.Abs(off[i])))
			power := root
			for j := range terms {
				x.Set(i, j, power)
				power *= s - t.centre
			}
			y.SetVec(i, root*math.Log(ei[i]))
		}
		var p mat.VecDense
		if err := p.SolveVec(x, y); err != nil {
			return Taper{}, fmt.Errorf("beam: no taper fits the stations: %w", err)
		}
		copy(t.c, p.RawVector().Data)
		for i, s := range station {
			off[i] = math.Log(ei[i] / t.At(s))
		}
	}
	return t, nil
}

// At returns the taper's stiffness at a station, N m².
func (t Taper) At(station float64) float64 {
	ln := 0.0
	for _, c := range slices.Backward(t.c) {
		ln = ln*(station-t.centre) + c
	}
	return math.Exp(ln)
}

// A Departure is by how much the stiffness at a station departs from the smooth
// taper, as a share of it: −0.05 is a spot 5 % softer.
type Departure struct {
	Station, Share float64
	// Bowed is the share by which it departs from the nearest taper with an S-shaped
	// bow besides; Share itself where fewer than six stations leave nothing to
	// tell such a bow by.
	Bowed float64
}

// Departures returns how far the stiffness departs from the smooth taper at
// every station. It needs four stations.
func Departures(station, ei []float64) ([]Departure, error) {
	t, err := FitTaper(station, ei)
	if err != nil {
		return nil, err
	}
	bowed := t
	const fewest = 6 // stations for the four terms of a taper with an S in it
	if len(station) >= fewest {
		if bowed, err = fitTaper(station, ei, 4); err != nil {
			return nil, err
		}
	}
	out := make([]Departure, len(station))
	for i, s := range station {
		out[i] = Departure{s, ei[i]/t.At(s) - 1, ei[i]/bowed.At(s) - 1}
	}
	return out, nil
}

// A SoftSpot is a stretch of neighbouring stations that are softer than the
// taper.
type SoftSpot struct {
	From, To float64 // first and last station, m
	Worst    Departure
}

// SoftSpots returns the stretches of stations whose stiffness is below the taper
// by more than limit, a share of it, and somewhere by more than half of it below a
// taper with an S-shaped bow too: ordinary shafts have such bows of some 3 %, and
// with 1 % of noise a station of them is 5 % below the taper alone in 1 to 8 % of
// shafts, but in less than 1 % below both. A spot that is there is found as often
// as without (TestSoftSpotPower).
func SoftSpots(d []Departure, limit float64) []SoftSpot {
	var spots []SoftSpot
	for i := 0; i < len(d); i++ {
		if !(d[i].Share < -limit) {
			continue
		}
		s := SoftSpot{From: d[i].Station, Worst: d[i]}
		deepest := 0.0
		for ; i < len(d) && d[i].Share < -limit; i++ {
			s.To = d[i].Station
			if d[i].Share < s.Worst.Share {
				s.Worst = d[i]
			}
			deepest = math.Min(deepest, d[i].Bowed)
		}
		if deepest < -limit/2 {
			spots = append(spots, s)
		}
	}
	return spots
}
