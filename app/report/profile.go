package report

import (
	"context"
	"math"

	"gonum.org/v1/gonum/interp"

	"bendline/app/study"
	"bendline/kinematics"
)

// profilePoints is the number of stations a profile is drawn at.
const profilePoints = 150

// A quantity is one that changes along the shaft.
type quantity struct {
	head, remark string // name with unit
	read         func(kinematics.Profile) *kinematics.Series
}

var (
	curvatures = []quantity{
		{"Curvature in the lead plane, 1/m", "positive adds lead", func(p kinematics.Profile) *kinematics.Series { return &p.LeadCurvature }},
		{"Curvature in the droop plane, 1/m", "positive adds droop", func(p kinematics.Profile) *kinematics.Series { return &p.DroopCurvature }},
	}
	moments = []quantity{
		{"Bending moment in the lead plane, N m", "", func(p kinematics.Profile) *kinematics.Series { return p.LeadMoment }},
		{"Bending moment in the droop plane, N m", "", func(p kinematics.Profile) *kinematics.Series { return p.DroopMoment }},
	}
)

// profile is the bend along the shaft at impact: curvature, and moment where
// the stiffness of every club shown is known.
func (m *material) profile(ctx context.Context) ([]Slide, error) {
	if len(m.shown) == 0 || m.longest() == 0 {
		return nil, nil
	}
	var differences []study.CurveDifference // of the curvatures, in their order
	if m.c != nil && len(m.shown) == 2 {
		var err error
		if differences, err = m.c.Curves(ctx, study.Station, nil); err != nil {
			return nil, err
		}
	}
	shaded := ""
	lines := [][]quantity{curvatures}
	if m.stiffnessKnown() {
		lines = append(lines, moments)
	}
	x := m.stations(profilePoints)
	var rows [][]*panel
	for j, line := range lines {
		var row []*panel
		for k, q := range line {
			p := m.stationPanel(q.head, q.remark, j == len(lines)-1)
			if j == 0 && k < len(differences) {
				if v := differences[k].Told(); len(v.Intervals) > 0 {
					p.Add(differs{v.Intervals, 1})
					shaded = shadedWords(v)
				}
			}
			read := alongShaft(x, q.read)
			var all [][]float64
			for _, g := range m.shown {
				mean, sd := g.mean(len(x), read)
				p.Add(ribbon{x, subtract(mean, sd), add(mean, sd), g.look})
				all = append(all, mean, add(mean, sd), subtract(mean, sd))
			}
			for _, g := range m.shown {
				mean, _ := g.mean(len(x), read)
				p.Add(curve{x, mean, g.look.line(2)})
			}
			p.span(4, append(all, []float64{0})...)
			row = append(row, p)
		}
		rows = append(rows, row)
	}
	title := "Where the shaft bends at impact"
	return []Slide{{Title: title, Subtitle: band(m.shown) + shaded, key: m.key(m.shown), parts: panels(rows)}}, nil
}

// longest returns the length of the longest shaft shown, mm.
func (m *material) longest() float64 {
	long := 0.0
	for _, g := range m.shown {
		for _, r := range g.runs {
			long = math.Max(long, r.Swing.Length*1e3)
		}
	}
	return long
}

// stations returns n stations from the butt end to the longest shaft's tip, mm.
func (m *material) stations(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = m.longest() * float64(i) / float64(n-1)
	}
	return x
}

// stiffnessKnown reports whether every run shown has moments.
func (m *material) stiffnessKnown() bool {
	for _, g := range m.shown {
		for _, r := range g.runs {
			if r.Swing.Bend.LeadMoment == nil || r.Swing.Bend.DroopMoment == nil {
				return false
			}
		}
	}
	return true
}

// stationPanel returns an empty panel over the stations of the longest shaft.
func (m *material) stationPanel(head, remark string, labelled bool) *panel {
	label := ""
	if labelled {
		label = "distance from the butt end, mm"
	}
	p := m.newPanel(head, remark, label)
	p.X.Min, p.X.Max = 0, m.longest()
	p.X.Tick.Marker = ticks{format: m.format, step: 200}
	return p
}

// alongShaft returns a reading of a profile at stations x, mm: linear between
// the profile's own stations, NaN beyond them and where the profile is not
// known.
func alongShaft(x []float64, read func(kinematics.Profile) *kinematics.Series) reading {
	return func(r *study.Result) []float64 {
		y := make([]float64, len(x))
		for i := range y {
			y[i] = math.NaN()
		}
		bend := r.Swing.Bend
		s := read(bend)
		n := len(bend.Station)
		if s == nil || n < 2 || len(s.Value) != n {
			return y
		}
		var line interp.PiecewiseLinear
		if line.Fit(bend.Station, s.Value) != nil {
			return y
		}
		const slack = 1e-9 // m, for rounding at the tip
		for i := range x {
			if at := x[i] / 1e3; at >= bend.Station[0]-slack && at <= bend.Station[n-1]+slack {
				y[i] = line.Predict(at)
			}
		}
		return y
	}
}
