package app

import "bendline/widgets"

// marks returns top and impact of the first shown run on the common time,
// times scale.
func marks(s State, scale float64) []widgets.Mark {
	var list []widgets.Mark
	for _, m := range []struct {
		moment Moment
		label  string
	}{{Top, "top"}, {Impact, "impact"}} {
		if t, ok := s.At(m.moment); ok {
			list = append(list, widgets.Mark{At: t * scale, Label: m.label})
		}
	}
	return list
}
