package app

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"bendline/app/report"
	"bendline/app/study"
)

// An export is something that leaves the laboratory.
type export struct {
	name   string
	making string // what the job is called
	stem   string // what is put to the study's name
	ext    string // of its file, "" for a folder
	write  func(ctx context.Context, a *study.Analysis, c *study.Comparison, path string, o report.Options, p report.Progress) error
}

// exports are all of them, but for the sheet of a player.
var exports = []export{
	{"Slides, PDF", "Making slides", "-slides", ".pdf", report.Write},
	{"Slides, presentation to edit (PPTX)", "Making slides", "-slides", ".pptx", report.Write},
	{"Slides, folder of pictures (PNG)", "Making slides", "-slides", "", report.Write},
	{"Tables and curves, workbook (XLSX)", "Making tables", "-tables", ".xlsx", report.WriteTables},
	{"Tables and curves, folder of CSV", "Making tables", "-tables", "", report.WriteTables},
	{"Shafts moving to impact (GIF)", "Making the moving picture", "-impact", ".gif", report.WriteAnimation},
}

// playerSheet is the export of one player's sheet.
func playerSheet(player string) export {
	return export{"Sheet of a player, PDF", "Making the sheet", "-" + fileName(player), ".pdf",
		func(ctx context.Context, a *study.Analysis, _ *study.Comparison, path string, o report.Options, _ report.Progress) error {
			return report.WriteSheet(ctx, a, player, path, o)
		}}
}

// fileName returns an id as part of a file's name.
func fileName(id string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, id)
}

// path returns where the export of a study goes, unless another place is chosen.
func (e export) path(st *study.Study) string {
	return strings.TrimSuffix(st.Path, filepath.Ext(st.Path)) + e.stem + e.ext
}

// check returns the path with the export's ending. It is an error where the
// path names another kind of file.
func (e export) check(path string) (string, error) {
	path = strings.TrimSpace(path)
	ext := filepath.Ext(path)
	switch {
	case path == "":
		return "", fmt.Errorf("app: name the file or folder to write to")
	case strings.EqualFold(ext, e.ext):
		return path, nil
	case e.ext == "" && isDir(path):
		return path, nil
	case e.ext == "":
		return "", fmt.Errorf("app: %s is not a folder's name; leave out the %s", filepath.Base(path), ext)
	case slices.ContainsFunc(exports, func(o export) bool { return strings.EqualFold(o.ext, ext) }) && ext != "":
		return "", fmt.Errorf("app: %s does not end in %s", filepath.Base(path), e.ext)
	}
	return path + e.ext, nil
}

func isDir(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// exportable says why nothing can be exported now, "" if it can.
func (s State) exportable() string {
	switch {
	case s.Study == nil:
		return "Open a study first."
	case s.Job.Title != "":
		return "Slides and tables need every result: wait until the work is done, or cancel it."
	case !s.Complete():
		return "Slides and tables need every result: choose “Analyse again” in the menu first."
	case !s.settled():
		return "Slides and tables need the comparison: choose “Compare” on the Compare screen first."
	}
	return ""
}

// askExport asks what is to be exported, and where to.
func (w *Window) askExport() {
	s := w.store.State()
	if s.Study == nil || w.asking() {
		return
	}
	if why := s.exportable(); why != "" {
		w.store.Do(Say{Notice{why, true}})
		return
	}
	players, labels := s.sheetPlayers()
	chosen := exports[0]
	path := newEntry(w.escape)
	there := newWords("")
	there.Importance = widget.WarningImportance
	path.OnChanged = func(text string) {
		text, err := chosen.check(text)
		switch {
		case err != nil:
			there.SetText(sentence(err))
		case chosen.ext != "" && exists(text):
			there.SetText("There is a file of this name; it will be replaced.")
		case chosen.ext == "" && exists(text):
			there.SetText("There is a folder of this name; files of the same names in it will be replaced.")
		default:
			there.SetText("")
		}
	}
	take := func(e export) {
		chosen = e
		path.SetText(e.path(s.Study))
		path.OnChanged(path.Text)
	}
	player := widget.NewSelect(labels, nil)
	sheet := func() { take(playerSheet(players[max(0, player.SelectedIndex())])) }
	player.OnChanged = func(string) { sheet() }
	var names []string
	for _, e := range exports {
		names = append(names, e.name)
	}
	if len(players) > 0 {
		names = append(names, playerSheet("").name)
	}
	kind := widget.NewRadioGroup(names, nil)
	kind.Required = true
	kind.Selected = names[0]
	kind.OnChanged = func(name string) {
		i := slices.Index(names, name)
		enable(player, i == len(exports))
		if i < len(exports) {
			take(exports[i])
			return
		}
		if player.SelectedIndex() < 0 {
			player.SetSelectedIndex(0)
		}
		sheet()
	}
	player.Disable()
	player.PlaceHolder = "whose sheet"
	take(exports[0])
	form := dialog.NewForm("Export", "Export", "Close", []*widget.FormItem{
		widget.NewFormItem("What", kind), widget.NewFormItem("Player", player),
		widget.NewFormItem("To", w.withFolder(path)), widget.NewFormItem("", container.NewStack(there)),
	}, func(ok bool) {
		if ok {
			w.export(chosen, path.Text)
		}
	}, w.win)
	form.Resize(fyne.NewSize(780, 440))
	path.OnSubmitted = func(string) { form.Submit() }
	form.Show()
	w.win.Canvas().Focus(path)
}

// sheetPlayers returns ids and labels of the players with a run that counts.
func (s State) sheetPlayers() (ids, labels []string) {
	for _, p := range s.Study.Players {
		if slices.ContainsFunc(s.Results, func(r *study.Result) bool {
			return r.OK() && r.Run.Player == p.ID && r.Run.Excluded == ""
		}) {
			ids, labels = append(ids, p.ID), append(labels, playerLabel(s.Study, p.ID))
		}
	}
	return ids, labels
}

// export writes an export of what is shown.
func (w *Window) export(e export, path string) {
	s := w.store.State()
	path, err := e.check(path)
	var o report.Options
	if err == nil {
		o, err = s.deckOptions()
	}
	if err != nil {
		w.store.Do(Say{Notice{sentence(err), true}})
		return
	}
	o.Date = w.around.Now()
	w.jobs.start(e.making, func(ctx context.Context, post func(Command)) error {
		post(Work{Job{Title: e.making, Whole: true}})
		return e.write(ctx, s.analysis(), s.Comparison, path, o, func(done, total int) {
			post(Work{Job{Title: e.making, Done: done, Total: total, Whole: true}})
		})
	}, func() {
		w.catchUp()
		written := Notice{Text: fmt.Sprintf("Written: %s.", path)}
		w.store.Do(Say{written})
		if w.store.State().Bay.On() { // to be read from where the player stands
			w.store.Do(BaySays{written})
		}
	})
}
