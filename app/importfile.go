package app

import (
	"cmp"
	"fmt"
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r3"

	"bendline/app/study"
	"bendline/capture"
	"bendline/widgets"
)

// importFile shows what was recognised in a file, each guess with what corrects
// it.
type importFile struct {
	root      *fyne.Container
	name      *widget.Label
	said      *widget.Label
	seen      fyne.CanvasObject // what was recognised
	beginning *widget.Label     // of a file that cannot be read
	unread    fyne.CanvasObject
	view      *markerView
	frame     *widget.Slider
	at        *widget.Label
	unit      *pick
	rate      *numberEntry
	delimiter *pick
	mark      *pick
	up, to    *pick
	markers   *widget.Label
	table     *widgets.ValueTable // what the club's markers are called in the file
	names     []string            // of the file's markers in the table
	renamed   *nameEntry
	pointed   *widget.Label
	clubs     []string // names that the marker may be given
	setting   bool     // the page itself changes the entry
	forget    *widget.Button
	shown     Import
}

// What may be chosen in place of what was recognised; the first is to recognise.
var (
	unitChoices      = []capture.Unit{"", capture.Millimetre, capture.Centimetre, capture.Metre, capture.Inch}
	delimiterChoices = []string{"", ",", ";", "\t"}
	markChoices      = []string{"", ".", ","}
	axisChoices      = []string{"+x", "-x", "+y", "-y", "+z", "-z"}

	delimiterWords = map[string]string{",": "comma", ";": "semicolon", "\t": "tab"}
	markWords      = map[string]string{".": "point", ",": "comma"}
)

func newImportFile(w *Window) *importFile {
	f := &importFile{name: widget.NewLabel(""), said: newWords(""), at: widget.NewLabel(""), markers: newWords(""), pointed: widget.NewLabel("")}
	f.pointed.Truncation = fyne.TextTruncateEllipsis
	f.pointed.TextStyle.Bold = true
	f.name.TextStyle.Bold = true
	f.name.Truncation = fyne.TextTruncateEllipsis
	f.markers.Importance = widget.LowImportance
	f.view = newMarkerView(func(i int) {
		if a := f.shown.Plan.File(f.shown.Current); a != nil {
			w.store.Do(pointAt(a.Markers[i]))
		}
	})
	f.frame = widget.NewSlider(0, 1)
	f.frame.OnChanged = func(v float64) { w.store.Do(editImport{func(m *Import) { m.Frame = int(v) }}) }

	hints := func(change func(*capture.Hints)) { w.correct(f.alike(), change) }
	f.unit = newPick(w, make([]string, len(unitChoices)), func(i int) { hints(func(h *capture.Hints) { h.Unit = unitChoices[i] }) })
	f.delimiter = newPick(w, make([]string, len(delimiterChoices)), func(i int) { hints(func(h *capture.Hints) { h.Delimiter = delimiterChoices[i] }) })
	f.mark = newPick(w, make([]string, len(markChoices)), func(i int) { hints(func(h *capture.Hints) { h.DecimalMark = markChoices[i] }) })
	f.rate = newNumberEntry("as recognised", func(v float64) { hints(func(h *capture.Hints) { h.Rate = v }) })
	world := func(set func(*study.World, string)) func(i int) {
		return func(i int) {
			w.store.Do(editImport{func(m *Import) {
				world := m.Plan.World
				set(&world, axisChoices[i])
				m.Plan = m.Plan.SetWorld(world)
			}})
		}
	}
	f.up = newPick(w, axisChoices, world(func(w *study.World, a string) { w.Up = a }))
	f.to = newPick(w, axisChoices, world(func(w *study.World, a string) { w.Target = a }))
	f.forget = widget.NewButton("Read as recognised", func() { hints(func(h *capture.Hints) { *h = capture.Hints{} }) })
	f.table = widgets.NewValueTable("marker", "in the file", "by", "sure")
	f.table.OnSelect = func(row int) {
		if name := f.names[row]; name != "" && name != f.shown.Marker {
			w.store.Do(pointAt(name))
		}
	}
	f.renamed = newNameEntry(nil)
	f.renamed.SetPlaceHolder("marker of the club")
	give := func(to string) {
		if a := f.shown.Plan.File(f.shown.Current); a != nil {
			w.nameMarker(a, f.alike(), f.shown.Marker, strings.TrimSpace(to))
		}
	}
	f.renamed.OnSubmitted = give
	f.renamed.OnChanged = func(text string) { // one of the list is chosen, and need not be confirmed
		typing := w.win.Canvas().Focused() == fyne.Focusable(f.renamed)
		if !f.setting && !typing && slices.Contains(f.clubs, text) {
			give(text)
		}
	}

	facts := container.New(fractions{{0.18, 0}, {0.32, 0}, {0.18, 0}, {0.32, 0}},
		dim("Unit"), f.unit, dim("Frames/s"), f.rate)
	form := container.NewVBox(
		f.said, facts,
		container.New(fractions{{0.18, 0}, {0.32, 0}, {0.18, 0}, {0.32, 0}}, dim("Columns by"), f.delimiter, dim("Decimal"), f.mark),
		container.New(fractions{{0.18, 0}, {0.32, 0}, {0.18, 0}, {0.32, 0}}, dim("Up is"), f.up, dim("Target is"), f.to),
		container.New(fractions{{0.32, 0}, {0.18, 0}, {0.5, 0}}, f.pointed, dim("is"), f.renamed),
		f.markers, container.NewHBox(f.forget))
	slider := container.NewBorder(nil, nil, nil, f.at, f.frame)
	split := container.NewHSplit(container.NewBorder(nil, slider, nil, nil, f.view), f.table)
	split.Offset = 0.5
	f.beginning = widget.NewLabel("")
	f.seen, f.unread = split, container.NewScroll(f.beginning)
	f.root = container.NewBorder(f.name, form, nil, nil, container.NewStack(f.seen, f.unread))
	return f
}

// dim returns a grey word that is cut where it has no room.
func dim(word string) *widget.Label {
	l := widget.NewLabel(word)
	l.Importance = widget.LowImportance
	l.Truncation = fyne.TextTruncateEllipsis
	return l
}

// pointAt points at a marker, or no more if it is pointed at.
func pointAt(name string) Command {
	return editImport{func(m *Import) {
		if m.Marker == name {
			name = ""
		}
		m.Marker = name
	}}
}

// alike returns the files that a correction of the current one is for: all of
// its layout.
func (f *importFile) alike() []string {
	a := f.shown.Plan.File(f.shown.Current)
	if a == nil {
		return nil
	}
	list := []string{a.Path}
	for _, b := range f.shown.Plan.Files {
		if b.Path != a.Path && a.Layout != "" && b.Layout == a.Layout {
			list = append(list, b.Path)
		}
	}
	return list
}

func (f *importFile) present(m Import) {
	f.shown = m
	a := m.Plan.File(m.Current)
	bad := a != nil && a.Err != nil
	show(f.seen, !bad)
	show(f.unread, bad)
	if a == nil {
		f.name.SetText("No file is selected")
		f.said.Importance = widget.LowImportance
		f.said.SetText("Drop captures or a folder of them on the window, or type their path above.")
		f.view.SetScene(widgets.Scene{})
		f.presentMarkers(nil, nil, m)
		for _, o := range []fyne.Disableable{f.unit, f.rate, f.delimiter, f.mark, f.up, f.to, f.renamed, f.frame, f.forget} {
			enable(o, false)
		}
		return
	}
	text := a.Origin.Delimiter != 0 || a.Err != nil
	f.name.SetText(m.nameOf(a.Path))
	for _, o := range []fyne.Disableable{f.unit, f.rate, f.up, f.to, f.forget} {
		enable(o, true)
	}
	enable(f.delimiter, text)
	enable(f.mark, text)
	enable(f.renamed, a.Err == nil && slices.Contains(a.Markers, m.Marker))
	enable(f.frame, len(a.Poses) > 1)
	show(f.forget, a.Hints.Unit != "" || a.Hints.Rate != 0 || a.Hints.Delimiter != "" || a.Hints.DecimalMark != "" || a.Hints.Columns != nil)

	f.unit.offer(choices(unitChoices, string(a.Origin.Unit), func(s string) string { return s }), slices.Index(unitChoices, a.Hints.Unit))
	f.delimiter.offer(choices(delimiterChoices, string(a.Origin.Delimiter), func(s string) string { return delimiterWords[s] }), slices.Index(delimiterChoices, a.Hints.Delimiter))
	f.mark.offer(choices(markChoices, string(a.Origin.DecimalMark), func(s string) string { return markWords[s] }), slices.Index(markChoices, a.Hints.DecimalMark))
	f.rate.set(a.Hints.Rate)
	f.rate.SetPlaceHolder("as recognised")
	if a.Err == nil {
		f.rate.SetPlaceHolder(fmt.Sprintf("%.6g", a.Capture.Rate))
	}
	f.up.set(slices.Index(axisChoices, m.Plan.World.Up))
	f.to.set(slices.Index(axisChoices, m.Plan.World.Target))
	f.presentMarkers(a, m.Plan.Club(a.Club), m)
	if a.Err != nil {
		f.said.Importance = widget.DangerImportance
		said := sentence(a.Err)
		if _, why, ok := strings.Cut(said, a.Path); ok { // its name stands above
			said = capital(strings.TrimLeft(why, ":, "))
		}
		f.said.SetText(said)
		f.beginning.SetText(numbered(a.Beginning))
		f.markers.SetText("")
		f.at.SetText("")
		f.view.SetScene(widgets.Scene{})
		return
	}
	f.said.Importance = widget.MediumImportance
	said := recognised(a)
	if problem, doubt := m.Plan.Problem(a.Path), m.Plan.Doubt(a.Path); problem != "" || doubt != "" {
		f.said.Importance = widget.WarningImportance
		said += " " + capital(study.Plain(cmp.Or(problem, doubt))) + "."
	}
	f.said.SetText(said)
	f.markers.SetText(gapWords(a))
	frame := min(m.Frame, len(a.Poses)-1)
	if last := float64(len(a.Poses) - 1); f.frame.Max != last {
		f.frame.Max = last
		f.frame.Refresh()
	}
	if f.frame.Value != float64(frame) {
		f.frame.Value = float64(frame)
		f.frame.Refresh()
	}
	pose := a.Poses[frame]
	f.at.SetText(decimal(pose.Time, 3) + " s")
	parts, in := partsIn(m.Plan.Club(a.Club)), a.InClub()
	f.view.show(a.Path+string(a.Origin.Unit), m.Plan.World, dotNames(a), pose.At, func(i int) (color.Color, float64) {
		return paintMarker(parts[in[i]], a.Markers[i] == m.Marker)
	})
}

// presentMarkers shows what the club's markers are called in the file, and the
// one that is pointed at.
func (f *importFile) presentMarkers(a *study.Arrival, club *study.Club, m Import) {
	var rows []widgets.Row
	f.names, f.clubs = nil, nil
	text, pointed := "", "Point at a marker"
	if a != nil && a.Err == nil {
		rows, f.names = matchRows(a, club)
		if club != nil {
			f.clubs = club.Markers.Names()
		}
		if i := slices.Index(a.Markers, m.Marker); i >= 0 {
			pointed, text = m.Marker, a.InClub()[i]
		}
	}
	f.table.SetRows(rows)
	row := -1
	if m.Marker != "" && a != nil {
		name := m.Marker
		if l, ok := a.Match().Labels.Of(name); ok { // a piece of a marker has the marker's row
			name = inFile(a, l.Names)
		}
		row = slices.Index(f.names, name)
	}
	f.table.Select(row)
	f.pointed.SetText(pointed)
	f.renamed.SetOptions(f.clubs)
	f.setting = true
	if f.renamed.Text != text {
		f.renamed.SetText(text)
	}
	f.setting = false
}

// numbered returns the lines of a text with their numbers.
func numbered(text string) string {
	if text == "" {
		return "No line of it can be shown: it is empty, or no text."
	}
	var b strings.Builder
	n := 0
	for line := range strings.Lines(text) {
		n++
		fmt.Fprintf(&b, "%3d  %s", n, line)
	}
	return b.String()
}

// choices returns the words of a pick whose first choice is what was recognised.
func choices[T ~string](list []T, found string, word func(string) string) []string {
	words := make([]string, len(list))
	for i, c := range list {
		words[i] = word(string(c))
	}
	words[0] = "recognise"
	if w := word(found); w != "" && found != "\x00" {
		words[0] = w + ", recognised"
	}
	return words
}

// offer sets the words of a pick and which of them is shown.
func (p *pick) offer(words []string, i int) {
	if !slices.Equal(words, p.Options) {
		p.down = -1
		p.Selected = ""
		p.Options = slices.Clone(words)
	}
	p.set(i)
}

// recognised says in a sentence what was made of a file.
func recognised(a *study.Arrival) string {
	what := map[string]string{"wide": "A table with a row for each frame", "stacked": "A table with names above its coordinates",
		"long": "A table with a row for each marker in each frame", "c3d": "A C3D file"}[a.Origin.Layout]
	if a.Origin.Layout != "c3d" {
		what += " in " + strings.ToUpper(a.Origin.Encoding)
	}
	s := fmt.Sprintf("%s: %s, %s from %s s on, %s s long.", what, plural(len(a.Markers), "marker"), plural(a.Capture.Frames, "frame"),
		decimal(a.Start, 3), decimal(a.Duration(), 3))
	if a.Origin.Skipped > 0 {
		s += fmt.Sprintf(" %s missing.", plural(a.Origin.Skipped, "frame"))
	}
	if a.Still {
		return s + " Nothing is swung: a club that hangs."
	}
	fastest := 0.0
	for _, v := range a.Going {
		if speed := r3.Norm(v); speed > fastest {
			fastest = speed
		}
	}
	return s + fmt.Sprintf(" Fastest at %s s, with %.0f m/s.", decimal(a.Fastest.Time, 3), fastest)
}

// gapWords tells which markers are missing for how long.
func gapWords(a *study.Arrival) string {
	var gaps []string
	for i, name := range a.Markers {
		if a.Longest[i] > 0 {
			gaps = append(gaps, fmt.Sprintf("%s for %.0f ms", name, 1e3*a.Longest[i]))
		}
	}
	if len(gaps) == 0 {
		return "No marker is ever missing."
	}
	const most = 5
	text := strings.Join(gaps[:min(most, len(gaps))], ", ")
	if len(gaps) > most {
		text += fmt.Sprintf(" and %d more", len(gaps)-most)
	}
	return "Missing at most: " + text + "."
}
