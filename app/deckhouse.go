package app

import (
	"fmt"
	"os"
	"reflect"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bendline/app/report"
)

// paperNames are A4 and US letter as the window calls them.
var paperNames = []string{"A4", "US letter"}

// maxLogoFile is the largest logo that is kept in the preferences, bytes.
const maxLogoFile = 4 << 20

// askHouse asks for the style of the house.
func (w *Window) askHouse() {
	if w.asking() {
		return
	}
	var was report.Style
	if w.prefs.House != nil {
		was = *w.prefs.House
	}
	name, colours, logo := newEntry(w.escape), newEntry(w.escape), newEntry(w.escape)
	name.SetText(was.Name)
	name.SetPlaceHolder("at the foot of every slide")
	colours.SetText(strings.Join(was.Accents, " "))
	colours.SetPlaceHolder("baseline, prototype, further clubs: #0072b2 #d55e00")
	colours.Validator = func(text string) error { return report.Style{Accents: strings.Fields(text)}.Validate() }
	logo.SetPlaceHolder("path of a PNG or JPEG file")
	drop := widget.NewCheck("no logo", nil)
	look := widget.NewButtonWithIcon("", theme.FileIcon(), func() { w.findFile(logo.Text, logo.SetText, ".png", ".jpg", ".jpeg") })
	logoItem := widget.NewFormItem("Logo", container.NewBorder(nil, nil, nil, container.NewHBox(look, drop), logo))
	if len(was.Logo) > 0 {
		logoItem.HintText = fmt.Sprintf("a logo of %d kB is kept; leave the field empty to go on with it", (len(was.Logo)+1023)/1024)
	} else {
		drop.Disable()
	}
	comma := widget.NewCheck("decimal comma", nil)
	comma.Checked = was.DecimalComma
	paper := widget.NewRadioGroup(paperNames, nil)
	paper.Horizontal, paper.Required = true, true
	paper.Selected = paperNames[0]
	if was.Paper == report.Letter {
		paper.Selected = paperNames[1]
	}
	form := dialog.NewForm("House style of slides, tables and sheets", "Keep", "Close", []*widget.FormItem{
		widget.NewFormItem("Name", name), widget.NewFormItem("Colours", colours), logoItem,
		widget.NewFormItem("Numbers", comma), widget.NewFormItem("Sheets on", paper),
	}, func(ok bool) {
		if !ok {
			return
		}
		style := report.Style{Name: strings.TrimSpace(name.Text), Accents: strings.Fields(colours.Text),
			Logo: was.Logo, DecimalComma: comma.Checked}
		if len(style.Accents) == 0 {
			style.Accents = nil
		}
		if paper.Selected == paperNames[1] {
			style.Paper = report.Letter
		}
		if drop.Checked {
			style.Logo = nil
		}
		w.setHouse(style, strings.TrimSpace(logo.Text))
	}, w.win)
	form.Resize(fyne.NewSize(720, 340))
	form.Show()
	w.win.Canvas().Focus(name)
}

// setHouse takes a style of the house, with the logo in a file if one is named,
// and keeps it in the preferences.
func (w *Window) setHouse(style report.Style, logo string) {
	w.around.Go(func() {
		var err error
		if logo != "" {
			style.Logo, err = readLogo(logo)
		}
		if err == nil {
			err = style.Validate()
		}
		w.around.Later(func() {
			if err != nil {
				w.store.Do(Say{Notice{sentence(err), true}})
				return
			}
			w.prefs.House = &style
			if reflect.DeepEqual(style, report.Style{}) {
				w.prefs.House = nil
			}
			w.keepPreferences()
			w.store.Do(SetHouse{w.prefs.House})
			w.store.Do(Say{Notice{Text: "The house style is kept for all studies."}})
		})
	})
}

// readLogo returns the bytes of a picture.
func readLogo(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("app: logo: %w", err)
	}
	if info.Size() > maxLogoFile {
		return nil, fmt.Errorf("app: logo: %s is larger than %d MB; make it smaller", path, maxLogoFile>>20)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("app: logo: %w", err)
	}
	return b, nil
}
