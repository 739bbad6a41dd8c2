package app

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/study"
)

// SetSettings sets the filter and the window of every run.
type SetSettings struct{ Settings study.Settings }

func (c SetSettings) apply(s State) State {
	return Edit{func(st *study.Study) bool {
		changed := !st.Settings.Equal(c.Settings)
		st.Settings = c.Settings
		return changed
	}}.apply(s)
}

// setByHand returns what was set by hand for the whole study, to follow what
// stands at a figure: "; by hand: cut-off 60 Hz", or "".
func setByHand(st *study.Study) string {
	what := st.Settings.Words()
	if len(what) == 0 {
		return ""
	}
	return "; by hand: " + strings.Join(what, ", ")
}

// settingsSentence tells filter and window.
func settingsSentence(s State) string {
	set := s.Study.Settings
	text := "Filter: the program chooses it for each run."
	if set.CutOff != 0 {
		text = fmt.Sprintf("Filter: cut-off %s Hz, set by hand.", decimal(set.CutOff, -1))
	} else if low, high := study.CutOffs(s.Results); !math.IsNaN(low) {
		text = fmt.Sprintf("Filter: the program chooses it for each run; cut-offs %s Hz.", span(decimal(low, 0), decimal(high, 0)))
	}
	window := " Window: the whole capture."
	if what := (study.Settings{Before: set.Before, After: set.After}).Words(); len(what) > 0 {
		window = " " + capital(what[0]) + " from impact, set by hand."
	}
	return text + window
}

// span returns "a to b", or "a" where both are alike.
func span(a, b string) string {
	if a == b {
		return a
	}
	return a + " to " + b
}

// askSettings asks for filter and window.
func (w *Window) askSettings() {
	s := w.store.State()
	if s.Study == nil || w.asking() {
		return
	}
	set := s.Study.Settings
	field := func(now string, of func(v *float64) study.Settings) *entry {
		e := newEntry(w.escape)
		e.SetText(now)
		e.Validator = func(text string) error {
			v, err := amount(text)
			if err != nil {
				return err
			}
			if err := of(v).Validate(); err != nil {
				return fmt.Errorf("%s", sentence(err))
			}
			return nil
		}
		return e
	}
	cutOff := field(hertz(set.CutOff), func(v *float64) study.Settings { return study.Settings{CutOff: orZero(v)} })
	bounds := cutOff.Validator
	cutOff.Validator = func(text string) error {
		if err := bounds(text); err != nil {
			return err
		}
		v, err := amount(text)
		if low, high := study.CutOffBounds(s.Results); v != nil && !(*v >= low && *v <= high) {
			return fmt.Errorf("at the rates of these captures it must lie between %.0f and %.0f Hz", math.Ceil(low), math.Floor(high))
		}
		return err
	}
	cutOff.SetPlaceHolder("chosen for each run")
	before := field(inMS(set.Before), func(v *float64) study.Settings { return study.Settings{Before: inSeconds(v)} })
	before.SetPlaceHolder("from the first frame")
	after := field(inMS(set.After), func(v *float64) study.Settings { return study.Settings{After: inSeconds(v)} })
	after.SetPlaceHolder("to the last frame")

	cutOffItem := widget.NewFormItem("Filter’s cut-off, Hz", cutOff)
	cutOffItem.HintText = "where the smoothing of the markers’ paths passes half; empty: the likeliest"
	if low, high := study.CutOffs(s.Results); set.CutOff == 0 && !math.IsNaN(low) {
		cutOffItem.HintText += fmt.Sprintf(", now %s Hz", span(decimal(low, 0), decimal(high, 0)))
	}
	beforeItem := widget.NewFormItem("Window before impact, ms", before)
	beforeItem.HintText = "what is fitted of each run; empty: all there is"
	afterItem := widget.NewFormItem("Window after impact, ms", after)
	afterItem.HintText = "values at impact use nothing after it, whatever is set here"
	form := dialog.NewForm("Filter and window of every run", "Set", "Close",
		[]*widget.FormItem{cutOffItem, beforeItem, afterItem},
		func(ok bool) {
			c, errC := amount(cutOff.Text)
			b, errB := amount(before.Text)
			a, errA := amount(after.Text)
			if !ok || errC != nil || errB != nil || errA != nil {
				return // the form lets none of these through
			}
			w.change(SetSettings{study.Settings{CutOff: orZero(c), Before: inSeconds(b), After: inSeconds(a)}})
		}, w.win)
	form.Resize(fyne.NewSize(620, 320))
	for _, e := range []*entry{cutOff, before, after} {
		e.OnSubmitted = func(string) { form.Submit() }
	}
	form.Show()
	w.win.Canvas().Focus(cutOff)
}

// amount reads a number; nil for an empty text.
func amount(text string) (*float64, error) {
	text = strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	if text == "" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return nil, fmt.Errorf("write a number, such as 60, or nothing")
	}
	return &v, nil
}

// orZero returns what v points to, 0 for nil. A cut-off of 0 that was typed is
// none: a number that no bound lets through stands for it.
func orZero(v *float64) float64 {
	switch {
	case v == nil:
		return 0
	case *v == 0:
		return -1
	}
	return *v
}

func inSeconds(ms *float64) *float64 {
	if ms == nil {
		return nil
	}
	s := *ms / 1e3
	return &s
}

func hertz(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func inMS(seconds *float64) string {
	if seconds == nil {
		return ""
	}
	return strconv.FormatFloat(math.Round(*seconds*1e6)/1e3, 'g', -1, 64)
}
