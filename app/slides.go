package app

import (
	"fmt"
	"image/color"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/report"
)

// slidesScreen makes the deck: its slides in their order at the left, and the
// one looked at, as it will be, at the right.
type slidesScreen struct {
	root  fyne.CanvasObject
	w     *Window
	asked slideKey // the latest preview that was asked for

	list     *fyne.Container
	rows     []*slideRow
	up, down *widget.Button
	usual    *widget.Button

	before, next *widget.Button
	place        *widget.Label
	edge         *canvas.Rectangle // of the slide, which is as white as a light window
	picture      *canvas.Image
	words        *widget.Label // in place of a picture
	title, note  *entry
	instants     *entry
	instantsRow  fyne.CanvasObject
}

func newSlidesScreen(w *Window) *slidesScreen {
	c := &slidesScreen{w: w, list: container.NewVBox()}
	button := func(text string, icon fyne.Resource, do func()) *widget.Button {
		return widget.NewButtonWithIcon(text, icon, func() {
			w.win.Canvas().Unfocus()
			do()
		})
	}
	c.up = button("Up", theme.MoveUpIcon(), func() { w.change(MoveSlide{-1}) })
	c.down = button("Down", theme.MoveDownIcon(), func() { w.change(MoveSlide{1}) })
	c.usual = button("As usual", nil, func() {
		w.change(EditPlan{Change: func(report.Plan) report.Plan { return report.DefaultPlan() }})
	})
	left := container.NewBorder(nil, container.NewHBox(c.up, c.down, c.usual), nil, nil, container.NewVScroll(c.list))

	c.before = button("", theme.NavigateBackIcon(), func() { w.store.Do(TurnSlide{Back: true}) })
	c.next = button("", theme.NavigateNextIcon(), func() { w.store.Do(TurnSlide{}) })
	c.place = widget.NewLabel("")
	c.place.Truncation = fyne.TextTruncateEllipsis
	house := button("House style…", nil, w.askHouse)
	top := container.NewBorder(nil, nil, container.NewHBox(c.before, c.next), house, c.place)

	c.picture = &canvas.Image{FillMode: canvas.ImageFillContain, ScaleMode: canvas.ImageScaleSmooth}
	c.edge = canvas.NewRectangle(color.Transparent)
	c.edge.StrokeWidth = 1
	c.words = newWords("")
	c.words.Alignment = fyne.TextAlignCenter
	leave := func() { w.win.Canvas().Unfocus() }
	field := func(hint string, typed func(text string)) *entry {
		e := newEntry(leave)
		e.SetPlaceHolder(hint)
		e.OnChanged = typed
		return e
	}
	c.title = field("", func(text string) {
		c.edit("title", func(k *report.Choice) { k.Title = strings.TrimSpace(text) })
	})
	c.note = field("what you will say; goes into the notes of a presentation", func(text string) {
		c.edit("note", func(k *report.Choice) { k.Note = text })
	})
	c.note.MultiLine = true
	c.note.Wrapping = fyne.TextWrapWord
	c.note.SetMinRowsVisible(2)
	c.instants = field("ms before impact, at most four: 100 50 20 0", func(text string) {
		if ms, err := milliseconds(text); err == nil {
			c.edit("instants", func(k *report.Choice) { k.BeforeMS = ms })
		}
	})
	c.instants.Validator = func(text string) error {
		_, err := milliseconds(text)
		return err
	}
	row := func(name string, o fyne.CanvasObject) fyne.CanvasObject {
		l := widget.NewLabel(name)
		l.Importance = widget.LowImportance
		return container.NewBorder(nil, nil, container.NewGridWrap(fyne.NewSize(70, l.MinSize().Height), l), nil, o)
	}
	c.instantsRow = row("Instants", c.instants)
	fields := container.NewVBox(row("Title", c.title), c.instantsRow, row("Note", c.note))
	right := container.NewBorder(top, fields, nil, nil, container.NewStack(container.New(pageLayout{}, c.picture, c.edge), container.NewVBox(layout.NewSpacer(), c.words, layout.NewSpacer())))
	split := container.NewHSplit(left, container.NewPadded(right))
	split.Offset = 0.24
	c.root = split
	return c
}

// edit changes the choice looked at.
func (c *slidesScreen) edit(typing string, change func(*report.Choice)) {
	c.w.change(editChoice(c.w.store.State().Slide.Choice, typing, change))
}

// slideTyped does what a key does on the slides screen.
func (w *Window) slideTyped(s State, key fyne.KeyName) {
	p, _ := planOf(s.Study)
	at := min(s.Slide.Choice, len(p)-1)
	line := func(to int) { w.store.Do(ShowSlide{slidePlace{Choice: max(0, min(to, len(p)-1))}}) }
	switch key {
	case fyne.KeyLeft, fyne.KeyPageUp:
		w.store.Do(TurnSlide{Back: true})
	case fyne.KeyRight, fyne.KeyPageDown:
		w.store.Do(TurnSlide{})
	case fyne.KeyUp:
		line(at - 1)
	case fyne.KeyDown:
		line(at + 1)
	case fyne.KeyHome:
		line(0)
	case fyne.KeyEnd:
		line(len(p) - 1)
	case fyne.KeySpace:
		w.change(editChoice(at, "", func(k *report.Choice) { k.Off = !k.Off }))
	}
}

// pageLayout gives objects the largest room of a slide's proportions.
type pageLayout struct{}

func (pageLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(160, 90) }

func (pageLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	const ratio = float32(report.Width / report.Height)
	page := fyne.NewSize(size.Width, size.Width/ratio)
	if page.Height > size.Height {
		page = fyne.NewSize(size.Height*ratio, size.Height)
	}
	for _, o := range objects {
		o.Resize(page)
		o.Move(fyne.NewPos((size.Width-page.Width)/2, (size.Height-page.Height)/2))
	}
}

// milliseconds reads times before impact.
func milliseconds(text string) ([]float64, error) {
	var list []float64
	for _, word := range strings.Fields(strings.ReplaceAll(text, ";", " ")) {
		v, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64)
		if err != nil {
			return nil, fmt.Errorf("write milliseconds with spaces between them, such as 100 50 20 0")
		}
		list = append(list, v)
	}
	return list, report.Plan{{Kind: report.Instants, BeforeMS: list}}.Validate()
}

// shownMilliseconds is the reverse of milliseconds.
func shownMilliseconds(ms []float64) string {
	var words []string
	for _, v := range ms {
		words = append(words, strconv.FormatFloat(v, 'f', -1, 64))
	}
	return strings.Join(words, " ")
}

// present draws a state.
func (c *slidesScreen) present(s State) {
	p, err := planOf(s.Study)
	at := min(s.Slide.Choice, len(p)-1)
	c.presentList(s, p, at)
	enable(c.up, at > 0)
	enable(c.down, at < len(p)-1)
	enable(c.usual, err != nil || s.Study.Slides != nil)
	choice := p[at]
	put := func(e *entry, text string) {
		if e.Text != text {
			e.SetText(text)
		}
	}
	if strings.TrimSpace(c.title.Text) != choice.Title { // the space just typed is kept
		put(c.title, choice.Title)
	}
	put(c.note, choice.Note)
	show(c.instantsRow, choice.Kind == report.Instants)
	if ms, err := milliseconds(c.instants.Text); err == nil && !slices.Equal(ms, choice.BeforeMS) || choice.Kind != report.Instants {
		put(c.instants, shownMilliseconds(choice.BeforeMS))
	}
	c.presentPreview(s, choice)
}

func (c *slidesScreen) presentPreview(s State, choice report.Choice) {
	v := s.Preview
	key, ok := s.slideKey()
	same := ok && v.of.study != nil && v.of.at.Choice == key.at.Choice
	words := ""
	var picture = v.Picture
	switch {
	case !s.Complete() && s.Job.Title != "":
		words = "The slides can be seen when every run is analysed."
	case !s.Complete() || !s.settled() && s.Job.Title == "":
		words = s.exportable()
	case !same:
		words = "Drawing…"
	case v.Err != nil:
		words = sentence(v.Err)
	case v.Picture == nil:
		words = "The study has nothing for this slide; the deck goes without it."
	}
	if words != "" {
		picture = nil
	}
	if c.words.Text != words {
		c.words.SetText(words)
	}
	if c.picture.Image != picture {
		c.picture.Image = picture
		c.picture.Refresh()
	}
	show(c.edge, picture != nil)
	if stroke := theme.Color(theme.ColorNameInputBorder); c.edge.StrokeColor != stroke {
		c.edge.StrokeColor = stroke
		c.edge.Refresh()
	}
	place := slideNames[choice.Kind]
	switch {
	case choice.Off:
		place = "Left out: tick it to have it in the deck"
	case words == "" && v.Number > 0:
		place = fmt.Sprintf("Slide %d of %d", v.Number, v.slides())
	}
	if c.place.Text != place {
		c.place.SetText(place)
	}
	hint := "the slide’s own title"
	if choice.Title == "" && same && v.Title != "" {
		hint = v.Title
	}
	if c.title.PlaceHolder != hint {
		c.title.SetPlaceHolder(hint)
	}
}

// A slideRow is one line of the list of slides.
type slideRow struct {
	root  fyne.CanvasObject
	on    *tick
	name  *widget.Button
	count *widget.Label
}

func (c *slidesScreen) presentList(s State, p report.Plan, at int) {
	for len(c.rows) < len(p) {
		i := len(c.rows)
		r := &slideRow{count: widget.NewLabel("")}
		r.on = newTick("", func(on bool) {
			c.w.store.Do(ShowSlide{slidePlace{Choice: i}})
			c.w.change(editChoice(i, "", func(k *report.Choice) { k.Off = !on }))
		})
		r.name = widget.NewButton("", func() {
			c.w.win.Canvas().Unfocus()
			c.w.store.Do(ShowSlide{slidePlace{Choice: i}})
		})
		r.name.Alignment = widget.ButtonAlignLeading
		r.count.Importance = widget.LowImportance
		r.root = container.NewBorder(nil, nil, r.on, r.count, r.name)
		c.rows = append(c.rows, r)
		c.list.Add(r.root)
	}
	for i, r := range c.rows {
		show(r.root, i < len(p))
		if i >= len(p) {
			continue
		}
		r.on.set(!p[i].Off)
		name := slideNames[p[i].Kind]
		if p[i].Title != "" {
			name = p[i].Title
		}
		if runes := []rune(name); len(runes) > 27 {
			name = string(runes[:26]) + "…"
		}
		importance := widget.LowImportance
		if i == at {
			importance = widget.HighImportance
		}
		if r.name.Text != name || r.name.Importance != importance {
			r.name.Text, r.name.Importance = name, importance
			r.name.Refresh()
		}
		count := ""
		if len(s.Preview.Pages) == len(p) && !p[i].Off {
			switch n := s.Preview.Pages[i]; n {
			case 0:
				count = "none"
			case 1:
			default:
				count = "× " + strconv.Itoa(n)
			}
		}
		if r.count.Text != count {
			r.count.SetText(count)
		}
	}
}
