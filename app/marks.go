package app

import "bendline/widgets"

// marked returns the events of the leader that are marked on time axes.
func marked(s State) []Moment {
	var list []Moment
	for _, m := range []Moment{Top, Impact} {
		if _, ok := s.At(m); ok {
			list = append(list, m)
		}
	}
	return list
}

// marks returns top and impact of the leader on the common time, times scale.
func marks(s State, scale float64) []widgets.Mark {
	var list []widgets.Mark
	for _, m := range marked(s) {
		t, _ := s.At(m)
		label := m.String()
		if e := s.Study.Run(s.Leader()).Events; m == Top && e.Top != nil || m == Impact && e.Impact != nil {
			label += ", by hand"
		}
		list = append(list, widgets.Mark{At: t * scale, Label: label})
	}
	return list
}

// filledTimes returns the stretches of the common time in which the leader's
// values rest on markers that were not seen, s.
func filledTimes(s State) [][2]float64 {
	sw := s.Swing(s.Leader())
	if sw == nil {
		return nil
	}
	origin, _ := s.event(sw)
	var list [][2]float64
	for f, is := range sw.Filled {
		t := sw.Time(f) - origin
		switch n := len(list); {
		case !is:
		case f > 0 && sw.Filled[f-1]:
			list[n-1][1] = t
		default:
			list = append(list, [2]float64{t - 0.5/sw.Rate, t})
		}
	}
	return list
}
