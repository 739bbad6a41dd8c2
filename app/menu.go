package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// menu is the menu bar; it lists every command with its key.
type menu struct {
	menu          *fyne.MainMenu
	save, saveAs  *fyne.MenuItem
	undo, redo    *fyne.MenuItem
	again, export *fyne.MenuItem
	bring         *fyne.MenuItem
	top, impact   *fyne.MenuItem
	settings      *fyne.MenuItem
	recent        *fyne.MenuItem
	looks         map[Look]*fyne.MenuItem
	sizes         map[int]*fyne.MenuItem
}

// The keys of commands.
var (
	newKey    = &desktop.CustomShortcut{KeyName: fyne.KeyN, Modifier: fyne.KeyModifierShortcutDefault}
	saveAsKey = &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	topKey    = &desktop.CustomShortcut{KeyName: fyne.KeyT, Modifier: fyne.KeyModifierShortcutDefault}
	impactKey = &desktop.CustomShortcut{KeyName: fyne.KeyI, Modifier: fyne.KeyModifierShortcutDefault}
	openKey   = &desktop.CustomShortcut{KeyName: fyne.KeyO, Modifier: fyne.KeyModifierShortcutDefault}
	saveKey   = &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault}
	redoKey   = &desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
	exportKey = &desktop.CustomShortcut{KeyName: fyne.KeyE, Modifier: fyne.KeyModifierShortcutDefault}
	bringKey  = &desktop.CustomShortcut{KeyName: fyne.KeyReturn, Modifier: fyne.KeyModifierShortcutDefault}
	quitKey   = &desktop.CustomShortcut{KeyName: fyne.KeyQ, Modifier: fyne.KeyModifierShortcutDefault}
)

func newMenu(w *Window) *menu {
	item := func(text string, key fyne.Shortcut, do func()) *fyne.MenuItem {
		i := fyne.NewMenuItem(text, do)
		i.Shortcut = key
		return i
	}
	m := &menu{
		save:     item("Save", saveKey, func() { w.saveStudy(nil) }),
		saveAs:   item("Save as…", saveAsKey, w.askSaveAs),
		bring:    item("Bring in captures…", nil, func() { w.beginImport(nil) }),
		top:      item("Set the top here", topKey, func() { w.setEventHere(Top) }),
		impact:   item("Set the impact here", impactKey, func() { w.setEventHere(Impact) }),
		settings: item("Filter and window…", nil, w.askSettings),
		recent:   fyne.NewMenuItem("Opened lately", nil),
		undo:     item("Undo", &fyne.ShortcutUndo{}, w.undo),
		redo:     item("Redo", redoKey, w.redo),
		again:    item("Analyse again", nil, w.analyze),
		export:   item("Export…", exportKey, w.askExport),
	}
	quit := item("Quit", quitKey, w.close)
	quit.IsQuit = true
	m.looks = map[Look]*fyne.MenuItem{
		SystemLook: item("As the system", nil, func() { w.setLook(SystemLook) }),
		LightLook:  item("Light", nil, func() { w.setLook(LightLook) }),
		DarkLook:   item("Dark", nil, func() { w.setLook(DarkLook) }),
	}
	m.sizes = map[int]*fyne.MenuItem{}
	look := []*fyne.MenuItem{m.looks[SystemLook], m.looks[LightLook], m.looks[DarkLook], fyne.NewMenuItemSeparator()}
	for _, percent := range sizes {
		m.sizes[percent] = item(sizeName(percent), nil, func() { w.setSize(percent) })
		look = append(look, m.sizes[percent])
	}
	m.menu = fyne.NewMainMenu(
		fyne.NewMenu("Study",
			item("New…", newKey, w.askNew), item("Open…", openKey, w.askStudy), m.recent,
			item("Open the demo", nil, w.OpenDemo), fyne.NewMenuItemSeparator(),
			m.save, m.saveAs, fyne.NewMenuItemSeparator(),
			m.bring, item("Fitting session…", nil, func() { w.store.Do(ShowScreen{BayScreen}) }), m.again, m.export, item("House style…", nil, w.askHouse), fyne.NewMenuItemSeparator(), quit),
		fyne.NewMenu("Edit", m.undo, m.redo, fyne.NewMenuItemSeparator(), m.top, m.impact, m.settings),
		fyne.NewMenu("Look", look...),
		fyne.NewMenu("Help", item("Keys", nil, w.showKeys), item("Tour", nil, w.takeTour)))
	m.checkLook(w.prefs.Look)
	m.checkSize(w.prefs.Size)
	return m
}

// checkLook ticks the look in use.
func (m *menu) checkLook(l Look) {
	if l == "" {
		l = SystemLook
	}
	for look, item := range m.looks {
		item.Checked = look == l
	}
}

// checkSize ticks the size in use.
func (m *menu) checkSize(percent int) {
	for p, item := range m.sizes {
		item.Checked = p == percent || percent == 0 && p == 100
	}
	if m.menu != nil {
		m.menu.Refresh()
	}
}

func (m *menu) present(s State) {
	changed := false
	set := func(i *fyne.MenuItem, on bool) {
		changed = changed || i.Disabled == on
		i.Disabled = !on
	}
	set(m.save, s.Unsaved())
	set(m.saveAs, s.Study != nil && s.Job.Title == "")
	set(m.bring, s.Study != nil)
	set(m.top, s.Screen == SwingScreen && s.Leader() != "")
	set(m.impact, s.Screen == SwingScreen && s.Leader() != "")
	set(m.settings, s.Study != nil)
	set(m.undo, s.CanUndo())
	set(m.redo, s.CanRedo())
	set(m.again, s.Study != nil && s.Job.Title == "")
	set(m.export, s.exportable() == "")
	if changed {
		m.menu.Refresh()
	}
}

// setRecent lists studies opened lately.
func (m *menu) setRecent(w *Window, paths []string) {
	var items []*fyne.MenuItem
	for _, p := range paths {
		items = append(items, fyne.NewMenuItem(shortPath(p), func() { w.OpenStudy(p) }))
	}
	m.recent.ChildMenu = fyne.NewMenu("", items...)
	m.recent.Disabled = len(items) == 0
	m.menu.Refresh()
}

// setLook turns the window light or dark.
func (w *Window) setLook(l Look) {
	w.app.Settings().SetTheme(newTheme(l))
	w.menu.checkLook(l)
	w.menu.menu.Refresh()
	w.prefs.Look = l
	w.keepPreferences()
}
