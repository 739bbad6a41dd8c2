package study

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"bendline/capture"
	"bendline/kinematics"
)

// A Keep holds results from one time to the next in a folder of their own, each
// under the hash of all it follows from: the bytes of the capture and of the
// reference, the club, the run's corrections, the settings, and the program. A
// result that cannot be read is worked out again. It may be shared between
// goroutines and, as files are replaced whole, between programs.
//
// It also remembers the hash of every capture of a study that was analysed, to
// tell when one has changed. A nil Keep holds nothing.
type Keep struct {
	dir string

	mu  sync.Mutex
	err error // the first met in writing
}

// keepLimit is how much a Keep holds, bytes: some thousand swings. What was not
// used for longest goes first.
const keepLimit = 2 << 30

// NewKeep returns a Keep in a folder, which is made when it is first written to.
func NewKeep(dir string) *Keep { return &Keep{dir: dir} }

// Err returns why results could not be kept, nil if all were.
func (k *Keep) Err() error {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.err
}

// fail remembers the first error.
func (k *Keep) fail(err error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.err == nil && err != nil {
		k.err = fmt.Errorf("study: results cannot be kept for next time: %w", err)
	}
}

// kept is a result as it is written.
type kept struct {
	Capture, Hanging Capture
	Names            []string
	Flags            []capture.Flag
	Swing            *kinematics.Swing
}

// program stands for the program: its version and the revision it was built from,
// or the file it runs from where that is not known.
var program = sync.OnceValue(func() string {
	text := Version
	info, _ := debug.ReadBuildInfo()
	revision, clean := "", false
	if info != nil {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				revision = s.Value
			case "vcs.modified":
				clean = s.Value == "false"
			}
		}
	}
	if revision != "" && clean {
		return text + " " + revision
	}
	if path, err := os.Executable(); err == nil {
		if file, err := os.Stat(path); err == nil {
			return fmt.Sprint(text, " ", file.Size(), " ", file.ModTime().UnixNano())
		}
	}
	return text
})

// kept returns the result of a run from the keep, or analyses it and keeps it.
func (l *lab) kept(ctx context.Context, run Run, k *Keep, seen *ledger) *Result {
	club := l.study.Club(run.Club)
	if k == nil || club == nil || l.err != nil || ctx.Err() != nil {
		return l.analyze(ctx, run)
	}
	at, sum, reference := l.folder.stamp(run.File), l.folder.sum(run.File), l.sum(club)
	changed := seen.changed(run.File, sum)
	if sum == "" || reference == "" {
		return l.analyze(ctx, run)
	}
	key := keyOf(run, club, l.study.Settings, sum, reference)
	if r, ok := k.get(key); ok {
		found := &Result{Run: run, Capture: r.Capture, Names: r.Names, Hanging: r.Hanging, Swing: r.Swing, Flags: r.Flags,
			Settings: l.study.Settings, Changed: changed, club: club, stamp: at}
		return found.Judged(l.study)
	}
	r := l.analyze(ctx, run)
	r.Changed = changed
	if r.OK() && r.Capture.SHA256 == sum {
		k.fail(k.put(key, kept{Capture: r.Capture, Hanging: r.Hanging, Names: r.Names, Flags: r.Flags, Swing: r.Swing}))
	}
	return r
}

// keyOf returns the name a result is kept under.
func keyOf(run Run, c *Club, s Settings, sum, reference string) string {
	m := c.measured()
	b, err := json.Marshal([]any{program(), sum, reference, run.Import, run.Swaps, run.Events, s,
		m.Hand, m.Import, m.Shaft, m.Markers, m.Aliases})
	if err != nil {
		panic(err) // a study that was read can be written
	}
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

func (k *Keep) path(key string) string { return filepath.Join(k.dir, key+".swing") }

// get reads what is kept under the key.
func (k *Keep) get(key string) (kept, bool) {
	path := k.path(key)
	b, err := os.ReadFile(path)
	if err != nil {
		return kept{}, false
	}
	var r kept
	if gob.NewDecoder(bytes.NewReader(b)).Decode(&r) != nil || r.Swing == nil {
		return kept{}, false
	}
	now := time.Now()
	k.fail(os.Chtimes(path, now, now)) // used now
	return r, true
}

// put keeps a result under the key.
func (k *Keep) put(key string, r kept) error {
	return k.write(k.path(key), func(w io.Writer) error { return gob.NewEncoder(w).Encode(r) })
}

func (k *Keep) write(path string, content func(io.Writer) error) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return WriteFile(path, content)
}

// trim removes what was not used for longest until the rest is within the limit.
func (k *Keep) trim(limit int64) error {
	entries, err := os.ReadDir(k.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	var files []fs.FileInfo
	var total int64
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() {
			continue // another program took it away, or it is the folder of what was seen
		}
		files = append(files, info)
		total += info.Size()
	}
	slices.SortFunc(files, func(a, b fs.FileInfo) int { return a.ModTime().Compare(b.ModTime()) })
	for _, f := range files {
		if total <= limit {
			break
		}
		if err := os.Remove(filepath.Join(k.dir, f.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		total -= f.Size()
	}
	return nil
}

// A ledger is what the captures of a study were when it was last analysed.
type ledger struct {
	mu   sync.Mutex
	sums map[string]string // by file
	new  bool              // differs from what is written
}

// seenPath is the file that tells what was seen of a study.
func (k *Keep) seenPath(s *Study) string {
	path, err := filepath.Abs(s.Path)
	if err != nil {
		path = s.Path
	}
	h := sha256.Sum256([]byte(path))
	return filepath.Join(k.dir, "seen", hex.EncodeToString(h[:16])+".json")
}

// seen returns what was seen of the study; nothing where that is not known.
func (k *Keep) seen(s *Study) *ledger {
	if k == nil {
		return nil
	}
	w := &ledger{}
	b, err := os.ReadFile(k.seenPath(s))
	if err != nil || json.Unmarshal(b, &w.sums) != nil || w.sums == nil {
		w.sums = map[string]string{}
	}
	return w
}

// changed reports whether a file was seen with another hash, and takes note.
func (w *ledger) changed(file, sum string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	was, known := w.sums[file]
	if sum == "" || was == sum {
		return false
	}
	w.sums[file], w.new = sum, true
	return known
}

// close writes down what was seen and keeps within the limit.
func (k *Keep) close(s *Study, w *ledger) {
	if k == nil {
		return
	}
	if w.new {
		k.fail(k.write(k.seenPath(s), func(out io.Writer) error { return json.NewEncoder(out).Encode(w.sums) }))
		k.fail(k.trim(keepLimit))
	}
}
