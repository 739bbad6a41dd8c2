package study

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// The changes of a study that are not saved yet are in a file beside it, so that
// a program that ends at any moment loses none: Autosave writes it, Recover
// reads it and DropAutosave takes it away once the study is saved, or the
// changes are given up.

// autosavePath returns the file beside the study file at path.
func autosavePath(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".unsaved")
}

// Autosave writes the study beside its file, whole or not at all.
func (s *Study) Autosave() error { return WriteFile(autosavePath(s.Path), s.Write) }

// Recover returns the study as it was autosaved beside the file at path, and
// when; nil where nothing was left to save.
func Recover(path string) (*Study, time.Time, error) {
	file := autosavePath(path)
	info, err := os.Stat(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, time.Time{}, nil
	}
	if err != nil {
		return nil, time.Time{}, fmt.Errorf("study: %w", err)
	}
	s, err := Open(file)
	if err != nil {
		return nil, time.Time{}, err
	}
	s.Path = path
	return s, info.ModTime(), nil
}

// DropAutosave takes away what Autosave wrote beside the file at path.
func DropAutosave(path string) error {
	if err := os.Remove(autosavePath(path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("study: %w", err)
	}
	return nil
}
