package app

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// A differencePage shows the difference of a measure by player, and the table of
// all measures.
type differencePage struct {
	root     fyne.CanvasObject
	measure  *pick
	margin   *entry
	marginOf *widget.Label
	forest   *widgets.Forest
	words    *widget.Label
	between  *widgets.ValueTable
	byPlayer *widgets.ValueTable // what the forest draws, to copy
	looked   study.Measure       // the measure shown
}

// comparedMeasures returns the measures that are compared.
func comparedMeasures() []study.Measure { return slices.Concat(study.Measures, study.Peaks) }

func labelsOf(measures []study.Measure) []string {
	var names []string
	for _, m := range measures {
		names = append(names, m.Label)
	}
	return names
}

func newDifferencePage(w *Window) *differencePage {
	c := &differencePage{words: newWords(""), marginOf: widget.NewLabel(""), forest: widgets.NewForest(),
		between: widgets.NewValueTable(), byPlayer: widgets.NewValueTable(), looked: study.Measures[0]}
	c.marginOf.Importance = widget.LowImportance
	c.between.OnSelect = func(row int) { w.store.Do(CompareMeasure{comparedMeasures()[row].Key}) }
	c.measure = newPick(w, labelsOf(comparedMeasures()), func(i int) { w.store.Do(CompareMeasure{comparedMeasures()[i].Key}) })
	c.margin = newEntry(func() { w.win.Canvas().Unfocus() })
	c.margin.OnSubmitted = func(text string) {
		w.win.Canvas().Unfocus()
		w.setMargin(c.looked, text)
	}
	copyPlayers := w.copyButton("Copy by player", c.byPlayer.Text, "The differences by player are on the clipboard, with tabs between the columns.")
	head := container.NewHBox(wide(c.measure, 300), labelled("the same within ±", wide(c.margin, 64)), c.marginOf, copyPlayers)
	split := container.NewHSplit(container.NewVScroll(c.forest), container.NewVScroll(c.words))
	split.Offset = 0.6
	all := container.NewVSplit(split, container.NewBorder(w.copyable("At impact and at peaks", c.between), nil, nil, nil, c.between))
	all.Offset = 0.48
	c.root = container.NewBorder(head, nil, nil, nil, all)
	return c
}

func (c *differencePage) object() fyne.CanvasObject { return c.root }

func (c *differencePage) present(s State, cmp *study.Comparison) {
	i := s.measureIndex()
	c.looked = s.measure()
	c.measure.set(i)
	if cmp == nil {
		for _, t := range []*widgets.ValueTable{c.between, c.byPlayer} {
			t.SetRows(nil)
		}
		for _, l := range []*widget.Label{c.words, c.marginOf} {
			l.SetText("")
		}
		c.margin.SetText("")
		c.forest.SetEffects("", nil, 0)
		return
	}
	d := slices.Concat(cmp.Measures, cmp.Peaks)[i]
	margin := d.Equivalence.Margin
	c.margin.SetText(decimal(margin.Value, -1))
	c.marginOf.SetText(d.Measure.Unit + " (" + margin.Source + ")")
	c.words.SetText(measureWords(cmp, d))
	c.forest.SetEffects("difference of "+strings.ToLower(d.Measure.Label)+", "+d.Measure.Unit+", prototype minus baseline; the band is ±"+
		decimal(margin.Value, -1)+" "+d.Measure.Unit, effects(s.Study, cmp, d), margin.Value)
	c.byPlayer.SetHeader(playerHeader(d.Measure)...)
	c.byPlayer.SetRows(playerRows(s.Study, cmp, d))
	c.between.SetHeader(differenceHeader...)
	c.between.SetRows(differenceRows(cmp))
	if c.between.Selected() != i {
		c.between.Select(i)
	}
}
