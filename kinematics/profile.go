package kinematics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Profile is curvature and moment along the shaft at one instant, in the
// lead plane and the droop plane: positive where they make lead and droop
// grow. The moments are nil where the club's stiffness is not known.
type Profile struct {
	Station                       []float64 // m
	LeadCurvature, DroopCurvature Series    // 1/m
	LeadMoment, DroopMoment       *Series   // N m
}

// pieces is at the middles of how many even pieces of the shaft a profile is
// given.
const pieces = 36

// profile returns the rod's profile. sd returns the standard uncertainty of the
// moment lo·amp[k] + hi·amp[k+1], k counted from −1 over both planes.
func (m *rodModel) profile(amp *amplitudes, stiff bool, hand Hand, sd func(k int, lo, hi float64) float64) Profile {
	p := Profile{Station: make([]float64, pieces), LeadCurvature: newSeries(pieces), DroopCurvature: newSeries(pieces)}
	var moments [2]Series
	for plane := range 2 {
		sign := 1.0
		if plane == 1 || hand == Left { // droop is towards −y, a left-handed lead towards −x
			sign = -1
		}
		curvature := p.LeadCurvature
		if plane == 1 {
			curvature = p.DroopCurvature
		}
		moments[plane] = newSeries(pieces)
		for i := range pieces {
			p.Station[i] = (float64(i) + 0.5) / pieces * m.shaft.Length
			k, lo, hi, ei := m.bending(p.Station[i])
			k += plane * bends
			lo, hi = lo/ei, hi/ei
			v := hi * amp[k+1]
			if lo != 0 {
				v += lo * amp[k]
			}
			u := coverage * sd(k, lo, hi)
			curvature.Value[i], curvature.U95[i] = sign*v, u
			moments[plane].Value[i], moments[plane].U95[i] = sign*v*ei, u*ei
		}
	}
	if stiff {
		p.LeadMoment, p.DroopMoment = &moments[0], &moments[1]
	}
	return p
}

// profile returns the profile at the solution amp of the solver.
func (f *fit) profile(amp *amplitudes, s *solver) Profile {
	return f.rod.profile(amp, f.ref.Shaft.Known(), f.ref.Hand, func(k int, lo, hi float64) float64 {
		var g [shapes]float64
		g[k+1] = hi
		if lo != 0 {
			g[k] = lo
		}
		return math.Sqrt(s.variance(&g))
	})
}

// centreline fills dst with evenly spaced points of the axis, butt to tip: within
// a segment by the cubic through its ends along their tangents.
func (m *rodModel) centreline(amp *amplitudes, dst []r3.Vec) {
	nodes := make([]int, len(m.seg)+1)
	for i := range nodes {
		nodes[i] = i
	}
	at := make([]section, len(nodes))
	m.bend(amp, nodes, at, false)
	k, done := 0, 0.0 // done: station of node k
	for i := range dst {
		station := m.shaft.Length * float64(i) / float64(len(dst)-1)
		for k < len(m.seg)-1 && done+m.seg[k].h < station {
			done += m.seg[k].h
			k++
		}
		h := m.seg[k].h
		f := math.Min((station-done)/h, 1)
		g := 1 - f
		dst[i] = r3.Add(
			r3.Add(r3.Scale(g*g*(1+2*f), at[k].Origin), r3.Scale(g*g*f*h, at[k].Z)),
			r3.Sub(r3.Scale(f*f*(1+2*g), at[k+1].Origin), r3.Scale(f*f*g*h, at[k+1].Z)))
	}
}
