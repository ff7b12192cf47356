// Command wallsift screens portfolios of old masonry buildings for retrofit
// strategies. This package holds flags, wiring and exit codes, nothing else.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/compare"
	"wallsift/screen/report/picks"
)

// Exit codes.
const (
	exitDone     = 0
	exitFailed   = 1
	exitUsage    = 2  // bad usage or configuration
	exitRejected = 3  // done, but more was rejected than allowed
	exitMoved    = 4  // compared, something moved, and the command was asked to say so
	exitCrashed  = 70 // a defect of this program
)

// version is set at build time with -ldflags "-X main.version=…".
var version = "development"

// coded is an error that asks for an exit code of its own.
type coded struct {
	code int
	err  error
}

func (c coded) Error() string { return c.err.Error() }
func (c coded) Unwrap() error { return c.err }

func usage(err error) error { return coded{exitUsage, err} }

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(guarded(ctx, os.Args[1:]))
}

// guarded gives a crash an exit code of its own: the runtime's would be that of
// bad usage.
func guarded(ctx context.Context, args []string) (code int) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(os.Stderr, "wallsift: %v\n", &screen.Crash{Cause: r, Stack: debug.Stack()})
			code = exitCrashed
		}
	}()
	return run(ctx, args)
}

func run(ctx context.Context, args []string) int {
	root := newRoot()
	root.SetArgs(args)
	out := &told{w: os.Stdout}
	root.SetOut(out)
	began := false // an error before any command began is a slip on the command line
	root.PersistentPreRun = func(*cobra.Command, []string) { began = true }
	cmd, err := root.ExecuteContextC(ctx)
	if err == nil {
		err = out.err
	}
	if err == nil {
		return exitDone
	}
	var problems config.Problems
	code, text := exitCode(err), err.Error()
	switch {
	case code == exitFailed && errors.Is(err, context.Canceled):
		text = "stopped; no result file was changed"
	case errors.As(err, &problems):
		text = "the configuration has problems:\n" + text
	case code == exitFailed && !began && out.err == nil:
		code = exitUsage
	}
	complain(cmd, os.Stderr, code, text)
	return code
}

// told remembers that a text could not be written: cobra prints help and versions
// and does not ask.
type told struct {
	w   io.Writer
	err error
}

func (t *told) Write(p []byte) (n int, err error) {
	n, err = t.w.Write(p)
	t.err = cmp.Or(t.err, err)
	return n, err
}

// exitCode is that of a command that ended with an error, or with none.
func exitCode(err error) int {
	var problems config.Problems
	var c coded
	var crash *screen.Crash
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &crash):
		return exitCrashed
	case errors.Is(err, context.Canceled):
		return exitFailed
	case errors.As(err, &c):
		return c.code
	case errors.As(err, &problems), errors.Is(err, compare.ErrFolder), errors.Is(err, picks.ErrCosts):
		return exitUsage
	}
	return exitFailed
}
