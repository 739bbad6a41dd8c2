package report

import (
	"slices"
	"strings"

	"bendline/app/study"
)

// runName returns the id of a run, with a star where it was corrected by hand.
func runName(r study.Run) string {
	if len(r.Corrections()) > 0 {
		return r.ID + " *"
	}
	return r.ID
}

// star is put to the name of a club where one of the runs that count for it
// was corrected by hand.
func (g group) star() string {
	if g.corrected() > 0 {
		return " *"
	}
	return ""
}

// starred returns the name of a club that is shown, with its star.
func (m *material) starred(club string) string {
	for _, g := range m.shown {
		if g.club.ID == club {
			return m.name(club) + g.star()
		}
	}
	return m.name(club)
}

// corrected returns how many of the group's runs were corrected by hand.
func (g group) corrected() int {
	n := 0
	for _, r := range g.runs {
		if len(r.Run.Corrections()) > 0 {
			n++
		}
	}
	return n
}

// byHand tells what the star stands for: each correction with the runs it was
// made in; "" where there is none.
func (m *material) byHand() string { return byHand(m.results) }

func byHand(results []*study.Result) string {
	var order []string
	in := map[string][]string{}
	for _, r := range results {
		for _, what := range r.Run.Corrections() {
			if !slices.Contains(order, what) {
				order = append(order, what)
			}
			in[what] = append(in[what], r.Run.ID)
		}
	}
	if len(order) == 0 {
		return ""
	}
	for i, what := range order {
		order[i] = what + " (" + strings.Join(in[what], ", ") + ")"
	}
	return "* Corrected by hand: " + strings.Join(order, "; ") + "."
}

// corrected returns how many of the runs that count were corrected by hand.
func (m *material) corrected() int {
	n := 0
	for _, g := range m.shown {
		n += g.corrected()
	}
	return n
}
