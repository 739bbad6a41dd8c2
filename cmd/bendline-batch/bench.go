package main

import (
	"context"
	"fmt"
	"io"

	"bendline/app/study"
)

// bench writes what the bench says of each club and, with --swings, of the
// swings.
func bench(ctx context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	o := study.DefaultBenchOptions()
	o.SwingWeightZero = j.zero
	clubs, err := study.Bench(s, o)
	if err != nil {
		return err
	}
	write := func(swings *study.BenchSwings) error {
		return study.WriteFile(j.out, func(w io.Writer) error { return study.WriteBench(w, clubs, swings) })
	}
	if !j.swings {
		return write(nil)
	}
	a, err := j.analyzed(ctx)
	if err != nil {
		return err
	}
	c, err := study.Compare(a, "", "")
	if err != nil { // the bench of each club stands by itself
		fmt.Fprintln(j.stderr, "bendline-batch: no shafts are held against each other:", err)
		c = nil
	}
	held := study.HoldAgainstSwings(a, c, study.DefaultSwingOptions())
	if err := write(&held); err != nil {
		return err
	}
	return failedRuns(a)
}
