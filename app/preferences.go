package app

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"bendline/app/report"
	"bendline/app/study"
)

// Preferences are what the window remembers from one time to the next.
type Preferences struct {
	LastStudy string   `json:"last_study,omitempty"`
	Recent    []string `json:"recent,omitempty"` // study files, latest first
	Look      Look     `json:"look,omitempty"`
	Size      int      `json:"size,omitempty"`   // of all in the window, %; 0 as the display has it
	Toured    bool     `json:"toured,omitempty"` // the tour was shown

	Bay LastBay `json:"bay,omitzero"` // the last fitting session

	House *report.Style `json:"house,omitempty"` // nil for Bendline's own
}

// A LastBay is a fitting session as it was last, to go on with it.
type LastBay struct {
	Study  string   `json:"study"`
	Folder string   `json:"folder"`
	Player string   `json:"player"`
	Clubs  []string `json:"clubs"`
	Club   string   `json:"club"`
	Ended  bool     `json:"ended,omitempty"` // by the user: captures that are there already are not waited for
}

// maxRecent is how many studies are remembered.
const maxRecent = 8

// ReadPreferences reads preferences from a file. A file that is not there
// gives empty preferences; so does a damaged one, with an error that says so.
func ReadPreferences(path string) (Preferences, error) {
	var p Preferences
	b, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return p, nil
	}
	if err != nil {
		return p, fmt.Errorf("app: preferences: %w", err)
	}
	if err := json.Unmarshal(b, &p); err != nil {
		return Preferences{}, fmt.Errorf("app: preferences %s: %w", path, err)
	}
	return p, nil
}

// Write writes the preferences to a file, whole or not at all.
func (p Preferences) Write(path string) error {
	b, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return fmt.Errorf("app: preferences: %w", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("app: preferences: %w", err)
	}
	return study.WriteFile(path, func(w io.Writer) error {
		_, err := w.Write(append(b, '\n'))
		return err
	})
}

// opened returns the preferences after a study was opened.
func (p Preferences) opened(path string) Preferences {
	recent := slices.DeleteFunc(slices.Clone(p.Recent), func(r string) bool { return r == path })
	recent = slices.Insert(recent, 0, path)
	p.LastStudy, p.Recent = path, recent[:min(len(recent), maxRecent)]
	return p
}
