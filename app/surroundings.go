package app

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2"
)

// Surroundings are what the window needs of the world. Tests give their own.
type Surroundings struct {
	Later       func(func()) // runs a function on the window's goroutine, in order
	Go          func(func()) // runs a function beside the window
	Now         func() time.Time
	Preferences string // file
	Demo        string // folder the demo is kept in
	Results     string // folder results are kept in
}

// ThisMachine returns the surroundings of a program a person uses.
func ThisMachine() (Surroundings, error) {
	config, err := os.UserConfigDir()
	if err != nil {
		return Surroundings{}, fmt.Errorf("app: no folder for preferences: %w", err)
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return Surroundings{}, fmt.Errorf("app: no folder for the demo: %w", err)
	}
	return Surroundings{
		Later:       fyne.Do,
		Go:          func(f func()) { go f() },
		Now:         time.Now,
		Preferences: filepath.Join(config, "bendline", "preferences.json"),
		Demo:        filepath.Join(cache, "bendline", "demo"),
		Results:     filepath.Join(cache, "bendline", "results"),
	}, nil
}
