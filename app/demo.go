package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bendline/sampledata"
)

// demo returns the study file of the demo in dir, and simulates it first if it
// is not there. The study file is written last: where it is, the demo is whole.
func demo(ctx context.Context, dir string, post func(Command)) (string, error) {
	file := filepath.Join(dir, studyFile)
	_, err := os.Stat(file)
	if err == nil {
		return file, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("app: demo: %w", err)
	}
	err = sampledata.Demo().Write(dir, func(done, total int) {
		post(Work{Job{Title: "Simulating the demo", Done: done, Total: total}})
	})
	if err != nil {
		return "", err
	}
	return file, ctx.Err()
}
