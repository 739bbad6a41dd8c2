package report

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// WriteSheet writes the sheet of one player to path, a PDF of one page: what
// the shafts did in this player's swings, in plain words, without advice. The
// paper is that of o.Style. A cancelled ctx, or a failure, leaves path as it
// was.
func WriteSheet(ctx context.Context, a *study.Analysis, player, path string, o Options) error {
	if err := endsIn(path, ".pdf", "the sheet"); err != nil {
		return err
	}
	p, err := NewSheet(a, player, o)
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("report: writing %s: %w", path, err)
	}
	err = study.WriteFile(path, func(w io.Writer) error {
		c := newPDF(p.Size)
		c.sign(p.title, o.creator(), o.made())
		c.page(p.title, p.Draw)
		return c.write(w)
	})
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// A Sheet is a page of paper about one player.
type Sheet struct {
	Size  vg.Point
	title string
	parts []part
}

// Draw draws the sheet on a canvas of its size.
func (p *Sheet) Draw(c vg.Canvas) {
	vg.Initialize(c)
	page := draw.NewCanvas(c, p.Size.X, p.Size.Y)
	page.SetColor(paper)
	page.Fill(page.Rectangle.Path())
	for _, each := range p.parts {
		each.draw(page)
	}
}

// NewSheet lays out the sheet of a player. It returns an error where the study
// has no such player, or the player no run that counts.
func NewSheet(a *study.Analysis, player string, o Options) (*Sheet, error) {
	size, err := o.Style.Paper.size()
	if err != nil {
		return nil, err
	}
	if a.Study.Player(player) == nil {
		ids := make([]string, len(a.Study.Players))
		for i, p := range a.Study.Players {
			ids[i] = p.ID
		}
		return nil, fmt.Errorf("report: there is no player %q in the study; there are: %s", player, strings.Join(ids, ", "))
	}
	m, err := gather(a, nil, o)
	if err != nil {
		return nil, err
	}
	l := &sheetLayout{material: m, size: size, player: player}
	for _, g := range m.all {
		if one := g.of(player); len(one.runs) > 0 {
			one.look = m.looks[len(l.groups)%len(m.looks)]
			l.groups = append(l.groups, one)
		}
	}
	if len(l.groups) == 0 {
		return nil, fmt.Errorf("report: player %q has no run that counts", player)
	}
	// The figures and their keys show this player's clubs alone.
	m.shown = l.groups
	if c, err := study.Compare(a, o.Baseline, o.Prototype); err == nil { // else there is nothing to compare, which the sheet need not
		l.differences = c.Measures
	}
	l.lay()
	return &Sheet{size, playerName(a.Study, player), l.parts}, nil
}

// A sheetLayout sets the sheet from top to bottom.
type sheetLayout struct {
	*material
	size        vg.Point
	player      string
	groups      []group
	differences []study.Difference

	spoken int // shafts told of in words; the table has all
	steps  int // of the plots' vertical axes
	parts  []part
	y      vg.Length // top of what is free
}

// edge is the margin of the paper.
const edge vg.Length = 45

func (l *sheetLayout) wide() vg.Length { return l.size.X - 2*edge }

func (l *sheetLayout) add(p ...part) { l.parts = append(l.parts, p...) }

// say adds text with its top at y, and moves y below it.
func (l *sheetLayout) say(sty draw.TextStyle, text string, lines int) {
	p := newPassage(sty, edge, l.y-sty.Font.Size, l.wide(), text, lines)
	l.add(p)
	l.y = p.next() + sty.Font.Size*0.7
}

// head adds the heading of a section.
func (l *sheetLayout) head(text string) {
	l.y -= 8
	l.add(line(bold(13, ink), edge, l.y-13, l.wide(), text))
	l.y -= 20
}

func (l *sheetLayout) lay() {
	l.y = l.size.Y - 38
	top := l.y
	wide := l.wide()
	if l.logo != nil {
		room := vg.Rectangle{Min: vg.Point{X: l.size.X - edge - 130, Y: l.y - 40}, Max: vg.Point{X: l.size.X - edge, Y: l.y}}
		logo := l.logo.within(room)
		l.add(emblem{logo, l.logo})
		wide = logo.Min.X - 12 - edge
	}
	title := newPassage(bold(22, ink), edge, l.y-22, wide, playerName(l.study, l.player), 1)
	l.add(title, line(sans(12, muted), edge, l.y-40, wide, "What the shaft did in your swing"))
	l.y = top - 50
	l.add(newRule(edge, l.y, l.wide()))
	l.y -= 6
	l.key()

	table := l.table()
	foot := l.foot()
	var high vg.Length
	for _, l.spoken = range []int{len(l.groups), 0} { // all shafts or none

		const heads = 3 * 28
		room := l.y - foot - 18 - heads - l.tableHeight(table) - l.wordsHeight(l.words()) - l.wordsHeight(l.differs())
		if high = min(room/2, 190); high >= plotHigh {
			break
		}
	}
	l.steps = max(2, int((high-64)/16)) // 64 for heading and axis, 16 for a label
	words := l.words()

	l.head("The shaft at impact")
	l.plot(high, l.shapePanels())
	l.sayAll(words[:1])
	l.sayAll(words[1 : 1+l.spoken])
	l.head("Loading and release")
	l.plot(high, [][]*panel{{l.loading()}})
	l.sayAll(words[1+l.spoken:])
	l.head("Speed and consistency")
	f := table.pages(vg.Rectangle{Min: vg.Point{X: edge, Y: edge}, Max: vg.Point{X: l.size.X - edge, Y: l.y}})[0]
	l.add(f)
	l.y = f.Min.Y - 6
	l.sayAll(l.differs())
}

// plotHigh is the height below which words make room for the plots.
const plotHigh vg.Length = 90

func spokenStyle() draw.TextStyle { return sans(printSize, ink) }

// printSize is the size of type on paper.
const printSize vg.Length = 10.5

// spokenLines is the most lines of a sentence.
const spokenLines = 4

func (l *sheetLayout) sayAll(text []string) {
	for _, t := range text {
		l.say(spokenStyle(), t, spokenLines)
	}
}

// wordsHeight is what say takes for the texts.
func (l *sheetLayout) wordsHeight(text []string) vg.Length {
	sty := spokenStyle()
	var h vg.Length
	for _, t := range text {
		h += vg.Length(len(fit(sty, t, l.wide(), spokenLines)))*leading(sty) + 0.3*sty.Font.Size
	}
	return h
}

// plot adds panels over the width of the paper.
func (l *sheetLayout) plot(high vg.Length, rows [][]*panel) {
	box := vg.Rectangle{Min: vg.Point{X: edge, Y: l.y - high}, Max: vg.Point{X: l.size.X - edge, Y: l.y}}
	l.add(illustration{box, described(rows), func(c draw.Canvas) { drawPanels(c, rows) }})
	l.y -= high + 6
}

// key names the shafts and how often each was swung, in as many lines as it
// takes.
func (l *sheetLayout) key() {
	x := edge
	sty := sans(11, ink)
	for _, g := range l.groups {
		swings := g.star() + " · " + count(len(g.runs), "swing")
		name := l.shortClub(sty, g.club.ID, l.wide()/2-sampleLine-sampleGap-sampleNext-width(sty, swings)) + swings
		w := sampleLine + sampleGap + width(sty, name)
		if x > edge && x+w > l.size.X-edge {
			x, l.y = edge, l.y-16
		}
		mid := l.y - 11 + 0.35*sty.Font.Size
		box := vg.Rectangle{Min: vg.Point{X: x, Y: mid - 4}, Max: vg.Point{X: x + sampleLine, Y: mid + 4}}
		l.add(illustration{box, "line of " + name, func(c draw.Canvas) { g.look.draw(c, false) }},
			line(sty, x+sampleLine+sampleGap, l.y-11, w, name))
		x += w + sampleNext
	}
	l.y -= 18
}

// foot adds what the words mean and who made the sheet, and returns its top.
func (l *sheetLayout) foot() vg.Length {
	small := sans(9, muted)
	text := "± after a mean: standard deviation from swing to swing (no ± where there is one swing). " +
		"One swing: half the width of the 95\u00a0% interval of a single swing’s value, median of the swings. " +
		"The intervals of differences are those of one look at all swings; while swings come in, one is looked at after each, and more is asked of a difference. " +
		"These are measurements of these swings; they do not say which shaft to play."
	if what := l.study.Settings.Words(); len(what) > 0 {
		text += " Set by hand: " + strings.Join(what, "; ") + "."
	}
	var runs []*study.Result
	for _, g := range l.groups {
		runs = append(runs, g.runs...)
	}
	if hand := byHand(runs); hand != "" {
		text += " " + hand
	}
	if n := l.excludedOf(l.player); n > 0 {
		text += fmt.Sprintf(" %s left out by hand.", count(n, "swing"))
	}
	meaning := newPassage(small, edge, 0, l.wide(), text, 6)
	const bottom = 26
	meaning.y = bottom + 22 + vg.Length(len(meaning.paragraphs[0])-1)*leading(small)
	f := l.footer()
	made := line(right(small), l.size.X-edge, bottom, l.wide()*0.55, f.made)
	l.add(newRule(edge, meaning.y+16, l.wide()), meaning, made,
		line(small, edge, bottom, l.wide()-made.long()-16, f.title))
	return meaning.y + 16
}

// shapePanels are the shafts in the last frame before contact in both planes.
func (l *sheetLayout) shapePanels() [][]*panel {
	x := l.stations(profilePoints)
	heads := []string{"Bent forward (lead), mm", "Bent down (droop), mm"}
	var row []*panel
	var all [][]float64
	for j, plane := range planes {
		p := l.stationPanel(heads[j], "", true)
		p.setType(printSize)
		p.X.Label.Text = "distance from the grip’s end, mm"
		for _, g := range l.groups {
			mean, sd := g.mean(len(x), centreline(x, plane, 0))
			p.Add(ribbon{x, subtract(mean, sd), add(mean, sd), g.look}, curve{x, mean, g.look.line(2.2)})
			all = append(all, mean, add(mean, sd), subtract(mean, sd))
		}
		row = append(row, p)
	}
	for _, p := range row {
		p.span(l.steps, append(all, []float64{0})...)
	}
	return [][]*panel{row}
}

// loading is the lead over the last 300 ms.
func (l *sheetLayout) loading() *panel {
	me := study.Measures[0]
	p := l.timePanel("Tip ahead of the unbent shaft (lead), mm", "below 0: bent back", true)
	p.setType(printSize)
	all := [][]float64{{0}}
	for _, g := range l.groups {
		c := study.MeanCurve(g.runs, me)
		t := milliseconds(c.X)
		p.Add(ribbon{t, c.Low, c.High, g.look}, filledCurve{curve{t, c.Mean, g.look.line(2.2)}, c.Filled})
		all = append(all, c.Mean, c.Low, c.High)
	}
	p.span(l.steps, all...)
	return p
}

// words are the sentences of the sheet: how to read it, then of each shaft its
// shape, then of each its loading and release.
func (l *sheetLayout) words() []string {
	first := "Lines are the mean of your swings with a shaft, bands ± 1 standard deviation between them. Bends are against the unbent shaft in the same grip."
	all := []string{first}
	for _, g := range l.groups[:l.spoken] {
		lead, droop, twist := l.mean(g, 0), l.mean(g, 1), l.mean(g, 2)
		all = append(all, fmt.Sprintf("%s: at impact the tip is bent %s\u00a0mm %s and %s\u00a0mm %s, and twisted %s° %s.",
			l.clubOf(g), l.number(math.Abs(lead), 1), sided(lead, "forward (towards the target)", "back (away from the target)"),
			l.number(math.Abs(droop), 1), sided(droop, "down (toe-down)", "up (toe-up)"),
			l.number(math.Abs(twist), 2), sided(twist, "closed", "open")))
	}
	for _, g := range l.groups[:l.spoken] {
		r := g.release()
		text := fmt.Sprintf("%s: the shaft is bent back most, by %s\u00a0mm, %s\u00a0ms before impact.", l.clubOf(g), l.number(-r.lag, 1), l.number(r.lagAt, 0))
		if !math.IsNaN(r.straight) {
			text += fmt.Sprintf(" It is straight again %s\u00a0ms before impact.", l.number(r.straight, 0))
		}
		kick := l.mean(g, 6)
		text += fmt.Sprintf(" At impact its unbending %s %s\u00a0m/s %s the head’s speed.", sided(kick, "adds", "takes"), l.number(math.Abs(kick), 1), sided(kick, "to", "from"))
		all = append(all, text)
	}
	return all
}

// mean returns the group's mean of a measure at impact, in its own unit.
func (l *sheetLayout) mean(g group, measure int) float64 {
	mean, _ := g.mean(1, atImpact(study.Measures[measure]))
	return mean[0]
}

func (l *sheetLayout) clubOf(g group) string {
	return l.shortClub(spokenStyle(), g.club.ID, l.wide()*0.4)
}

// sided returns a for values from 0 up, else b.
func sided(v float64, a, b string) string {
	if v < 0 {
		return b
	}
	return a
}

// A release is how a shaft loads and unloads: the lowest lead, mm, and when it
// is reached and when the shaft is straight again, ms before impact. NaN where
// not known, or where it is not straight again.
type release struct{ lag, lagAt, straight float64 }

// release returns the means over the group's runs.
func (g group) release() release {
	mean, _ := g.mean(2, func(r *study.Result) []float64 {
		s := r.Swing
		return []float64{s.PeakLag.Value * 1e3, (s.Impact.Value - s.PeakLag.Time) * 1e3}
	})
	r := release{mean[0], mean[1], math.NaN()}
	c := study.MeanCurve(g.runs, study.Measures[0])
	for i := len(c.X) - 1; i > 0; i-- {
		if c.Mean[i-1] <= 0 && c.Mean[i] > 0 {
			part := -c.Mean[i-1] / (c.Mean[i] - c.Mean[i-1])
			r.straight = -1e3 * between(c.X[i-1], c.X[i], part)
			break
		}
	}
	return r
}
