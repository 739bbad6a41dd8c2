package report

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"time"

	"bendline/app/study"
)

// files lists every file used with the hash of its bytes, and all that was set
// beside: with them the deck can be made again to the byte.
func (m *material) files() ([]Slide, error) {
	settings, err := m.settingRows()
	if err != nil {
		return nil, err
	}
	t := &table{columns: []column{
		{head: "What", words: true}, {head: "File", words: true, lines: 2}, {head: "SHA-256", words: true, lines: 2},
	}}
	for _, row := range append(m.fileRows(), settings.hashes...) {
		t.rows = append(t.rows, []cell{words(row[0]), words(row[1]), words(row[2])})
	}
	slides := t.slides(Slide{Title: "Files used", Subtitle: "Same files, same settings, same version, same date: the same deck, byte by byte.", Hidden: true})
	t = &table{columns: []column{{head: "Setting", words: true}, {head: "Value", words: true, lines: 20}}}
	for _, row := range settings.values {
		t.rows = append(t.rows, []cell{words(row[0]), words(row[1])})
	}
	return append(slides, t.slides(Slide{Title: "Settings of this deck", Subtitle: "Kept so that this deck can be made again: with the files used, these values give the same slides.", Hidden: true})...), nil
}

// fileRows returns what each capture is, its name and its hash: the clubs'
// references and the runs, in the order of the study. A file that was not read
// has no hash.
func (m *material) fileRows() [][3]string {
	var rows [][3]string
	hanging := map[string]study.Capture{}
	for _, r := range m.results {
		if r.OK() {
			hanging[r.Run.Club] = r.Hanging
		}
	}
	for i := range m.study.Clubs {
		c := &m.study.Clubs[i]
		rows = append(rows, [3]string{"reference of " + c.ID, c.Reference, orAbsent(hanging[c.ID].SHA256)})
	}
	for _, r := range m.results {
		rows = append(rows, [3]string{"run " + r.Run.ID, r.Run.File, orAbsent(r.Capture.SHA256)})
	}
	return rows
}

func orAbsent(s string) string {
	if s == "" {
		return absent
	}
	return s
}

// settingRows is what was set for the deck: files by their hash, and values.
type settingRows struct {
	hashes [][3]string
	values [][2]string
}

func (m *material) settingRows() (settingRows, error) {
	var s settingRows
	sum := sha256.New()
	if err := m.study.Write(sum); err != nil {
		return s, err
	}
	s.hashes = append(s.hashes, [3]string{"study, as it is saved", m.study.Path, hex.EncodeToString(sum.Sum(nil))})
	set := func(what, value string) { s.values = append(s.values, [2]string{what, orAbsent(value)}) }
	set("Program", "Bendline "+m.o.Version)
	date := ""
	if !m.o.Date.IsZero() {
		date = m.o.Date.Format(time.RFC3339Nano)
	}
	set("Date", date)
	set("Baseline", m.o.Baseline)
	set("Prototype", m.o.Prototype)

	style := m.o.Style
	if len(style.Logo) > 0 {
		logo := sha256.Sum256(style.Logo)
		s.hashes = append(s.hashes, [3]string{"logo", "", hex.EncodeToString(logo[:])})
		style.Logo = nil
	}
	house, err := json.Marshal(style)
	if err != nil {
		return s, err
	}
	set("Style", string(house))
	if m.c != nil {
		choices, err := json.Marshal(m.c.Choices)
		if err != nil {
			return s, err
		}
		set("Comparison", string(choices))
	}
	if reflect.DeepEqual(m.o.Plan, DefaultPlan()) {
		set("Plan", "the usual slides in their usual order")
		return s, nil
	}
	for i, c := range m.o.Plan {
		choice, err := json.Marshal(c)
		if err != nil {
			return s, err
		}
		set(fmt.Sprintf("Plan, entry %d", i+1), string(choice))
	}
	return s, nil
}
