package main

import (
	"context"
	"fmt"
	"io"

	"bendline/app/study"
	"bendline/capture"
)

// convert writes a capture as plain CSV.
func convert(_ context.Context, j *job) error {
	rec, err := capture.ReadFile(j.args[0], capture.Hints{})
	if err != nil {
		return err
	}
	if o := rec.Origin(); o.UnitGuessed {
		fmt.Fprintf(j.stderr, "bendline-batch: %s does not say its unit; it was taken to be in %s\n", j.args[0], o.Unit.Word())
	}
	if rec.Origin().RateGuessed {
		fmt.Fprintf(j.stderr, "bendline-batch: %s does not say its rate; it was taken to be %.6g frames a second\n", j.args[0], rec.Rate())
	}
	for _, f := range rec.Origin().Flags {
		fmt.Fprintf(j.stderr, "bendline-batch: %s: %s\n", j.args[0], f.Detail)
	}
	return study.WriteFile(j.out, func(w io.Writer) error { return capture.WriteText(w, rec) })
}
