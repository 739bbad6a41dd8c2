package app

import (
	"context"
	"errors"
)

// A task is the work of a job. It runs off the goroutine of the window and
// says what it found, and how far it is, in commands.
type task func(ctx context.Context, post func(Command)) error

// jobs runs one task at a time. Its methods belong to the goroutine of the
// window.
type jobs struct {
	around Surroundings
	store  *Store

	cancel context.CancelFunc // nil when nothing runs
	number int                // of the latest job: what an older one posts is dropped
}

// start runs a task in place of the one that runs now, if any. then is called
// when it has ended well; nil for nothing more to do.
func (j *jobs) start(title string, t task, then func()) {
	if j.cancel != nil {
		j.cancel()
	}
	ctx, cancel := context.WithCancel(context.Background())
	j.cancel = cancel
	j.number++
	number := j.number
	current := func(f func()) {
		j.around.Later(func() {
			if number == j.number && j.cancel != nil {
				f()
			}
		})
	}
	j.store.Do(Work{Job{Title: title}})
	j.around.Go(func() {
		err := t(ctx, func(c Command) { current(func() { j.store.Do(c) }) })
		current(func() {
			j.end()
			switch {
			case err == nil && then != nil:
				then()
			case err != nil && !errors.Is(err, context.Canceled):
				j.store.Do(Say{Notice{sentence(err), true}})
			}
		})
	})
}

// stop cancels the task that runs.
func (j *jobs) stop() {
	if j.cancel == nil {
		return
	}
	job := j.store.State().Job
	j.cancel()
	j.cancel = nil
	j.store.Do(Stopped{})
	kept := "What was done so far is kept."
	if job.Whole {
		kept = "Nothing was left half done."
	}
	j.store.Do(Say{Notice{Text: "Stopped: " + job.Title + ". " + kept}})
}

// end forgets the task that runs; what it still posts is dropped.
func (j *jobs) end() {
	j.cancel()
	j.cancel = nil
	j.store.Do(Work{})
}
