package app

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"bendline/app/report"
	"bendline/app/study"
)

// slideNames are the kinds of slides as the window calls them.
var slideNames = map[report.Kind]string{
	report.Cover:     "Question and answer",
	report.Impact:    "Values at impact",
	report.Loading:   "Loading and release",
	report.Players:   "Player by player",
	report.Curves:    "Lead, droop and twist",
	report.Downswing: "The same over the downswing",
	report.Lot:       "Clubs of one design",
	report.Bend:      "Bend along the shaft",
	report.Shape:     "Shaft before contact",
	report.Instants:  "Shafts side by side",
	report.Runs:      "Every run, drawn",
	report.Bench:     "Bench sheets",
	report.Strain:    "Strain",
	report.RunTable:  "Every run, in numbers",
	report.Quality:   "Data quality",
	report.NotUsed:   "Runs not used",
	report.Method:    "Method",
	report.Files:     "Files and settings",
}

// planOf returns the plan of the study's deck, with the kinds that it does not
// name left out at its end. With an error it is the usual plan.
func planOf(st *study.Study) (report.Plan, error) {
	p, err := report.PlanOf(st)
	if err != nil {
		return report.DefaultPlan(), err
	}
	for _, c := range report.DefaultPlan() {
		if !slices.ContainsFunc(p, func(has report.Choice) bool { return has.Kind == c.Kind }) {
			p = append(p, report.Choice{Kind: c.Kind, Off: true})
		}
	}
	return p, nil
}

// EditPlan changes the plan of the deck, which is kept in the study; Undo takes
// it back. What is typed in one place without a pause for anything else is one
// change; Typing names the place.
type EditPlan struct {
	Change func(report.Plan) report.Plan
	Typing string
}

func (c EditPlan) apply(s State) State {
	if s.Study == nil {
		return s
	}
	was, err := planOf(s.Study)
	p := c.Change(slices.Clone(was))
	if err == nil && reflect.DeepEqual(p, was) {
		return s
	}
	st := *s.Study
	st.Slides = encodePlan(p)
	if c.Typing == "" || s.typed != s.Study || s.typedIn != c.Typing {
		s.past = append(slices.Clip(s.past), s.step())
	}
	// Not edited: nothing that was measured is changed.
	s.Study, s.future = &st, nil
	s.typed, s.typedIn = s.Study, c.Typing
	return s
}

// encodePlan returns the plan as a study keeps it: nothing for the usual one.
func encodePlan(p report.Plan) json.RawMessage {
	if reflect.DeepEqual(p, report.DefaultPlan()) {
		return nil
	}
	b, err := json.Marshal(p)
	if err != nil {
		panic(fmt.Sprintf("app: a plan of slides that cannot be: %v", err))
	}
	return b
}

// editChoice is an EditPlan of one choice.
func editChoice(i int, typing string, change func(*report.Choice)) EditPlan {
	if typing != "" {
		typing = fmt.Sprint(typing, i)
	}
	return EditPlan{func(p report.Plan) report.Plan {
		if i < len(p) {
			change(&p[i])
		}
		return p
	}, typing}
}

// MoveSlide moves the slide looked at up or down in the plan.
type MoveSlide struct{ By int }

func (c MoveSlide) apply(s State) State {
	from, to := s.Slide.Choice, s.Slide.Choice+c.By
	n := EditPlan{Change: func(p report.Plan) report.Plan {
		if from < len(p) && to >= 0 && to < len(p) {
			moved := p[from]
			p = slices.Insert(slices.Delete(p, from, from+1), to, moved)
		}
		return p
	}}.apply(s)
	if n.Study != s.Study {
		n.Slide.Choice = to
	}
	return n
}

// A slidePlace is a place in a deck: a choice of the plan, and which of the
// slides that it fills, from 0.
type slidePlace struct{ Choice, Page int }

// ShowSlide looks at a slide of the deck.
type ShowSlide struct{ At slidePlace }

func (c ShowSlide) apply(s State) State { s.Slide = c.At; return s }

// TurnSlide looks at the next slide of the deck, or the one before.
type TurnSlide struct{ Back bool }

func (c TurnSlide) apply(s State) State {
	var all []slidePlace
	for i, n := range s.Preview.Pages {
		for page := range n {
			all = append(all, slidePlace{i, page})
		}
	}
	after := func(a, b slidePlace) bool { return a.Choice > b.Choice || a.Choice == b.Choice && a.Page > b.Page }
	if c.Back {
		slices.Reverse(all)
		forward := after
		after = func(a, b slidePlace) bool { return forward(b, a) }
	}
	for _, at := range all {
		if after(at, s.Slide) {
			s.Slide = at
			break
		}
	}
	return s
}

// SetHouse takes another style of the house; nil for Bendline's own.
type SetHouse struct{ House *report.Style }

func (c SetHouse) apply(s State) State { s.House = c.House; return s }

// deckOptions returns what a deck of the state is made with, but for its date.
func (s State) deckOptions() (report.Options, error) {
	o := report.Options{Version: study.Version}
	if s.House != nil {
		o.Style = *s.House
	}
	var err error
	o.Plan, err = planOf(s.Study)
	return o, err
}
