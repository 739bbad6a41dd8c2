package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bendline/app/study"
	"bendline/sampledata"
)

// versionFile says, beside the demo, which program made it.
const versionFile = "version.txt"

// demo returns the study file of the demo in dir, and simulates it first if it
// is not there, or another version of the program made it. The study file is
// written last: where it is, the demo is whole.
func demo(ctx context.Context, dir string, post func(Command)) (string, error) {
	file := filepath.Join(dir, studyFile)
	made, err := os.ReadFile(filepath.Join(dir, versionFile))
	if err == nil && string(made) == study.Version && exists(file) {
		return file, nil
	}
	if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("app: demo: %w", err)
	}
	if err := study.DropAutosave(file); err != nil {
		return "", err
	}
	err = sampledata.Demo().Write(ctx, dir, func(done, total int) {
		post(Work{Job{Title: "Simulating the demo", Done: done, Total: total}})
	})
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(filepath.Join(dir, versionFile), []byte(study.Version), 0o644); err != nil {
		return "", fmt.Errorf("app: demo: %w", err)
	}
	return file, nil
}
