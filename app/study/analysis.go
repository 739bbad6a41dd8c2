package study

import (
	"context"
	"errors"

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

// Progress is told how many of the runs are done, and which was finished last.
// It may be called from any goroutine, one call at a time.
type Progress func(done, total int, run string)

// Analyze imports and fits every run of the study, several at a time. A run
// that fails has its error in its result; the others go on. It returns an error
// only when ctx is cancelled.
func Analyze(ctx context.Context, s *Study, p Progress) (*Analysis, error) {
	return nil, errors.New("study: not written yet")
}
