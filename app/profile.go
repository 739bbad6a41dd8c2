package app

import (
	"math"

	"bendline/app/study"
	"bendline/kinematics"
	"bendline/widgets"
)

// along shows curvature or moment along the shaft at the instant shown: of each
// run side by side in the plane of lead and, dashed, in that of droop. At impact
// itself their uncertainty is known and drawn.
func (c *chart) along(s State, what content, fresh bool) {
	unit := "1/m"
	if what.kind == moment {
		unit = "N m"
	}
	var list []widgets.Curve
	unknown := false
	for i, sw := range c.swings {
		if sw == nil {
			continue
		}
		p := sw.ProfileAt(c.frames[i])
		if s.Align == AlignImpact && math.Abs(s.Time) < 0.5/sw.Rate {
			p = sw.Bend
		}
		lead, droop, ok := planes(p, what.kind)
		if !ok {
			unknown = true
			continue
		}
		for k, of := range []kinematics.Series{lead, droop} {
			curve := widgets.Curve{Label: s.Panes[i] + " " + planeNames[k], Color: widgets.Palette[i], Y: of.Value}
			if k == 1 {
				curve.Dash = widgets.Dashed
			}
			for n, v := range of.Value {
				curve.X = append(curve.X, p.Station[n]*1e3)
				curve.Low, curve.High = append(curve.Low, v-of.U95[n]), append(curve.High, v+of.U95[n])
			}
			list = append(list, curve)
		}
	}
	if unknown {
		unit += "; not known where the study gives no stiffness"
	}
	c.plot.Format = nil
	if fresh {
		most := 0.0
		for _, sw := range c.swings {
			most = math.Max(most, largest(sw, what.kind))
		}
		c.plot.SetTitles("", "mm from the butt"+setByHand(s.Study), unit)
		c.plot.SetSpan(-1.05*most, 1.05*most)
		c.plot.SetMarks(nil)
		c.plot.SetMap(nil)
		c.plot.SetCursor(math.NaN())
	}
	c.plot.SetCurves(list)
}

var planeNames = []string{"lead", "droop"}

// planes returns curvature or moment in the two planes; ok is false where it is
// not known.
func planes(p kinematics.Profile, kind contentKind) (lead, droop kinematics.Series, ok bool) {
	if kind != moment {
		return p.LeadCurvature, p.DroopCurvature, true
	}
	if p.LeadMoment == nil || p.DroopMoment == nil {
		return kinematics.Series{}, kinematics.Series{}, false
	}
	return *p.LeadMoment, *p.DroopMoment, true
}

// mapColumns is about how many instants a map is made of.
const mapColumns = 700

// largest returns the largest curvature or moment between top and impact,
// looked at some hundred times; what rings afterwards would make it too large.
func largest(sw *kinematics.Swing, kind contentKind) float64 {
	if sw == nil {
		return 0
	}
	from, to := 0, sw.Frames()-1
	if t := sw.Top; !math.IsNaN(t) {
		from = sw.FrameAt(t)
	}
	if t := sw.Impact.Value; !math.IsNaN(t) {
		to = sw.FrameAt(t)
	}
	most := 0.0
	for f := from; f <= to; f += max(1, (to-from)/100) {
		lead, droop, ok := planes(sw.ProfileAt(f), kind)
		if !ok {
			return 0
		}
		for i := range lead.Value {
			for _, v := range []float64{lead.Value[i], droop.Value[i]} {
				if math.Abs(v) > most {
					most = math.Abs(v)
				}
			}
		}
	}
	return most
}

// mapOf returns the curvature of the leader in a plane over common time, ms, and
// station, mm; nil without a leader.
func mapOf(s State, plane int) *widgets.Map {
	sw := s.Swing(s.Leader())
	if sw == nil || sw.Frames() < 2 {
		return nil
	}
	limit := largest(sw, curvature)
	if limit == 0 {
		return nil
	}
	origin, _ := s.event(sw)
	m := &widgets.Map{Limit: limit}
	for f := 0; f < sw.Frames(); f += max(1, sw.Frames()/mapColumns) {
		p := sw.ProfileAt(f)
		m.X = append(m.X, (sw.Time(f)-origin)*milli)
		m.Z = append(m.Z, [][]float64{p.LeadCurvature.Value, p.DroopCurvature.Value}[plane])
		if m.Y == nil {
			for _, at := range p.Station {
				m.Y = append(m.Y, at*1e3)
			}
		}
	}
	return m
}

// contactNote says how long club and ball touched, for the details of a run.
func contactNote(r *study.Result) string {
	c := r.Swing.Contact
	if !(c.U95 > 0) { // set by hand
		return ""
	}
	return "Impact is first contact, with a contact of " + decimal(c.Value*1e3, 2) + " ± " + decimal(c.U95*1e3, 2) + " ms that all runs together show."
}
