package report

import (
	"context"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"bendline/app/study"
)

// downswing is lead, droop and twist over the per cent of each run's downswing,
// with the differences beneath: swings of different tempo are held together at
// both ends.
func (m *material) downswing(ctx context.Context) ([]Slide, error) {
	if m.c == nil || len(m.shown) != 2 {
		return nil, nil
	}
	curves, err := m.c.Curves(ctx, study.Downswing, nil)
	if err != nil {
		return nil, err
	}
	curves = curves[:len(deflections())]
	rows := make([][]*panel, 2)
	for _, d := range curves {
		x := d.Baseline.X
		p := m.percentPanel(heading(d.Measure), sense(d.Measure), false)
		sets := []study.CurveSet{d.Baseline, d.Prototype}
		var all [][]float64
		for i, s := range sets {
			p.Add(ribbon{x, s.Low, s.High, m.shown[i].look})
			all = append(all, s.Mean, s.Low, s.High)
		}
		for i, s := range sets {
			p.Add(curve{x, s.Mean, m.shown[i].look.line(2)})
		}
		p.span(5, all...)
		under := m.percentPanel(heading(d.Measure)+": difference", "", true)
		mean := d.Told().Value
		under.span(3, append(under.told(x, d.Told(), 1), mean, []float64{0})...)
		under.Add(curve{x, mean, draw.LineStyle{Color: ink, Width: 2}})
		rows[0], rows[1] = append(rows[0], p), append(rows[1], under)
	}
	t := tell(curves)
	return []Slide{{Title: t.title("In the downswing ", "Lead, droop and twist over the downswing"), Subtitle: band(m.shown) + t.key(),
		key: m.key(m.shown), parts: panels(rows)}}, nil
}

// percentPanel returns an empty panel over the downswing.
func (f format) percentPanel(head, remark string, labelled bool) *panel {
	label := ""
	if labelled {
		label = "downswing, %, from top to impact"
	}
	p := f.newPanel(head, remark, label)
	p.X.Min, p.X.Max = 0, 100
	p.X.Tick.Marker = ticks{format: f, step: 25}
	return p
}

// told shades where curves differ and draws the band of the difference, over x
// whose values are scale times those of the curves. It returns what must be seen.
func (p *panel) told(x []float64, v study.CurveView, scale float64) [][]float64 {
	if len(v.Intervals) > 0 {
		p.Add(differs{v.Intervals, scale})
	}
	if math.IsNaN(v.Threshold) {
		return nil
	}
	dots := draw.LineStyle{Color: muted, Width: 0.9, Dashes: []vg.Length{1.5, 2}}
	p.Add(curve{x, v.Low, dots}, curve{x, v.High, dots})
	return [][]float64{v.Low, v.High}
}

// A telling is what a row of differences of curves tells.
type telling struct {
	differ, alike []string // measures, where it can be told
	shaded        string   // what shading means, "" without
	whose         string   // about whom that is, where it is not about players like them
}

func tell(curves []study.CurveDifference) telling {
	var t telling
	for _, d := range curves {
		v := d.Told()
		switch name := strings.ToLower(d.Measure.Label); {
		case math.IsNaN(v.Threshold): // nothing can be said
		case len(v.Intervals) > 0:
			t.differ, t.shaded = append(t.differ, name), shadedWords(v)
			if v.About == study.Narrow {
				t.whose = " for these players"
			}
		default:
			t.alike = append(t.alike, name)
		}
	}
	return t
}

// key says what dots and shading mean.
func (t telling) key() string {
	if len(t.differ)+len(t.alike) == 0 {
		return ""
	}
	return " Dots: 95\u00a0% band." + t.shaded
}

// title says which curves differ somewhere, and is plain where nothing can be
// told.
func (t telling) title(when, plain string) string {
	verb := " differ"
	if len(t.differ) == 1 {
		verb = " differs"
	}
	switch {
	case len(t.differ)+len(t.alike) == 0:
		return plain
	case len(t.differ) == 0:
		return when + "no stretch of the curves is shown to differ"
	case len(t.alike) == 0:
		return when + list(t.differ) + verb + t.whose
	}
	return when + list(t.differ) + verb + t.whose + "; " + list(t.alike) + " not shown to"
}

// lot is the table of how alike the clubs of the lot are.
func (m *material) lot() []Slide {
	if m.c == nil || m.c.Lot == nil {
		return nil
	}
	l := m.c.Lot
	t := &table{columns: []column{{head: "At impact", words: true}, {head: "Unit", words: true}, {head: "Mean"},
		{head: "Repeatability", unit: "SD"}, {head: "Between clubs", unit: "SD"}, {head: "Reproducibility", unit: "SD"}, {head: "Limit"}, {head: "F"}, {head: "p"}, {head: "p", unit: "Holm"}}}
	var differ []string
	told, why := false, ""
	for _, row := range l.Measures {
		sign, _ := unit(row.Measure)
		cells := []cell{words(row.Measure.Label), words(sign)}
		k := row.Measure.Digits + 1
		if why = row.Why; why == "" {
			told = true
			for _, v := range []float64{row.Mean, row.Repeatability, row.Between, row.Reproducibility, row.Limit()} {
				cells = append(cells, cell{text: m.number(v, k)})
			}
			cells = append(cells, cell{text: m.number(row.F, 2)}, cell{text: m.probability(row.P)}, cell{text: m.probability(row.Holm)})
			if row.Holm < significant {
				differ = append(differ, strings.ToLower(row.Measure.Label))
			}
		}
		for len(cells) < len(t.columns) {
			cells = append(cells, cell{text: absent})
		}
		t.rows = append(t.rows, cells)
	}
	var names []string
	for _, id := range l.Clubs {
		names = append(names, m.name(id))
	}
	t.note = "Clubs of one design: " + list(names) + ". Repeatability: one player’s spread with one club. Between clubs: what clubs add to it, without the errors that all runs of a club share. Reproducibility: both together (layout of ISO 5725-2; what players differ by is in neither)." +
		" Limit: two runs of one player with one club differ by less in 95\u00a0% of cases (ISO 5725-6), as far as so few runs tell it. p: of no difference between clubs."
	title := "No difference between the clubs of the lot is shown"
	switch {
	case len(differ) > 0:
		title = "The clubs of the lot differ in " + list(differ)
	case !told:
		title = "Whether the clubs of the lot differ cannot be told"
		t.note += " It cannot be told: " + strings.TrimPrefix(why, "contrast: ") + "."
	}
	return t.slides(Slide{Title: title, Subtitle: count(len(l.Clubs), "club") + " of one design"})
}
