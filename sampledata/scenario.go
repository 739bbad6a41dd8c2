package sampledata

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"bendline/capture"
)

// A Scenario is a study of simulated captures.
type Scenario struct {
	Title   string
	Seed    uint64 // of the noise
	Clubs   []Club
	Players []Player
	Runs    []Run
}

// A Player swings the clubs.
type Player struct{ ID, Label string }

// A Run is one capture of a scenario. Its club is Config.Club.
type Run struct {
	ID, Player string
	Excluded   string // why the run is left out of comparisons
	Layout     Layout
	Config     Config
}

// Capture returns the capture of run i.
func (s Scenario) Capture(i int) Capture {
	return Simulate(s.Runs[i].Config, s.stream(runStreams+uint64(i)))
}

// Reference returns the reference recording of club i.
func (s Scenario) Reference(i int) *capture.Recording {
	return Reference(s.Clubs[i], Noise{White: 0.15e-3}, s.stream(clubStreams+uint64(i)))
}

// Where the random streams of a scenario begin: each run and each club has one
// of its own, so that they can be made in any order.
const (
	runStreams   = 0
	clubStreams  = 1 << 32
	storyStreams = 2 << 32
)

// stream returns the nth of the scenario's independent random streams.
func (s Scenario) stream(n uint64) *rand.Rand { return rand.New(rand.NewPCG(s.Seed, n)) }

// Write writes the study to the folder dir, which it makes if need be: the
// captures and references, truth.json and, last, study.json. Each file appears
// whole or not at all. progress, if not nil, is told how many of the files are
// there, one call at a time but from any goroutine. On error, and when ctx is
// cancelled, the study file is not written.
func (s Scenario) Write(ctx context.Context, dir string, progress func(done, total int)) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("sampledata: folder for the study: %w", err)
	}
	truths := make(map[string]truthFile, len(s.Runs))
	var (
		mu    sync.Mutex
		first error
		done  int
		wg    sync.WaitGroup
	)
	total := len(s.Clubs) + len(s.Runs) + 2 // with the two JSON files
	finish := func(err error) {
		mu.Lock()
		defer mu.Unlock()
		if err != nil {
			if first == nil {
				first = err
			}
			return
		}
		done++
		if progress != nil {
			progress(done, total)
		}
	}
	jobs := make(chan func() error)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for job := range jobs {
				if ctx.Err() == nil {
					finish(job())
				}
			}
		})
	}
	for i, c := range s.Clubs {
		jobs <- func() error {
			return writeFile(dir, referenceFile(c), func(w io.Writer) error { return Wide.write(w, s.Reference(i)) })
		}
	}
	for i, r := range s.Runs {
		jobs <- func() error {
			c := s.Capture(i)
			mu.Lock()
			truths[r.ID] = newTruthFile(c.Truth)
			mu.Unlock()
			return writeFile(dir, runFile(r), func(w io.Writer) error { return r.Layout.write(w, c.Recording) })
		}
	}
	close(jobs)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("sampledata: %w", err)
	}
	if first != nil {
		return first
	}
	for _, f := range []struct {
		name string
		v    any
	}{{"truth.json", truths}, {"study.json", s.study()}} {
		err := writeFile(dir, f.name, func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetIndent("", " ")
			return e.Encode(f.v)
		})
		finish(err)
		if err != nil {
			return err
		}
	}
	return nil
}

// writeFile writes the named file in dir through a temporary one, so that it
// appears whole or not at all.
func writeFile(dir, name string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(dir, "."+name+".*")
	if err != nil {
		return fmt.Errorf("sampledata: %w", err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = fmt.Errorf("sampledata: write %s: %w", filepath.Join(dir, name), err)
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), filepath.Join(dir, name))
}
