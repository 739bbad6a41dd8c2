package main

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"
)

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// What cannot be told is no success.
func TestOutputThatCannotBeWritten(t *testing.T) {
	study := filepath.Join(simulated(), "study.json")
	for _, args := range [][]string{{"check", study}, {"plan", study}, {"version"}, {"help"}} {
		var stderr bytes.Buffer
		if code := run(t.Context(), args, fullDisk{}, &stderr); code != exitFailed || !strings.Contains(stderr.String(), "no space left") {
			t.Errorf("%s: exit %d, %q", args[0], code, stderr.String())
		}
	}
}
