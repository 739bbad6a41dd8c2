package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"bendline/app/study"
	"bendline/capture"
)

// check tells what is in each file of a study and what is wrong with it.
func check(ctx context.Context, j *job) error {
	s, err := study.Open(j.args[0])
	if err != nil {
		return err
	}
	readings, err := study.Read(ctx, s)
	if err != nil {
		return err
	}
	failed := 0
	for _, r := range readings {
		tell(j.stdout, r)
		if r.Err != nil {
			failed++
		}
	}
	if failed > 0 {
		return fmt.Errorf("%d of %d files cannot be used", failed, len(readings))
	}
	return nil
}

// tell prints a reading: a line for the file, and one for each thing about it.
func tell(w io.Writer, r study.Reading) {
	what := fmt.Sprintf("run %s, club %s", r.Run, r.Club)
	if r.Run == "" {
		what = "reference of club " + r.Club
	}
	fmt.Fprintf(w, "%s: %s\n", capture.Shown(r.File), what)
	if c := r.Capture; c.Frames > 0 {
		fmt.Fprintf(w, "  %d frames at %.6g a second, %d markers, %s, %s\n", c.Frames, c.Rate, c.Markers, r.Origin.Unit.Word(), r.Origin.Layout)
	}
	if names := r.Beside; len(names) > 0 {
		const most = 8
		if more := len(names) - most; more > 0 {
			names = append(names[:most:most], fmt.Sprintf("and %d more", more))
		}
		fmt.Fprintf(w, "  not of the club, and not used: %s\n", strings.Join(names, ", "))
	}
	for _, f := range r.Flags {
		fmt.Fprintf(w, "  %s%s: %s\n", f.Code, where(f), f.Detail)
	}
	if r.Err != nil {
		fmt.Fprintf(w, "  cannot be used: %v\n", r.Err)
	}
}

// where says which marker a flag is about, and when.
func where(f capture.Flag) string {
	s := ""
	if f.Marker != "" {
		s += " " + f.Marker
	}
	if f.From != 0 || f.To != 0 {
		s += fmt.Sprintf(" %.4f to %.4f s", f.From, f.To)
	}
	return s
}
