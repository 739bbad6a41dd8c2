package study

import (
	"fmt"
	"slices"
	"strings"

	"bendline/capture"
)

// The clubs of the two sides of a comparison, at least one of each.
type sides struct{ baseline, prototype []string }

func chooseSides(s *Study, baseline, prototype string) (sides, error) {
	var chosen sides
	var err error
	if chosen.baseline, err = chooseClubs(s, Baseline, baseline); err != nil {
		return sides{}, err
	}
	if chosen.prototype, err = chooseClubs(s, Prototype, prototype); err != nil {
		return sides{}, err
	}
	for _, id := range chosen.baseline {
		if slices.Contains(chosen.prototype, id) {
			return sides{}, fmt.Errorf("study: club %q cannot be compared with itself; choose two clubs", id)
		}
	}
	return chosen, nil
}

// chooseClubs returns the club with the id or, without one, the first club of
// the role for each hand.
func chooseClubs(s *Study, role Role, id string) ([]string, error) {
	var ids, all []string
	for i := range s.Clubs {
		c := &s.Clubs[i]
		all = append(all, c.ID)
		switch {
		case id != "":
			if c.ID == id {
				return []string{id}, nil
			}
		case c.Role == role && !slices.ContainsFunc(ids, func(o string) bool { return s.Club(o).Hand == c.Hand }):
			ids = append(ids, c.ID)
		}
	}
	switch {
	case id != "":
		return nil, fmt.Errorf("study: there is no club %q in the study; it has %s", id, strings.Join(all, ", "))
	case len(ids) == 0:
		return nil, fmt.Errorf("study: no club of the study has the role %s, so there is nothing to compare", role)
	}
	return ids, nil
}

// deal puts the runs of the analysis on their sides, or among those left out.
func (c *Comparison) deal(a *Analysis, clubs sides) {
	onSide := func(r *Result) (baseline, prototype bool) {
		return slices.Contains(clubs.baseline, r.Run.Club), slices.Contains(clubs.prototype, r.Run.Club)
	}
	type sidesOf struct{ baseline, prototype bool }
	made := map[string]sidesOf{}
	for _, r := range a.Results {
		if unfit(r, c.Choices.LeaveOut) == "" {
			b, p := onSide(r)
			m := made[r.Run.Player]
			made[r.Run.Player] = sidesOf{m.baseline || b, m.prototype || p}
		}
	}
	for _, r := range a.Results {
		b, p := onSide(r)
		why := unfit(r, c.Choices.LeaveOut)
		switch {
		case !b && !p:
			why = fmt.Sprintf("its club %q %s", r.Run.Club, elsewhere)
		case why == "" && made[r.Run.Player] != sidesOf{true, true}:
			why = "its player has no good run with the other club"
		}
		if codes := flagsOf(r, Doubtful); len(codes) > 0 && (b || p) {
			c.Flagged = append(c.Flagged, Flagged{r.Run.ID, codes, why == ""})
		}
		switch {
		case why != "":
			c.LeftOut = append(c.LeftOut, LeftOut{r.Run.ID, why})
			continue
		case b:
			c.BaselineRuns = append(c.BaselineRuns, r)
		default:
			c.PrototypeRuns = append(c.PrototypeRuns, r)
		}
		if !slices.Contains(c.players, r.Run.Player) {
			c.players = append(c.players, r.Run.Player)
		}
	}
	place := func(id string) int {
		return slices.IndexFunc(c.study.Players, func(p Player) bool { return p.ID == id })
	}
	slices.SortStableFunc(c.players, func(a, b string) int { return place(a) - place(b) })
}

// unfit says why a run cannot be compared, "" if it can. Runs with one of the
// flags leaveOut cannot by choice.
func unfit(r *Result, leaveOut []capture.Code) string {
	switch {
	case r.Run.Excluded != "":
		return "excluded: " + r.Run.Excluded
	case !r.OK():
		return "failed: " + Plain(r.Err.Error())
	case !hasImpact(r):
		return "no impact was found in it"
	}
	if codes := flagsOf(r, leaveOut); len(codes) > 0 {
		return fmt.Sprintf("flagged %s, and such runs are left out by choice", codes[0])
	}
	return ""
}

// flagsOf returns which of the codes the run is flagged with.
func flagsOf(r *Result, codes []capture.Code) []capture.Code {
	var has []capture.Code
	for _, code := range codes {
		if slices.ContainsFunc(r.Flags, func(f capture.Flag) bool { return f.Code == code }) {
			has = append(has, code)
		}
	}
	return has
}
