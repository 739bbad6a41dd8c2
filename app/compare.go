package app

import (
	"errors"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
)

// compareScreen says whether the prototype differs: the answer, and below it a
// page of what the answer rests on.
type compareScreen struct {
	root                fyne.CanvasObject
	clubs               fyne.CanvasObject
	baseline, prototype *widget.Select
	answer, basis       *widget.Label
	anew                *widget.Button
	pages               *choice
	stack               []comparePage
	leaveOut            []*widget.Check // one for each of study.Doubtful
	shown               compareShown
	state               State

	*differencePage
	*curvesPage
	*lotPage
	*sizePage
	*loadingPage
	*comparedRunsPage
}

// A comparePage is a page under the answer.
type comparePage interface {
	object() fyne.CanvasObject
	present(s State, cmp *study.Comparison) // cmp is nil where there is none
}

// comparePages are the names of the pages.
var comparePages = []string{"Difference", "Curves", "Load and release", "Study size", "Lot", "Every run"}

// curvesPageIndex is the place of the curves among them.
const curvesPageIndex = 1

// compareShown is what the screen shows follows from, beside the selected run.
type compareShown struct {
	study         *study.Study
	comparison    *study.Comparison
	err           error
	lot           *study.Lot
	curves        *CurvesFound
	results       **study.Result
	job           string
	page          int
	measure       string
	axis, station int
	loader        string
}

// byRole stands in the selects for the clubs of a role, whatever their hand.
const byRole = "as the study has it"

func newCompareScreen(w *Window) *compareScreen {
	c := &compareScreen{answer: newWords(""), basis: newWords(""),
		differencePage: newDifferencePage(w), curvesPage: newCurvesPage(w), lotPage: newLotPage(w),
		sizePage: newSizePage(w), loadingPage: newLoadingPage(w), comparedRunsPage: newComparedRunsPage(w)}
	c.answer.TextStyle.Bold = true
	c.basis.Importance = widget.LowImportance
	choose := func(string) {
		w.win.Canvas().Unfocus()
		w.change(CompareClubs{c.clubID(c.baseline.Selected), c.clubID(c.prototype.Selected)})
	}
	c.baseline, c.prototype = widget.NewSelect(nil, choose), widget.NewSelect(nil, choose)
	c.pages = newChoice(comparePages, func(i int) { w.store.Do(ShowComparePage{i}) })
	leave := widget.NewLabel("leave out runs flagged")
	leave.Importance = widget.LowImportance
	flagged := container.NewHBox(leave)
	for _, code := range study.Doubtful {
		check := widget.NewCheck(flagWord(capture.Flag{Code: code}), func(on bool) {
			w.win.Canvas().Unfocus()
			w.change(LeaveOut{code, on})
		})
		c.leaveOut = append(c.leaveOut, check)
		flagged.Add(check)
	}
	c.clubs = container.NewHBox(labelled("Prototype", wide(c.prototype, 330)), labelled("against baseline", wide(c.baseline, 330)))
	copyAnswer := widget.NewButtonWithIcon("Copy", theme.ContentCopyIcon(), func() {
		w.copyText(c.answer.Text+"\n"+c.basis.Text+"\n"+c.words.Text, "The answer and what it rests on are on the clipboard.")
	})
	copyAnswer.Importance = widget.LowImportance
	c.anew = widget.NewButton("Compare", func() { w.store.Do(CompareAgain{}) })

	c.stack = []comparePage{c.differencePage, c.curvesPage, c.loadingPage, c.sizePage, c.lotPage, c.comparedRunsPage}
	pages := container.NewStack()
	for _, p := range c.stack {
		pages.Add(p.object())
	}
	top := container.NewVBox(
		container.NewBorder(nil, nil, nil, container.NewVBox(container.NewHBox(c.anew, copyAnswer)), c.answer), c.basis, c.clubs,
		container.NewHBox(c.pages.root, flagged))
	c.root = container.NewBorder(top, nil, nil, nil, pages)
	return c
}

// wide returns an object of a set width.
func wide(o fyne.CanvasObject, width float32) fyne.CanvasObject {
	return container.NewGridWrap(fyne.NewSize(width, o.MinSize().Height), o)
}

// copyText puts a text on the clipboard, and says so.
func (w *Window) copyText(text, said string) {
	w.app.Clipboard().SetContent(strings.TrimSpace(text))
	w.store.Do(Say{Notice{Text: said}})
}

// copyButton returns a button that copies what text returns.
func (w *Window) copyButton(label string, text func() string, said string) *widget.Button {
	b := widget.NewButtonWithIcon(label, theme.ContentCopyIcon(), func() { w.copyText(text(), said) })
	b.Importance = widget.LowImportance
	return b
}

// clubID returns the club a name in the selects stands for, "" for the role.
func (c *compareScreen) clubID(name string) string {
	if i := slices.Index(clubNames(c.state.Study), name); i >= 0 {
		return c.state.Study.Clubs[i].ID
	}
	return ""
}

func (c *compareScreen) present(s State) {
	c.state = s
	now := compareShown{s.Study, s.Comparison, s.CompareErr, s.Lot, s.curves(), s.compareKey().results, s.Job.Title, s.ComparePage, s.Measure, s.Axis, s.Along, s.Loader}
	if now != c.shown {
		c.shown = now
		c.pages.set(s.ComparePage)
		for i, p := range c.stack {
			show(p.object(), i == s.ComparePage)
		}
		for k, check := range c.leaveOut {
			if on := slices.Contains(s.Study.Choices.LeaveOut, study.Doubtful[k]); on != check.Checked {
				check.Checked = on
				check.Refresh()
			}
		}
		c.presentClubs(s)
		cmp := s.Comparison
		if cmp == nil && s.pending() {
			cmp = s.was
		}
		c.presentAnswer(s, cmp)
		c.stack[s.ComparePage].present(s, cmp)
	}
	c.comparedRunsPage.mark(s)
}

// presentClubs fills the selects; with one club of each role there is nothing
// to choose.
func (c *compareScreen) presentClubs(s State) {
	var baselines, prototypes []string
	called := make(map[string]string) // by id
	for i, name := range clubNames(s.Study) {
		club := s.Study.Clubs[i]
		called[club.ID] = name
		if club.Role == study.Baseline {
			baselines = append(baselines, name)
		} else {
			prototypes = append(prototypes, name)
		}
	}
	fill := func(sel *widget.Select, names []string, id string) {
		sel.Options = append([]string{byRole}, names...)
		sel.Selected = byRole
		if id != "" {
			sel.Selected = called[id]
		}
		sel.Refresh()
	}
	of := s.Study.Choices
	fill(c.baseline, baselines, of.Baseline)
	fill(c.prototype, prototypes, of.Prototype)
	show(c.clubs, len(baselines) > 1 || len(prototypes) > 1 || of.Baseline != "" || of.Prototype != "")
}

// presentAnswer shows the answer, and what it rests on.
func (c *compareScreen) presentAnswer(s State, cmp *study.Comparison) {
	show(c.anew, errors.Is(s.CompareErr, errStopped))
	if cmp == nil {
		c.basis.SetText("")
		switch {
		case s.CompareErr != nil:
			c.answer.SetText(sentence(s.CompareErr))
		case s.Job.Title != "":
			c.answer.SetText("The answer follows when every run is analysed.")
		default:
			c.answer.SetText("Not every run is analysed, so nothing is compared. Choose “Analyse again” in the menu.")
		}
		return
	}
	text := answer(s.Study, cmp)
	if s.Comparison == nil {
		text = "(Being compared anew.) " + text
	}
	c.answer.SetText(text)
	c.basis.SetText(basis(s.Study, cmp))
}
