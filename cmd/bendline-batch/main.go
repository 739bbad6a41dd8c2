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

// An output remembers why something could not be written.
type output struct {
	to  io.Writer
	err error
}

func (o *output) Write(p []byte) (int, error) {
	n, err := o.to.Write(p)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

// run carries out a command line and returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	out := &output{to: stdout}
	err := dispatch(ctx, args, out, stderr)
	if err == nil {
		err = out.err
	}
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
