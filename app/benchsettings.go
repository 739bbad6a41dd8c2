package app

import (
	"reflect"
	"slices"
	"strings"

	"bendline/app/study"
	"bendline/widgets"
)

// A settingsSheet shows settings of the bench to be typed over.
type settingsSheet struct {
	sheet *widgets.Sheet
	keys  []string
	shown *study.Study
}

func newSettingsSheet(w *Window, keys ...string) *settingsSheet {
	p := &settingsSheet{keys: keys, sheet: widgets.NewSheet([]string{"", "set to", "unit", "usual"}, []string{"", "12345.67"})}
	put := func(row int, text string) string {
		st, err := w.store.State().Study.WithSetting(keys[row], text)
		if err != nil {
			why := sentence(err)
			w.store.Do(Say{Notice{why, true}})
			return why
		}
		w.change(Edit{func(now *study.Study) bool {
			changed := !reflect.DeepEqual(now.BenchSettings, st.BenchSettings)
			now.BenchSettings = st.BenchSettings
			return changed
		}})
		return ""
	}
	p.sheet.OnType = func(row, _ int, text string) string { return put(row, text) }
	p.sheet.OnPaste = func(row, col int, text string) {
		if col == 1 {
			put(row, strings.TrimSpace(text))
		}
	}
	return p
}

// present shows the settings of the study.
func (p *settingsSheet) present(s State) {
	if s.Study == p.shown {
		return
	}
	p.shown = s.Study
	var rows [][]widgets.SheetCell
	for _, k := range study.AllBenchSettings {
		if !slices.Contains(p.keys, k.Key) {
			continue
		}
		rows = append(rows, []widgets.SheetCell{{Text: k.Label}, {Text: typedNumber(k.In(s.Study), 0), Open: true},
			{Text: k.Unit(), Tone: widgets.Muted}, {Text: k.Usual, Tone: widgets.Muted}})
	}
	p.sheet.SetRows(rows)
}
