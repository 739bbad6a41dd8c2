package report

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"bendline/app/study"
)

// Options are what a deck needs beside the results.
type Options struct {
	Date    time.Time // on every slide and in the file's metadata
	Version string    // of the program, on every slide

	Plan  Plan  // which slides, in which order; nil for PlanOf the study
	Style Style // of the house

	// Ids of the clubs to show. Empty means those of the comparison, or, where
	// there is none, every club with an analysed run.
	Baseline, Prototype string
}

// made is the date in files. Where none is given it is that of the Unix epoch:
// zero would be replaced by the clock.
func (o Options) made() time.Time {
	if o.Date.IsZero() {
		return time.Unix(0, 0).UTC()
	}
	return o.Date
}

// creator names the program and its version.
func (o Options) creator() string { return strings.TrimSpace("Bendline " + o.Version) }

// A Deck is the slides of one study.
type Deck struct {
	Title   string
	Date    time.Time
	Version string
	Slides  []Slide

	o     Options
	looks []look
}

// New lays out the slides of an analysis. c may be nil where there is nothing
// to compare; the deck then shows each club by itself. Neither is changed. It
// returns an error for a plan or a style that cannot be followed, and where the
// comparison's curves give one.
func New(a *study.Analysis, c *study.Comparison, o Options) (*Deck, error) {
	return newDeck(context.Background(), a, c, o)
}

// newDeck is New; a cancelled ctx ends the work.
func newDeck(ctx context.Context, a *study.Analysis, c *study.Comparison, o Options) (*Deck, error) {
	if o.Plan == nil {
		p, err := PlanOf(a.Study)
		if err != nil {
			return nil, err
		}
		o.Plan = p
	}
	if err := o.Plan.Validate(); err != nil {
		return nil, err
	}
	m, err := gather(a, c, o)
	if err != nil {
		return nil, err
	}
	d := &Deck{Title: a.Study.Title, Date: o.Date, Version: o.Version, o: o, looks: m.looks}
	for i, choice := range o.Plan {
		if choice.Off {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		slides, err := m.slides(ctx, choice)
		if err != nil {
			return nil, fmt.Errorf("report: slide %q: %w", choice.Kind, err)
		}
		for _, s := range slides {
			s.Kind, s.Note, s.Choice = choice.Kind, choice.Note, i
			if choice.Title != "" {
				s.Title = choice.Title
			}
			d.Slides = append(d.Slides, s)
		}
	}
	foot := m.footer()
	for i := range d.Slides {
		s := &d.Slides[i]
		s.foot, s.logo = foot, m.logo
		s.number, s.of = i+1, len(d.Slides)
	}
	return d, nil
}

// material is what the slides are made of.
type material struct {
	format
	looks   []look
	logo    *logo
	study   *study.Study
	results []*study.Result
	c       *study.Comparison
	o       Options
	shown   []group // the two sides of the comparison, or every club
	all     []group // also clubs on neither side
	omitted []omission
	held    *study.BenchSwings // see against
}

// An omission is a run that does not count, and why.
type omission struct {
	run    study.Run
	failed bool
	why    string
}

// state says whether the run failed or was left out.
func (o omission) state() string {
	if o.failed {
		return "failed"
	}
	return "left out"
}

// gather sorts the runs into sides and clubs and sets aside those that do not
// count.
func gather(a *study.Analysis, c *study.Comparison, o Options) (*material, error) {
	m := &material{format: format{o.Style.DecimalComma}, study: a.Study, results: a.Results, c: c, o: o}
	var err error
	if m.looks, err = o.Style.looks(); err != nil {
		return nil, err
	}
	if m.logo, err = newLogo(o.Style.Logo); err != nil {
		return nil, err
	}
	side := map[string]bool{} // clubs of either side
	if c != nil {
		m.o.Baseline, m.o.Prototype = c.Baseline, c.Prototype
		side[c.Baseline], side[c.Prototype] = true, true
		for _, runs := range [][]*study.Result{c.BaselineRuns, c.PrototypeRuns} {
			for _, r := range runs {
				side[r.Run.Club] = true
			}
		}
		m.add(c.Baseline, c.BaselineRuns)
		m.add(c.Prototype, c.PrototypeRuns)
		m.shown = m.all
	}
	clubs := map[string][]*study.Result{} // on neither side
	left := m.leftOutOf(side)
	for _, r := range a.Results {
		why, isLeft := left[r.Run.ID]
		switch {
		case !r.OK():
			m.omitted = append(m.omitted, omission{r.Run, true, study.Plain(r.Err.Error())})
		case r.Run.Excluded != "":
			m.omitted = append(m.omitted, omission{r.Run, false, r.Run.Excluded})
		case isLeft:
			m.omitted = append(m.omitted, omission{r.Run, false, why})
		case math.IsNaN(r.Swing.Impact.Value):
			m.omitted = append(m.omitted, omission{r.Run, false, "no impact was found in it"})
		case !side[r.Run.Club]:
			clubs[r.Run.Club] = append(clubs[r.Run.Club], r)
		}
	}
	for _, club := range m.ordered() {
		m.add(club.ID, clubs[club.ID])
		if n := len(m.all); c == nil && len(clubs[club.ID]) > 0 && m.chosen(club.ID) {
			m.shown = append(m.shown, m.all[n-1])
		}
	}
	return m, nil
}

// add makes a group of runs, unless there are none.
func (m *material) add(club string, runs []*study.Result) {
	if c := m.study.Club(club); c != nil && len(runs) > 0 {
		m.all = append(m.all, group{c, m.looks[len(m.all)%len(m.looks)], runs})
	}
}

// leftOutOf returns why runs of the clubs given are not in the comparison.
func (m *material) leftOutOf(side map[string]bool) map[string]string {
	left := map[string]string{}
	if m.c == nil {
		return left
	}
	for _, l := range m.c.LeftOut {
		for _, r := range m.results {
			if r.Run.ID == l.Run && side[r.Run.Club] {
				left[l.Run] = l.Why
			}
		}
	}
	return left
}

// chosen reports whether a club is to be shown.
func (m *material) chosen(id string) bool {
	return m.o.Baseline == "" && m.o.Prototype == "" || id == m.o.Baseline || id == m.o.Prototype
}

// ordered returns the clubs, the chosen baseline and prototype first.
func (m *material) ordered() []*study.Club {
	var clubs []*study.Club
	for _, id := range []string{m.o.Baseline, m.o.Prototype} {
		if c := m.study.Club(id); c != nil {
			clubs = append(clubs, c)
		}
	}
	for i := range m.study.Clubs {
		if c := &m.study.Clubs[i]; c.ID != m.o.Baseline && c.ID != m.o.Prototype {
			clubs = append(clubs, c)
		}
	}
	return clubs
}

// name returns the label of the club with the id, or the id.
func (m *material) name(id string) string {
	if c := m.study.Club(id); c != nil {
		return clubName(c)
	}
	return id
}
