package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"bendline/app/study"
	"bendline/sampledata"
)

// demo writes the demo study.
func demo(ctx context.Context, j *job) error {
	dir := j.args[0]
	path := filepath.Join(dir, "study.json")
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s is there already; name another folder", path)
	}
	p := newProgress(j.stderr)
	err := sampledata.Demo().Write(ctx, dir, func(done, total int) { p.tell(done, total, "") })
	p.end()
	if err != nil {
		return err
	}
	fmt.Fprintf(j.stdout, "%s\n", path)
	return nil
}

// analyze writes the results of every run.
func analyze(ctx context.Context, j *job) error {
	if j.part != (study.Part{}) {
		return analyzePart(ctx, j)
	}
	a, err := j.analyzed(ctx)
	if err != nil {
		return err
	}
	if err := study.WriteFile(j.out, func(w io.Writer) error { return study.WriteResults(w, a) }); err != nil {
		return err
	}
	return failedRuns(a)
}

// series writes one run, frame by frame.
func series(ctx context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	run := s.Run(j.args[1])
	if run == nil {
		return fmt.Errorf("there is no run %q in %s", j.args[1], j.args[0])
	}
	r := study.AnalyzeRun(ctx, s, *run)
	if !r.OK() {
		return fmt.Errorf("run %q: %w", run.ID, r.Err)
	}
	return study.WriteFile(j.out, func(w io.Writer) error { return study.WriteSeries(w, r.Swing) })
}

// compare writes the comparison of two clubs.
func compare(ctx context.Context, j *job) error {
	a, err := j.analyzed(ctx)
	if err != nil {
		return err
	}
	c, err := study.CompareWith(ctx, a, j.choices, nil)
	if err != nil {
		return errors.Join(err, failedRuns(a))
	}
	tellFlagged(j.stderr, c)
	if err := study.WriteFile(j.out, func(w io.Writer) error { return study.WriteComparison(ctx, w, c) }); err != nil {
		return err
	}
	return failedRuns(a)
}

// analyzed opens and analyses the study that is the first argument.
func (j *job) analyzed(ctx context.Context) (*study.Analysis, error) {
	s, err := study.Open(j.args[0])
	if err != nil {
		return nil, err
	}
	return j.analysis(ctx, s)
}

// analysis analyses a study that was opened.
func (j *job) analysis(ctx context.Context, s *study.Study) (*study.Analysis, error) {
	if len(s.Runs) == 0 {
		return nil, fmt.Errorf("%s has no runs; add some to it", j.args[0])
	}
	p := newProgress(j.stderr)
	defer p.end()
	return study.Analyze(ctx, s, p.tell)
}

// failedRuns returns an error that names the runs that failed, a line each; nil
// if none did.
func failedRuns(a *study.Analysis) error {
	failed := a.Failed()
	if len(failed) == 0 {
		return nil
	}
	lines := make([]string, len(failed))
	for i, r := range failed {
		lines[i] = fmt.Sprintf("run %q: %v", r.Run.ID, r.Err)
	}
	return fmt.Errorf("%d of %d runs failed\n%s", len(failed), len(a.Results), strings.Join(lines, "\n"))
}
