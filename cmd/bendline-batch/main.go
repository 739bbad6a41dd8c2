// Bendline-batch does without a window what bendline does in one: it reads
// studies and captures, analyses them, and writes results, comparisons and
// slides. bendline-batch help lists the commands.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends it at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// Exit codes.
const (
	exitOK     = 0
	exitFailed = 1 // a file was refused, or a run could not be analysed
	exitUsage  = 2 // the command line was not understood
)

// usageError is a mistake on the command line.
type usageError string

func (e usageError) Error() string { return string(e) }

// run carries out a command line and returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	err := dispatch(ctx, args, stdout, stderr)
	var usage usageError
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(stderr, "bendline-batch: interrupted; nothing was written")
	case errors.As(err, &usage):
		fmt.Fprintln(stderr, "bendline-batch:", err)
		return exitUsage
	default:
		fmt.Fprintln(stderr, "bendline-batch:", err)
	}
	return exitFailed
}
