package study

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

const (
	// settle is how long a file must stay as it is to count as whole, from one
	// look to a later one. Programs that write a capture pause for less.
	settle = 250 * time.Millisecond
	// settleMost is how long it must stay so at most, where files of the folder
	// were seen to pause for longer: what is told of later is no longer at once.
	settleMost = time.Second
	// settleEmpty is that for an empty file, which was made but not begun.
	settleEmpty = 5 * time.Second
	// idle is the time between looks where nothing settles, for folders that do
	// not tell of changes, such as network shares.
	idle = 500 * time.Millisecond
	// slowRest is how many times as long as a look takes the watch pauses after it,
	// so that a slow share is not kept busy by it.
	slowRest = 4
	// again is how long a file that could not be taken is left alone.
	again = 5 * time.Second
	// patience is how long a file that is no whole swing is waited for before that
	// is called a fault: its writer may have paused.
	patience = 2 * time.Second
)

// A Watch tells of files that land in a folder, each once it is whole: once two
// looks apart find it with the same size and time. A file that is written again
// is told of again. Files whose names begin with a dot, and folders, do not
// count. It is for one goroutine.
type Watch struct {
	dir   string
	list  func(dir string) ([]fs.FileInfo, error)
	now   func() time.Time
	files map[string]*landing // by name
	gone  bool                // the folder could not be read at the last look
	took  time.Duration       // the last look
	pause time.Duration       // the longest that a file here was seen to pause while it was written
}

// A landing is a file as it was found.
type landing struct {
	stamp stamp
	since time.Time // when it was first found so
	not   time.Time // told of no earlier
	told  bool      // as it is
}

// A Glance is what a Watch finds at one moment.
type Glance struct {
	Begun  []string // paths of files that are new, or written anew, and not whole yet
	Landed []string // paths of files that are whole and were not told of as they are, the oldest first
	Away   bool     // the folder cannot be read
	Notice string   // what became of the folder, in a sentence; "" for no news
}

// NewWatch returns a watch on a folder, which need not be there yet.
func NewWatch(dir string) *Watch {
	return &Watch{dir: dir, list: listFiles, now: time.Now, files: make(map[string]*landing)}
}

// listFiles returns the plain files of a folder.
func listFiles(dir string) ([]fs.FileInfo, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var files []fs.FileInfo
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			continue
		}
		// Stat follows links; a file that went meanwhile is not there.
		info, err := os.Stat(filepath.Join(dir, e.Name()))
		if err == nil && info.Mode().IsRegular() {
			files = append(files, info)
		}
	}
	return files, nil
}

// Look looks at the folder once.
func (w *Watch) Look() Glance {
	start := w.now()
	files, err := w.list(w.dir)
	now := w.now()
	w.took = now.Sub(start)
	if err != nil {
		if w.gone {
			return Glance{Away: true}
		}
		w.gone = true
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return Glance{Away: true, Notice: fmt.Sprintf("%s cannot be read: %v; waiting for it to return", w.dir, err)}
	}
	var look Glance
	if w.gone {
		w.gone = false
		look.Notice = w.dir + " is back"
	}
	// One that went before it was whole, as when it is given its name last, is
	// waited for no more.
	maps.DeleteFunc(w.files, func(name string, f *landing) bool {
		return !f.told && !slices.ContainsFunc(files, func(info fs.FileInfo) bool { return info.Name() == name })
	})
	slices.SortFunc(files, func(a, b fs.FileInfo) int {
		if d := a.ModTime().Compare(b.ModTime()); d != 0 {
			return d
		}
		return strings.Compare(a.Name(), b.Name())
	})
	for _, info := range files {
		at := stamp{info.Size(), info.ModTime()}
		f := w.files[info.Name()]
		if f == nil || f.stamp != at {
			if f == nil || f.told {
				look.Begun = append(look.Begun, filepath.Join(w.dir, info.Name()))
			}
			if f != nil && f.stamp.size > 0 && at.size > f.stamp.size {
				w.pause = max(w.pause, min(now.Sub(f.since), settleMost))
			}
			w.files[info.Name()] = &landing{stamp: at, since: now}
			continue
		}
		if f.told || now.Before(w.settled(f)) {
			continue
		}
		f.told = true
		look.Landed = append(look.Landed, filepath.Join(w.dir, info.Name()))
	}
	return look
}

// Skip makes the watch tell of no file that is in the folder now, unless it is
// written again. It is for before the first look.
func (w *Watch) Skip() error {
	files, err := w.list(w.dir)
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	for _, info := range files {
		w.files[info.Name()] = &landing{stamp: stamp{info.Size(), info.ModTime()}, since: w.now(), told: true}
	}
	return nil
}

// settled returns when the file is whole if it stays as it is: half as long
// again as files here were seen to pause.
func (w *Watch) settled(f *landing) time.Time {
	at := f.since.Add(min(max(settle, w.pause+w.pause/2), settleMost))
	if f.stamp.size == 0 {
		at = f.since.Add(settleEmpty)
	}
	if at.Before(f.not) {
		return f.not
	}
	return at
}

// Again makes the watch tell of a file once more, after a while: one that could
// not be taken.
func (w *Watch) Again(path string) { w.later(path, again) }

// Wait makes the watch tell of a file once more: one that was taken early, once it
// is written on, or stays as it is for a while.
func (w *Watch) Wait(path string) { w.later(path, patience) }

// later makes the watch tell of a file once more after so long, or sooner if it
// changes.
func (w *Watch) later(path string, long time.Duration) {
	if f := w.files[filepath.Base(path)]; f != nil {
		f.told, f.not = false, w.now().Add(long)
	}
}

// wait returns how long to wait for the next look.
func (w *Watch) wait() time.Duration {
	d := idle
	now := w.now()
	for _, f := range w.files {
		if !f.told && !w.gone {
			d = min(d, max(0, w.settled(f).Sub(now)))
		}
	}
	return max(d, slowRest*w.took, settle/5)
}

// Run looks at the folder whenever that tells of a change, and often anyway,
// until ctx is cancelled, and hands every look to do, one at a time. Where the
// system cannot tell of changes, it says so once in a notice.
func (w *Watch) Run(ctx context.Context, do func(Glance)) {
	changes, err := fsnotify.NewWatcher()
	var events chan fsnotify.Event
	var failures chan error
	notice := ""
	if err != nil {
		notice = fmt.Sprintf("the system does not tell of changes in folders (%v): %s is looked at every %v", err, w.dir, idle)
	} else {
		defer changes.Close()
		events, failures = changes.Events, changes.Errors
	}
	for ctx.Err() == nil {
		if err == nil {
			// Fails while the folder is away, and where it cannot tell of
			// changes; the looks see to both.
			_ = changes.Add(w.dir)
		}
		look := w.Look()
		if notice != "" && look.Notice == "" {
			look.Notice, notice = notice, ""
		}
		do(look)
		next := time.NewTimer(w.wait())
		for waiting := true; waiting; {
			select {
			case <-ctx.Done():
				waiting = false
			case <-next.C:
				waiting = false
			case <-events:
				// While files settle, their looks are due anyway.
				waiting = w.settling()
			case <-failures: // events were lost: look
				waiting = false
			}
		}
		next.Stop()
	}
}

// settling reports whether a file is about to be whole.
func (w *Watch) settling() bool {
	for _, f := range w.files {
		if !f.told {
			return true
		}
	}
	return false
}
