package main

import (
	"context"
	"fmt"
	"runtime/debug"

	"bendline/app/study"
)

// version returns the version of the program and, where it was built from a
// checkout, the revision of that.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 {
				return study.Version + " (" + s.Value[:12] + ")"
			}
		}
	}
	return study.Version
}

func tellVersion(_ context.Context, j *job) error {
	fmt.Fprintln(j.stdout, "bendline-batch", version())
	return nil
}
