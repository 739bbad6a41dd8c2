package app

import (
	"image"
	"slices"

	"bendline/app/report"
	"bendline/app/study"
)

// A preview is a slide as it will be.
type preview struct {
	of      slideKey
	Pages   []int       // how many slides each choice of the plan fills, 0 for one left out
	Picture image.Image // nil where there is none
	Title   string      // on the slide
	Number  int         // in the deck, from 1; 0 for none
	Err     error       // why there is no deck
}

// slides returns how many slides the deck has.
func (p preview) slides() int {
	n := 0
	for _, pages := range p.Pages {
		n += pages
	}
	return n
}

// A slideKey tells what a preview follows from. States with equal keys have the
// same slide.
type slideKey struct {
	study      *study.Study
	results    **study.Result
	comparison *study.Comparison
	house      *report.Style
	at         slidePlace
}

// slideKey returns the key of the slide looked at; ok is false while there can
// be none.
func (s State) slideKey() (k slideKey, ok bool) {
	if s.Screen != SlidesScreen || s.Bringing || !s.Complete() || !s.settled() {
		return k, false
	}
	k = slideKey{study: s.Study, comparison: s.Comparison, house: s.House, at: s.Slide}
	if len(s.Results) > 0 {
		k.results = &s.Results[0]
	}
	return k, true
}

// Previewed brings a slide as it will be.
type Previewed struct{ Preview preview }

func (c Previewed) apply(s State) State { s.Preview = c.Preview; return s }

// A slideMaker draws slides one at a time, and keeps the deck laid out, and the
// latest pictures, for the next.
type slideMaker struct {
	of       slideKey // of the deck, without the page
	deck     *report.Deck
	pages    []int
	pictures map[int]image.Image // by index in the deck
}

// maxPictures is how many pictures are kept, of some 8 MB each.
const maxPictures = 8

// make draws the slide of a key. One that is left out is drawn as if it were
// not.
func (m *slideMaker) make(k slideKey, a *study.Analysis, o report.Options) preview {
	p := preview{of: k}
	of := k
	of.at = slidePlace{Choice: -1}
	off := k.at.Choice < len(o.Plan) && o.Plan[k.at.Choice].Off
	if off {
		of.at.Choice = k.at.Choice
		o.Plan = slices.Clone(o.Plan)
		o.Plan[k.at.Choice].Off = false
	}
	if m.deck == nil || of != m.of {
		deck, err := report.New(a, k.comparison, o)
		if err != nil {
			p.Err = err
			return p
		}
		*m = slideMaker{of: of, deck: deck, pages: make([]int, len(o.Plan)), pictures: map[int]image.Image{}}
		for _, s := range deck.Slides {
			m.pages[s.Choice]++
		}
	}
	p.Pages = slices.Clone(m.pages)
	if off {
		p.Pages[k.at.Choice] = 0
	}
	first := slices.IndexFunc(m.deck.Slides, func(s report.Slide) bool { return s.Choice == k.at.Choice })
	if first < 0 {
		return p
	}
	i := first + min(k.at.Page, m.pages[k.at.Choice]-1)
	p.Title = m.deck.Slides[i].Title
	if !off {
		p.Number = i + 1
	}
	if m.pictures[i] == nil {
		if len(m.pictures) == maxPictures {
			clear(m.pictures)
		}
		m.pictures[i] = m.deck.Slides[i].Picture()
	}
	p.Picture = m.pictures[i]
	return p
}

// preview has the slide looked at drawn, unless it was asked for already.
func (w *Window) preview(s State) {
	k, ok := s.slideKey()
	if !ok || k == w.deck.asked {
		return
	}
	w.deck.asked = k
	a := s.analysis()
	o, err := s.deckOptions()
	o.Date = w.around.Now()
	w.drawing.do(func() error {
		p := preview{of: k, Err: err}
		if err == nil {
			p = w.maker.make(k, a, o)
		}
		w.around.Later(func() { w.store.Do(Previewed{p}) })
		return nil
	})
}
