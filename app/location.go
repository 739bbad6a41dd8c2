package app

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// studyFile is the name of a study file in its folder.
const studyFile = "study.json"

// locate returns the study file that paths given by the user stand for: the
// file itself, or the folder that holds study.json. Captures without a study
// are an error that says what to do.
func locate(paths []string) (string, error) {
	for _, p := range paths {
		p = strings.TrimSpace(p)
		info, err := os.Stat(p)
		switch {
		case p == "":
			continue
		case err != nil:
			return "", fmt.Errorf("app: cannot open %s: %w", p, errors.Unwrap(err))
		case info.IsDir():
			file := filepath.Join(p, studyFile)
			if !exists(file) {
				return "", fmt.Errorf("app: the folder %s has no %s; choose a folder that has one", p, studyFile)
			}
			return filepath.Abs(file)
		case strings.EqualFold(filepath.Ext(p), ".json"):
			return filepath.Abs(p)
		}
		if beside := filepath.Join(filepath.Dir(p), studyFile); exists(beside) {
			return "", fmt.Errorf("app: %s is no study file; open %s, which is beside it", filepath.Base(p), beside)
		}
		return "", fmt.Errorf("app: %s is no study file; a capture needs a %s beside it that says which club and player it shows: write one, and open that", filepath.Base(p), studyFile)
	}
	return "", errors.New("app: no file was named; type the path of a study file or of its folder")
}

// exists reports whether there is a file at the path.
func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
