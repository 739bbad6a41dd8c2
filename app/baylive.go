package app

import (
	"fmt"
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/kinematics"
)

// bayLive is the live page of a fitting session, made to be read from two
// metres: its text grows with the window.
type bayLive struct {
	w    *Window
	root fyne.CanvasObject
	page *bayPage

	shafts  *fyne.Container // a button for each
	tools   *fyne.Container // beside them
	buttons []*widget.Button
	clubs   []string
	player  *sign
	said    *sign
	swing   *sign
	faults  *widget.Button
	pages   *choice
	figures *bayFigures
	shape   *bayShape
	words   *sign
	down    *bayDownswing

	drawn liveKey
}

// A liveKey is what the figures depend on.
type liveKey struct {
	study   *study.Study
	swing   *kinematics.Swing
	run     string
	bay     string
	results string
}

func newBayLive(w *Window) *bayLive {
	l := &bayLive{w: w, shafts: container.NewHBox(), player: newSign(true), said: newSign(true), swing: newSign(false),
		figures: newBayFigures(), shape: newBayShape(), words: newSign(false), down: newBayDownswing()}
	l.figures.large = true
	l.pages = newChoice(bayPages, func(i int) { w.store.Do(ShowBayPage{i}) })
	l.faults = widget.NewButton("", w.nextFault)
	l.faults.Importance = widget.WarningImportance
	give := widget.NewButton("Other shaft… (G)", w.askGive)
	out := widget.NewButton("Leave out… (X)", w.leaveSwingOut)
	more := widget.NewButton("Add a shaft… (A)", w.askShaft)
	sheet := widget.NewButton("Player sheet (P)", w.handOver)
	end := widget.NewButton("End", w.endBay)
	back := widget.NewButtonWithIcon("", theme.NavigateBackIcon(), func() { w.store.Do(LookAt{-1}) })
	next := widget.NewButtonWithIcon("", theme.NavigateNextIcon(), func() { w.store.Do(LookAt{1}) })
	l.tools = container.NewHBox(more, sheet, end)
	l.page = &bayPage{
		head:  container.NewBorder(nil, nil, container.NewHBox(l.shafts, gap(4)), l.tools, l.player),
		said:  l.said,
		bar:   container.NewBorder(nil, nil, container.NewHBox(back, next), container.NewHBox(l.faults, give, out, l.pages.root), l.swing),
		lead:  l.shape.lead,
		droop: l.shape.droop,
		right: l.figures,
		words: l.words,
		down:  l.down.root,
		live:  l,
	}
	l.page.theme = &largeTheme{factor: 1}
	l.page.override = container.NewThemeOverride(container.New(l.page,
		l.page.head, l.page.said, l.page.bar, l.page.lead, l.page.droop, l.page.right, l.page.words, l.page.down), l.page.theme)
	l.root = l.page.override
	return l
}

// largeTheme is the window's theme with larger text.
type largeTheme struct{ factor float32 }

func (t *largeTheme) of() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

// Color is part of fyne.Theme.
func (t *largeTheme) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	return t.of().Color(n, v)
}

// Font is part of fyne.Theme.
func (t *largeTheme) Font(s fyne.TextStyle) fyne.Resource { return t.of().Font(s) }

// Icon is part of fyne.Theme.
func (t *largeTheme) Icon(n fyne.ThemeIconName) fyne.Resource { return t.of().Icon(n) }

// Size is part of fyne.Theme.
func (t *largeTheme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameText:
		return 15 * t.factor
	case theme.SizeNameCaptionText:
		return 13 * t.factor
	case theme.SizeNameSubHeadingText:
		return 19 * t.factor
	case theme.SizeNameInlineIcon:
		return 18 * t.factor
	}
	return t.of().Size(n)
}

// bayPage lays the live page out.
type bayPage struct {
	head, said, bar                 fyne.CanvasObject
	lead, droop, right, words, down fyne.CanvasObject

	live     *bayLive
	theme    *largeTheme
	override *container.ThemeOverride
	wide     float32 // share of the width that the pictures take
}

// MinSize is part of fyne.Layout.
func (p *bayPage) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(900, 460) }

// Layout is part of fyne.Layout.
func (p *bayPage) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	// The page as it is at 1280 by 720, without menu and status line.
	factor := max(0.7, min(size.Width/1264, size.Height/620))
	if factor != p.theme.factor && p.override != nil {
		p.theme.factor = factor
		p.live.player.setMost(26 * factor)
		p.live.said.setMost(30 * factor)
		p.live.swing.setMost(22 * factor)
		p.live.words.setMost(20 * factor)
		p.override.Refresh()
	}
	place := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	gap := 6 * factor
	y := float32(0)
	row := func(o fyne.CanvasObject, h float32) {
		place(o, 0, y, size.Width, h)
		y += h + gap
	}
	row(p.head, max(38*factor, p.head.MinSize().Height))
	row(p.said, 46*factor)
	row(p.bar, max(34*factor, p.bar.MinSize().Height))
	rest := size.Height - y
	place(p.down, 0, y, size.Width, rest)
	words := 62 * factor
	place(p.words, 0, y+rest-words, size.Width, words)
	rest -= words + gap
	left := size.Width * p.wide
	views := []fyne.CanvasObject{p.lead}
	if p.droop.Visible() {
		views = append(views, p.droop)
	}
	each := (left - gap*float32(len(views))) / float32(len(views))
	for i, v := range views {
		place(v, float32(i)*(each+gap), y, each, rest)
	}
	p.live.shape.fill()
	place(p.right, left+gap, y, size.Width-left-gap, rest)
}

var _ fyne.Layout = (*bayPage)(nil)

// mostColumns is how many shafts stand beside the swing.
const mostColumns = 4

func (l *bayLive) present(s State) {
	l.presentShafts(s)
	l.player.set(playerLabel(s.Study, s.Bay.Player), theme.ColorNameForeground, "")
	l.pages.set(s.Bay.Page)
	run, number, ok := s.shownSwing()
	l.presentSaid(s)
	text := "No swing yet."
	if ok {
		text = fmt.Sprintf("Swing %d of %d, %s", number, len(s.swings()), clubLabel(s.Study, run.Club))
		switch i := s.RunIndex(run.ID); {
		case run.Excluded != "":
			text += ", left out"
		case s.Waits(i):
			text += ", being analysed again"
		}
	}
	l.swing.set(text, theme.ColorNameForeground, "")
	if n := len(l.faulty(s)); n > 0 {
		l.faults.SetText(plural(n, "fault") + " (N)")
	}
	show(l.faults, len(l.faulty(s)) > 0)
	first := s.Bay.Page == 0
	for _, o := range []fyne.CanvasObject{l.shape.lead, l.figures, l.words} {
		show(o, first)
	}
	show(l.down.root, !first)
	shafts := s.shafts()
	swung := 0
	for _, f := range shafts {
		if len(f.Runs) > 0 || f.Club == run.Club {
			swung++
		}
	}
	both, wide := first && swung <= 2, float32(0.38)
	if swung > 2 {
		wide = 0.24
	}
	if both != l.shape.droop.Visible() || wide != l.page.wide {
		show(l.shape.droop, both)
		l.page.wide = wide
		l.page.override.Content.Refresh()
	}
	var sw *kinematics.Swing
	if ok {
		sw = s.Swing(run.ID)
	}
	if !l.changed(s, run, sw, shafts) {
		return
	}
	if !first {
		l.down.present(s, shafts)
		return
	}
	l.shape.present(s, sw, run.Club, shafts)
	l.presentFigures(s, sw, run, shafts)
}

// changed reports whether figures and picture are to be made anew.
func (l *bayLive) changed(s State, run study.Run, sw *kinematics.Swing, shafts []study.Shaft) bool {
	key := liveKey{study: s.Study, swing: sw, run: run.ID, bay: fmt.Sprint(s.Bay.Club, s.Bay.Against, s.Bay.Page, s.Bay.Player, s.Bay.Clubs)}
	for _, f := range shafts {
		for _, r := range f.Runs {
			key.results += fmt.Sprintf("%p ", r)
		}
	}
	if key == l.drawn {
		return false
	}
	l.drawn = key
	return true
}

// presentShafts shows a button for each shaft, the one on the tee down.
func (l *bayLive) presentShafts(s State) {
	if !slices.Equal(l.clubs, s.Bay.Clubs) {
		l.clubs = slices.Clone(s.Bay.Clubs)
		l.shafts.RemoveAll()
		l.buttons = nil
		for _, id := range l.clubs {
			b := widget.NewButton("", func() { l.w.putOn(id) })
			l.buttons = append(l.buttons, b)
			l.shafts.Add(b)
		}
		l.page.override.Refresh() // new buttons are to be large too
	}
	l.nameShafts(s)
	for i, f := range s.shafts() {
		importance := widget.MediumImportance
		if f.Club == s.Bay.Club {
			importance = widget.HighImportance
		}
		if b := l.buttons[i]; b.Importance != importance {
			b.Importance = importance
			b.Refresh()
		}
	}
}

// presentSaid shows the sentence of the page: what is wrong with the swing that
// is looked at, or what came of the last file.
func (l *bayLive) presentSaid(s State) {
	text, bad := s.Bay.Said.Text, s.Bay.Said.Bad
	if text == "" {
		text = fmt.Sprintf("Ready for a swing with %s. Watching %s.", clubLabel(s.Study, s.Bay.Club), s.Bay.Folder)
	}
	switch {
	case bad:
	case s.Bay.Receiving != "":
		text = fmt.Sprintf("Receiving %s.", s.Bay.Receiving)
	case s.Bay.Waiting > 0:
		text = fmt.Sprintf("Analysing %s.", plural(s.Bay.Waiting, "capture"))
	}
	if bad {
		l.said.set(text, theme.ColorNameForegroundOnPrimary, theme.ColorNameError)
		return
	}
	l.said.set(text, theme.ColorNameForeground, theme.ColorNameButton)
}

// faulty returns the swings that had a fault, in this session or before it.
func (l *bayLive) faulty(s State) []string {
	var list []string
	for _, r := range s.swings() {
		if res := s.Result(r.ID); s.Bay.Faults[r.ID] != "" || res != nil && !res.OK() {
			list = append(list, r.ID)
		}
	}
	return list
}

// presentFigures shows this swing's figures, the means and spreads of the
// player's shafts, and the difference of two of them.
func (l *bayLive) presentFigures(s State, sw *kinematics.Swing, run study.Run, shafts []study.Shaft) {
	var shown []study.Shaft
	for _, f := range shafts {
		if len(f.Runs) > 0 {
			shown = append(shown, f)
		}
	}
	reference, other, two := pair(s.Bay, shafts)
	if len(shown) > mostColumns { // the pair, and the first others
		slices.SortStableFunc(shown, func(a, b study.Shaft) int {
			rank := func(f study.Shaft) int {
				if f.Club == reference.Club || f.Club == other.Club {
					return 0
				}
				return 1
			}
			return rank(a) - rank(b)
		})
		shown = shown[:mostColumns]
	}
	var measures []study.Measure
	for _, m := range bayMeasures {
		measures = append(measures, m.Measure)
	}
	var stand []study.Standing
	if two {
		stand = standings(s.Study, shafts, reference, other, measures)
	}
	head := []figureCell{{text: "At impact"}, {text: "this swing", color: colourOf(s.Bay.slotOf(run.Club))}}
	for _, f := range shown {
		head = append(head, figureCell{text: fmt.Sprintf("%d %s", s.Bay.slotOf(f.Club)+1, clubLabel(s.Study, f.Club)), under: plural(len(f.Runs), "swing") + ", mean ± sd", color: colourOf(s.Bay.slotOf(f.Club))})
	}
	if two {
		head = append(head, differenceHead(s.Bay, reference, other))
	}
	rows := [][]figureCell{head}
	for i, m := range bayMeasures {
		value := "–"
		if sw != nil {
			value = shownValue(m.Measure, m.AtImpact(sw).Value)
		}
		row := []figureCell{{text: m.name}, {text: value, bold: true}}
		for _, f := range shown {
			row = append(row, spreadCell(f.Summary(m.Measure), m.Digits))
		}
		if two {
			row = append(row, differenceCell(stand[i], m.Digits))
		}
		rows = append(rows, row)
	}
	l.figures.set(rows)
	text := "Differences between shafts are told once two were swung."
	if two {
		text = told(stand, clubLabel(s.Study, reference.Club), clubLabel(s.Study, other.Club), playerLabel(s.Study, s.Bay.Player))
	}
	l.words.set(text, theme.ColorNameForeground, "")
}
