package study

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendline/capture"
	"bendline/kinematics/contrast"
)

// A Lot tells how alike several clubs of one design are.
type Lot struct {
	Clubs    []string
	Measures []LotMeasure // one for each of Measures
	LeftOut  []LeftOut
}

// A LotMeasure splits the spread of one measure at impact, in shown units, into
// that of one player's runs with one club, and that between clubs; what players
// differ by is in neither, nor the errors that all runs of a club share.
type LotMeasure struct {
	Measure Measure
	contrast.Precision
	Holm   float64 // Precision.P adjusted for the number of measures
	Why    string  // why there is no split, "" where there is one
	Shared float64 // standard uncertainty that all runs of a club share, root mean square over the clubs

	Alone     contrast.Precision // of the runs alone (ISO 5725-2), with that in what is between clubs
	HolmAlone float64
}

// NewLot splits the spread over the good runs with the clubs, of which two are
// needed, as contrast.Precise does with clubs as units and players as blocks.
// Runs with one of the flags leaveOut are left out.
func NewLot(a *Analysis, clubs []string, leaveOut []capture.Code) (*Lot, error) {
	if len(clubs) < 2 {
		return nil, errors.New("study: a lot needs two clubs")
	}
	for i, id := range clubs {
		if _, err := chooseClubs(a.Study, "", id); err != nil {
			return nil, err
		}
		if slices.Contains(clubs[:i], id) {
			return nil, fmt.Errorf("study: club %q stands twice in the lot", id)
		}
	}
	l := &Lot{Clubs: clubs}
	var runs []*Result
	for _, r := range a.Results {
		if !slices.Contains(clubs, r.Run.Club) {
			continue
		}
		if why := unfit(r, leaveOut); why != "" {
			l.LeftOut = append(l.LeftOut, LeftOut{r.Run.ID, why})
			continue
		}
		runs = append(runs, r)
	}
	players := playersOf(runs)
	p, own := make([]float64, len(Measures)), make([]float64, len(Measures))
	for k, m := range Measures {
		items := make([]contrast.Item, len(runs))
		for i, r := range runs {
			items[i] = contrast.Item{
				Value: m.AtImpact(r.Swing).Value * m.Scale,
				Unit:  slices.Index(clubs, r.Run.Club), Block: slices.Index(players, r.Run.Player),
			}
		}
		split, err := contrast.Precise(items)
		row := LotMeasure{Measure: m, Alone: split, Shared: sharedOfClubs(m, runs, clubs)}
		row.Precision = split.Sharing(row.Shared)
		p[k], own[k] = row.P, split.P
		if err != nil {
			row.Why, p[k], own[k] = err.Error(), math.NaN(), math.NaN()
		}
		l.Measures = append(l.Measures, row)
	}
	for k, v := range contrast.Holm(p) {
		l.Measures[k].Holm = v
	}
	for k, v := range contrast.Holm(own) {
		l.Measures[k].HolmAlone = v
	}
	return l, nil
}

// sharedOfClubs returns the root mean square over the clubs of the standard
// uncertainty that all runs of a club share.
func sharedOfClubs(m Measure, runs []*Result, clubs []string) float64 {
	sum, n := 0.0, 0.0
	for _, id := range clubs {
		u, of := 0.0, 0.0
		for _, r := range runs {
			if r.Run.Club == id {
				u += shared(m, r.Swing)
				of++
			}
		}
		if of > 0 {
			sum += (u / of) * (u / of)
			n++
		}
	}
	return math.Sqrt(sum / n)
}
