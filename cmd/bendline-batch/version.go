package main

import (
	"context"
	"fmt"
	"runtime/debug"
)

// version returns the version of the module the program was built from: a tag,
// or the revision.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(devel)"
	}
	return info.Main.Version
}

func tellVersion(_ context.Context, j *job) error {
	fmt.Fprintln(j.stdout, "bendline-batch", version())
	return nil
}
