package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
	"bendline/capture"
)

// change makes a change of the study, keeps it safe beside the study's file, and
// has what no longer follows from the study analysed again.
func (w *Window) change(c Command) {
	w.store.Do(c)
	w.keepSafe()
	w.catchUp()
}

// String returns the moment's name.
func (m Moment) String() string {
	switch m {
	case Top:
		return "top"
	case PeakLag:
		return "peak lag"
	}
	return "impact"
}

// moveEvent sets an event of the leader to a common time.
func (w *Window) moveEvent(m Moment, t float64) {
	s := w.store.State()
	id := s.Leader()
	sw := s.Swing(id)
	if sw == nil {
		return
	}
	origin, _ := s.event(sw)
	at := origin + t
	top, impact := sw.Top, sw.Impact.Value
	if m == Top && at >= impact || m == Impact && at <= top {
		w.store.Do(Say{Notice{"The top must lie before the impact; the event was left where it was.", true}})
		w.swing.marks = nil // the bar shows where it was dragged to
		w.store.Do(Seek{s.Time})
		return
	}
	w.change(SetEvent{id, m, at})
}

// setEventHere sets an event of the leader to the time shown.
func (w *Window) setEventHere(m Moment) {
	s := w.store.State()
	if w.asking() || s.Screen != SwingScreen || s.Leader() == "" {
		return
	}
	w.moveEvent(m, s.Time)
}

// askEvents asks for the events of a run in numbers.
func (w *Window) askEvents(id string) {
	run := w.store.State().Study.Run(id)
	if run == nil || w.asking() {
		return
	}
	field := func(m Moment, by *float64) *entry {
		e := newEntry(w.escape)
		e.SetPlaceHolder("as the program finds it")
		if by != nil {
			e.SetText(strconv.FormatFloat(*by, 'f', -1, 64))
		}
		e.Validator = func(text string) error {
			_, err := seconds(text)
			return err
		}
		return e
	}
	top, impact := field(Top, run.Events.Top), field(Impact, run.Events.Impact)
	hint := "seconds of the capture; leave a field empty for what is found"
	if sw := w.store.State().Swing(id); sw != nil {
		hint = fmt.Sprintf("seconds of the capture, now %s and %s; leave a field empty for what is found",
			decimal(sw.Top, 4), decimal(sw.Impact.Value, 5))
	}
	impactItem := widget.NewFormItem("Impact, s", impact)
	impactItem.HintText = hint
	form := dialog.NewForm("Top and impact of "+id, "Set", "Close",
		[]*widget.FormItem{widget.NewFormItem("Top, s", top), impactItem},
		func(ok bool) {
			if !ok {
				return
			}
			t, errTop := seconds(top.Text)
			i, errImpact := seconds(impact.Text)
			if errTop != nil || errImpact != nil {
				return // the form does not let that through
			}
			if t != nil && i != nil && *t >= *i {
				w.store.Do(Say{Notice{"The top must lie before the impact; the events were left as they were.", true}})
				return
			}
			w.change(SetEvents{id, study.Events{Top: t, Impact: i}})
		}, w.win)
	form.Resize(fyne.NewSize(620, 240))
	top.OnSubmitted = func(string) { form.Submit() }
	impact.OnSubmitted = top.OnSubmitted
	form.Show()
	w.win.Canvas().Focus(top)
}

// seconds reads a time; nil for an empty text.
func seconds(text string) (*float64, error) {
	text = strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	if text == "" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("write a time in seconds, such as 0.4213")
	}
	return &v, nil
}

// askLabels asks which labels of a run are to be put right.
func (w *Window) askLabels(id string) {
	s := w.store.State()
	i := s.RunIndex(id)
	if i < 0 || w.asking() {
		return
	}
	run, r := s.Study.Runs[i], s.Results[i]
	var set []string
	if club := s.Study.Club(run.Club); club != nil {
		set = club.Markers.Names()
	}
	inFile := set
	if r != nil && len(r.Names) > 0 {
		inFile = r.Names
	}
	a, b := newNameEntry(inFile), newNameEntry(inFile)
	from, to := newEntry(w.escape), newEntry(w.escape)
	from.SetPlaceHolder("beginning")
	to.SetPlaceHolder("end")
	if f, ok := swapFlag(r); ok {
		a.SetText(f.Marker)
		b.SetText(partner(f, inFile))
		if f.To > 0 { // a quarter of a frame more, so that rounding loses none
			more := 0.25 / r.Capture.Rate
			from.SetText(strconv.FormatFloat(f.From-more, 'f', 5, 64))
			to.SetText(strconv.FormatFloat(f.To+more, 'f', 5, 64))
		}
	}
	was, is := newNameEntry(inFile), newNameEntry(set)

	var d dialog.Dialog
	refuse := func(text string) { w.store.Do(Say{Notice{text, true}}) }
	exchange := widget.NewButton("Exchange", func() {
		swap := study.Swap{A: strings.TrimSpace(a.Text), B: strings.TrimSpace(b.Text)}
		var errFrom, errTo error
		swap.From, errFrom = seconds(from.Text)
		swap.To, errTo = seconds(to.Text)
		d.Hide()
		switch {
		case swap.A == "" || swap.B == "" || swap.A == swap.B:
			refuse("Name two different markers to exchange.")
		case errFrom != nil || errTo != nil:
			refuse("The labels were left: from and to are times in seconds, such as 0.4213, or empty.")
		default:
			w.change(Exchange{id, swap})
		}
	})
	rename := widget.NewButton("Rename", func() {
		d.Hide()
		if from, to := strings.TrimSpace(was.Text), strings.TrimSpace(is.Text); from == "" || to == "" || from == to {
			refuse("Name the marker in the capture, and the club's marker that it is.")
		} else {
			w.change(Rename{id, from, to})
		}
	})
	clear := widget.NewButton("Take the labels as the capture has them", func() {
		d.Hide()
		w.change(ClearLabels{id})
	})
	enable(clear, len(run.Swaps) > 0 || len(run.Import.Columns) > 0)
	so := "Nothing was put right so far."
	if what := run.Corrections(); len(what) > 0 {
		so = "Put right so far: " + strings.Join(what, ", ") + "."
	}
	wide := func(o fyne.CanvasObject) fyne.CanvasObject {
		return container.NewGridWrap(fyne.NewSize(130, o.MinSize().Height), o)
	}
	d = dialog.NewCustom("Labels of "+id, "Close", container.NewVBox(
		newWords(so),
		heading("Two markers have each other's label"),
		container.NewHBox(wide(a), widget.NewLabel("and"), wide(b), widget.NewLabel("from, s"), wide(from), widget.NewLabel("to, s"), wide(to), exchange),
		heading("A marker has another name in this capture"),
		container.NewHBox(wide(was), widget.NewLabel("is the club's"), wide(is), rename),
		gap(8), container.NewHBox(clear)), w.win)
	d.Show()
}

// swapFlag returns the first flag of a result that tells of exchanged labels.
func swapFlag(r *study.Result) (capture.Flag, bool) {
	if r == nil {
		return capture.Flag{}, false
	}
	i := slices.IndexFunc(r.Flags, func(f capture.Flag) bool { return f.Code == capture.LabelSwap })
	if i < 0 {
		return capture.Flag{}, false
	}
	return r.Flags[i], true
}

// partner returns the marker that a flag names besides its own, "" if it names
// none.
func partner(f capture.Flag, names []string) string {
	for _, word := range strings.Fields(f.Detail) {
		if word != f.Marker && slices.Contains(names, word) {
			return word
		}
	}
	return ""
}

// showMarkers draws the markers, or not, and reads those that are needed.
func (w *Window) showMarkers(on bool) {
	w.store.Do(ShowMarkers{on})
	w.readMarkers()
}

// readMarkers reads the captures of the runs side by side whose markers are to
// be drawn and are not there yet.
func (w *Window) readMarkers() {
	s := w.store.State()
	if !s.Markers || s.Study == nil {
		return
	}
	for _, id := range s.Panes {
		run := *s.Study.Run(id)
		if s.Sight(id) != nil || s.Swing(id) == nil || w.reading[id] {
			continue
		}
		w.reading[id] = true
		w.around.Go(func() {
			seen, err := study.See(context.Background(), s.Study, run)
			w.around.Later(func() {
				delete(w.reading, id)
				if err != nil {
					w.store.Do(Say{Notice{sentence(err), true}})
					return
				}
				if w.store.State().isPane(id) {
					w.store.Do(Sighted{run, seen})
				}
			})
		})
	}
}

// toggleLarge lets the pane of a run fill the window, or puts all side by side
// again.
func (w *Window) toggleLarge(id string) {
	if w.store.State().Large != "" {
		id = ""
	}
	w.store.Do(Enlarge{id})
}
