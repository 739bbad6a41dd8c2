package study

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"bendline/capture"
	"bendline/kinematics"
)

// A Result is what came of one run. It is not changed after it is made.
type Result struct {
	Run      Run
	Err      error // why the run could not be analysed; of the fields below, only Names may then be filled
	Capture  Capture
	Names    []string // of the markers in the capture, as it has them
	Hanging  Capture  // the reference recording of its club
	Settings Settings // under which it was fitted
	Swing    *kinematics.Swing
	Flags    []capture.Flag
	Changed  bool // the capture is not that of the last analysis; known where results are kept

	club   *Club          // as it was then
	stamp  stamp          // of the capture then
	found  []capture.Flag // Flags without what Pool added
	pooled bool           // Pool made it
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
	done := 0
	err := Stream(ctx, s, s.Runs, nil, func(i int, r *Result) {
		a.Results[i] = r
		done++
		if p != nil {
			p(done, len(s.Runs), r.Run.ID)
		}
	})
	if err != nil {
		return nil, err
	}
	a.Results = Pool(a.Results)
	return a, nil
}

// Stream imports and fits runs of the study in their order, as many at a time
// as there are processors, and hands over each result with the index of its run
// as soon as it is there: found may be called from any goroutine, one call at a
// time. Each club's reference is read once. What keep holds is taken from it and
// what is worked out put into it; nil keeps nothing.
//
// A result says when contact began as its own run tells it: Pool puts all
// together. Stream returns an error only when ctx is cancelled.
func Stream(ctx context.Context, s *Study, runs []Run, keep *Keep, found func(i int, r *Result)) error {
	l := newLab(s)
	defer l.close()
	seen := keep.seen(s)
	var mu sync.Mutex
	each(ctx, len(runs), func(i int) {
		r := l.kept(ctx, runs[i], keep, seen)
		mu.Lock()
		defer mu.Unlock()
		if ctx.Err() == nil {
			found(i, r)
		}
	})
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	keep.close(s, seen)
	return nil
}

// Pool returns the results with first contact where the runs together say that
// it was, and with what is then doubtful about their values. Runs that failed,
// and nil for one that is not analysed yet, stay as they are; so do results that
// were pooled and would not change.
func Pool(results []*Result) []*Result {
	var swings []*kinematics.Swing
	for _, r := range results {
		if r != nil && r.OK() {
			swings = append(swings, r.Swing)
		}
	}
	contact := kinematics.PoolContact(swings)
	out := slices.Clone(results)
	for i, r := range results {
		if r == nil || !r.OK() {
			continue
		}
		if swing := r.Swing.WithContact(contact); !r.pooled || swing != r.Swing {
			c := *r
			if !r.pooled {
				c.found = r.Flags
			}
			c.Swing = swing
			c.Flags = append(slices.Clip(c.found), doubts(c.Swing)...)
			c.pooled = true
			out[i] = &c
		}
	}
	return out
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
	return Pool([]*Result{l.analyze(ctx, run)})[0]
}

// A PanicError is a defect of the program that was met in a run.
type PanicError struct {
	Value any
	Stack []byte // where it happened
}

func (e *PanicError) Error() string {
	return fmt.Sprintf("study: the program failed on this run, which is a defect in it: %v", e.Value)
}

// guard calls do; where that meets a defect, it is the error.
func guard(do func()) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &PanicError{v, debug.Stack()}
		}
	}()
	do()
	return nil
}

// analyze imports and fits one run.
func (l *lab) analyze(ctx context.Context, run Run) *Result {
	r := &Result{Run: run, Settings: l.study.Settings}
	if err := guard(func() { r.Err = l.fill(ctx, r) }); err != nil {
		return &Result{Run: run, Err: err}
	}
	if r.Err != nil {
		return &Result{Run: run, Err: r.Err, Names: r.Names, Settings: r.Settings, club: r.club, stamp: r.stamp}
	}
	return r
}

// club returns the club of a run.
func (l *lab) club(run Run) (*Club, error) {
	if c := l.study.Club(run.Club); c != nil {
		return c, nil
	}
	return nil, fmt.Errorf("study: there is no club %q in the study", run.Club)
}

// fill reads and fits the run of r.
func (l *lab) fill(ctx context.Context, r *Result) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	club, err := l.club(r.Run)
	if err != nil {
		return err
	}
	hanging := l.reference(club)
	if hanging.err != nil {
		return hanging.err
	}
	r.club, r.stamp = club, l.folder.stamp(r.Run.File)
	rec, flags, err := l.readRun(r.Run, club)
	if err != nil {
		return err
	}
	r.Names = rec.Markers()
	if err := enough(rec, r.Run.File, club.Markers); err != nil {
		return err
	}
	r.Capture, r.Hanging = describe(rec), describe(hanging.recording)
	r.Flags = slices.Concat(flags, capture.Inspect(rec, club.Markers), hanging.flags, club.outOfSpec())
	r.Swing, err = fit(ctx, rec, club, hanging.pose, l.study.Settings, r.Run.Events)
	if (err != nil || r.Swing.RMS > poorFit) && l.mirrored(rec, club) {
		r.Swing = nil
		return fmt.Errorf("study: %s: the markers lie as in a mirror image of the hanging club: see that the club is of the right hand, that no labels are exchanged, and that both recordings have the same axes", r.Run.File)
	}
	if err != nil {
		if k := hanging.scale(rec, club); math.Abs(math.Log(k)) > math.Log(misscaled) {
			return fmt.Errorf("study: %s: its shaft markers are %.3g times as far apart as on the hanging club, which no unit of length puts right: it shows another club, or its numbers are scaled", r.Run.File, k)
		}
		return fmt.Errorf("study: %s: %w", r.Run.File, err)
	}
	r.Flags = append(withoutRepaired(r.Flags, r.Swing, club.Markers), misplaced(r.Swing, club.Markers)...)
	return nil
}

func describe(rec *capture.Recording) Capture {
	return Capture{Frames: rec.Frames(), Rate: rec.Rate(), Markers: len(rec.Markers()), SHA256: rec.Origin().SHA256}
}
