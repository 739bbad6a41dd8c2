package study

import (
	"crypto/rand"
	"os"
	"path/filepath"
	"regexp"
	"time"
)

// temporaryFor returns the path of a new file beside path, for what takes its
// place once it is whole. A killed program leaves it behind.
func temporaryFor(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+rand.Text()[:8]+".bendline.tmp")
}

// temporaryName fits the names that temporaryFor gives, and no others.
var temporaryName = regexp.MustCompile(`^\..+\.[A-Z2-7]{8}\.bendline\.tmp$`)

// leftBehind is how old a temporary file must be for nobody to write it any
// more; one that is written is as young as its last byte.
const leftBehind = 2 * time.Minute

// clearBeside removes temporary files left behind beside the file at path, which was
// written just now: its time is by the same clock as theirs. What cannot be
// removed waits for the next time.
func clearBeside(path string) {
	now, err := os.Stat(path)
	if err != nil {
		return
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return
	}
	for _, e := range entries {
		if !temporaryName.MatchString(e.Name()) {
			continue // without a look at it: in a folder on a share each takes time
		}
		info, err := e.Info()
		if err == nil && info.Mode().IsRegular() && now.ModTime().Sub(info.ModTime()) > leftBehind {
			os.Remove(filepath.Join(filepath.Dir(path), e.Name()))
		}
	}
}
