package app

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/widgets"
)

// A lotPage tells how alike several clubs of one design are.
type lotPage struct {
	root     fyne.CanvasObject
	clubs    *fyne.Container
	checks   []*widget.Check // one for each club of the study
	lotWords *widget.Label
	lot      *widgets.ValueTable
	choose   func(club string, on bool)
}

func newLotPage(w *Window) *lotPage {
	c := &lotPage{clubs: container.NewVBox(), lotWords: newWords(""), lot: widgets.NewValueTable(lotHeader...)}
	c.choose = func(club string, on bool) {
		w.win.Canvas().Unfocus()
		w.change(InLot{club, on})
	}
	list := container.NewBorder(heading("Clubs of one design"), nil, nil, nil, container.NewScroll(c.clubs))
	split := container.NewHSplit(list, container.NewBorder(container.NewVBox(w.copyable("How alike they are at impact", c.lot), c.lotWords), nil, nil, nil, c.lot))
	split.Offset = 0.26
	c.root = split
	return c
}

func (c *lotPage) object() fyne.CanvasObject { return c.root }

func (c *lotPage) present(s State, _ *study.Comparison) {
	if len(c.checks) != len(s.Study.Clubs) {
		c.clubs.RemoveAll()
		c.checks = nil
		for i := range s.Study.Clubs {
			check := widget.NewCheck("", nil)
			c.checks = append(c.checks, check)
			c.clubs.Add(c.checks[i])
		}
	}
	for i, club := range s.Study.Clubs {
		check := c.checks[i]
		check.OnChanged = func(on bool) { c.choose(club.ID, on) }
		if on, name := slices.Contains(s.Study.Choices.Lot, club.ID), clubLabel(s.Study, club.ID); on != check.Checked || name != check.Text {
			check.Checked, check.Text = on, name
			check.Refresh()
		}
	}
	c.lot.SetRows(lotRows(s.Lot))
	c.lotWords.SetText(lotWords(s))
}

// A lotFound is what is known of the lot that the study keeps.
type lotFound struct {
	lot *study.Lot
	err error
}

// findLot judges the lot that the study of an analysis keeps; nothing where that
// is no lot yet.
func findLot(a *study.Analysis) lotFound {
	chosen := a.Study.Choices
	if len(chosen.Lot) < 2 {
		return lotFound{}
	}
	lot, err := study.NewLot(a, chosen.Lot, chosen.LeaveOut)
	return lotFound{lot, err}
}

var lotHeader = []string{"", "mean", "repeatability SD", "between clubs SD", "reproducibility SD", "repeatability limit", "F", "df", "df", "p", "p (Holm)", "clubs", "players", "runs", ""}

func lotRows(lot *study.Lot) []widgets.Row {
	if lot == nil {
		return nil
	}
	var rows []widgets.Row
	for _, m := range lot.Measures {
		n := m.Measure.Digits + 1
		row := []string{m.Measure.Label + ", " + m.Measure.Unit}
		said := strings.TrimRight(study.Plain(m.Why), ".")
		if m.Why != "" {
			row = append(row, slices.Repeat([]string{"–"}, 10)...)
		} else {
			said = "no difference between clubs is shown"
			if m.Holm < 0.05 {
				said = "the clubs differ"
			}
			row = append(row, decimal(m.Mean, n), decimal(m.Repeatability, n), decimal(m.Between, n), decimal(m.Reproducibility, n), decimal(m.Limit(), n),
				decimal(m.F, 2), decimal(m.DF1, 0), decimal(m.DF2, 0), probability(m.P), probability(m.Holm))
		}
		rows = append(rows, widgets.Row{Cells: append(row, fmt.Sprint(m.Units), fmt.Sprint(m.Blocks), fmt.Sprint(m.N), said)})
	}
	return rows
}

// lotWords says in sentences how alike the clubs of the lot are.
func lotWords(s State) string {
	const how = "Repeatability is one player's spread with one club, between clubs what clubs add to it without the errors that all runs of a club share (its reference recording, its stiffness), reproducibility both together (layout of ISO 5725-2; what players differ by is in neither). Two runs of one player with one club lie within the limit 19 times in 20, as far as so few runs tell it."
	switch {
	case len(s.Study.Choices.Lot) < 2:
		return "Tick the clubs that are meant to be alike, two or more.\n" + how
	case s.LotErr != nil:
		return sentence(s.LotErr)
	case s.Lot == nil:
		return "The lot follows when every run is analysed."
	}
	var differ, told, open []string
	for _, m := range s.Lot.Measures {
		name := strings.ToLower(m.Measure.Label)
		switch {
		case m.Why != "":
			open = append(open, name)
		case m.Holm < 0.05:
			differ = append(differ, fmt.Sprintf("%s (by a standard deviation of %s %s)", name, decimal(m.Between, m.Measure.Digits+1), m.Measure.Unit))
		default:
			told = append(told, name)
		}
	}
	var parts []string
	if len(differ) > 0 {
		parts = append(parts, "the clubs differ in "+listed(differ))
	}
	if len(told) > 0 {
		parts = append(parts, "no difference between clubs is shown in "+listed(told))
	}
	if len(open) > 0 {
		parts = append(parts, listed(open)+" cannot be told")
	}
	text := capital(strings.Join(parts, "; ")) + "."
	if n := len(s.Lot.LeftOut); n > 0 {
		text += " Left out: " + plural(n, "run") + " of these clubs, as “Every run” says."
	}
	return text + "\n" + how
}
