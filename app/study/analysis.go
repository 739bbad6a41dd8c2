package study

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"bendline/capture"
	"bendline/kinematics"
)

// A Result is what came of one run. It is not changed after it is made.
type Result struct {
	Run     Run
	Err     error // why the run could not be analysed; the fields below it are then empty
	Capture Capture
	Swing   *kinematics.Swing
	Flags   []capture.Flag
}

// OK reports whether the run was analysed.
func (r *Result) OK() bool { return r.Err == nil }

// A Capture describes the file of a run.
type Capture struct {
	Frames  int
	Rate    float64 // frames a second
	Markers int
	SHA256  string // of the file's bytes
}

// An Analysis is a study with the results of its runs, in the order of the
// runs.
type Analysis struct {
	Study   *Study
	Results []*Result
}

// Result returns the result of the run with the id, nil if there is none.
func (a *Analysis) Result(run string) *Result {
	for _, r := range a.Results {
		if r.Run.ID == run {
			return r
		}
	}
	return nil
}

// Failed returns the results of the runs that could not be analysed.
func (a *Analysis) Failed() []*Result {
	var failed []*Result
	for _, r := range a.Results {
		if !r.OK() {
			failed = append(failed, r)
		}
	}
	return failed
}

// Progress is told how many of the runs are done, and which was finished last.
// It may be called from any goroutine, one call at a time.
type Progress func(done, total int, run string)

// Analyze imports and fits every run of the study, as many at a time as there
// are processors; no more captures than that are held in memory. A run that
// fails has its error in its result; the others go on. p may be nil. Analyze
// returns an error only when ctx is cancelled.
func Analyze(ctx context.Context, s *Study, p Progress) (*Analysis, error) {
	a := &Analysis{Study: s, Results: make([]*Result, len(s.Runs))}
	l := newLab(s)
	defer l.close()
	var mu sync.Mutex
	done := 0
	each(ctx, len(s.Runs), func(i int) {
		a.Results[i] = l.analyze(ctx, s.Runs[i])
		mu.Lock()
		defer mu.Unlock()
		done++
		if p != nil && ctx.Err() == nil {
			p(done, len(s.Runs), s.Runs[i].ID)
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	finish(a.Results)
	return a, nil
}

// finish puts first contact where the runs together say that it was, and adds
// what is doubtful about the values.
func finish(results []*Result) {
	var swings []*kinematics.Swing
	for _, r := range results {
		if r.OK() {
			swings = append(swings, r.Swing)
		}
	}
	contact := kinematics.PoolContact(swings)
	for _, r := range results {
		if r.OK() {
			r.Swing = r.Swing.WithContact(contact)
			r.Flags = append(r.Flags, doubts(r.Swing)...)
		}
	}
}

// each calls do for every i below n until ctx is cancelled, as many at a time
// as there are processors, and returns when all calls have.
func each(ctx context.Context, n int, do func(i int)) {
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		workers.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := 0; i < n && ctx.Err() == nil; i++ {
		next <- i
	}
	close(next)
	workers.Wait()
}

// AnalyzeRun imports and fits one run, which need not be in the study as it
// stands: a run whose events or hints were just changed, for example.
func AnalyzeRun(ctx context.Context, s *Study, run Run) *Result {
	l := newLab(s)
	defer l.close()
	r := l.analyze(ctx, run)
	finish([]*Result{r})
	return r
}

// A PanicError is a defect of the program that was met in a run.
type PanicError struct {
	Value any
	Stack []byte // where it happened
}

func (e *PanicError) Error() string {
	return fmt.Sprintf("study: the program failed on this run, which is a defect in it: %v", e.Value)
}

// analyze imports and fits one run.
func (l *lab) analyze(ctx context.Context, run Run) (result *Result) {
	defer func() {
		if v := recover(); v != nil {
			result = &Result{Run: run, Err: &PanicError{v, debug.Stack()}}
		}
	}()
	r := &Result{Run: run}
	if r.Err = l.fill(ctx, r); r.Err != nil {
		return &Result{Run: run, Err: r.Err}
	}
	return r
}

// fill reads and fits the run of r.
func (l *lab) fill(ctx context.Context, r *Result) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	club := l.study.Club(r.Run.Club)
	if club == nil {
		return fmt.Errorf("study: there is no club %q in the study", r.Run.Club)
	}
	hanging := l.reference(club)
	if hanging.err != nil {
		return hanging.err
	}
	rec, flags, err := l.read(r.Run.File, r.Run.Import, club)
	if err != nil {
		return err
	}
	if err := enough(rec, r.Run.File, club.Markers); err != nil {
		return err
	}
	r.Capture = describe(rec)
	r.Flags = slices.Concat(flags, capture.Inspect(rec, club.Markers), hanging.flags)
	r.Swing, err = fit(ctx, rec, club, hanging.pose, r.Run.Events)
	if err != nil {
		return fmt.Errorf("study: %s: %w", r.Run.File, err)
	}
	return nil
}

func describe(rec *capture.Recording) Capture {
	return Capture{Frames: rec.Frames(), Rate: rec.Rate(), Markers: len(rec.Markers()), SHA256: rec.Origin().SHA256}
}
