// Command wallsift screens portfolios of old masonry buildings for retrofit
// strategies. This package holds flags, wiring and exit codes, nothing else.
package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report/picks"
	"wallsift/screen/results"
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
	error
	code int
}

func (c coded) Unwrap() error { return c.error }

func usage(err error) error { return coded{err, exitUsage} }

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:]))
}

// run gives a crash an exit code of its own: the runtime's would be that of bad usage.
func run(ctx context.Context, args []string) (code int) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(os.Stderr, "wallsift: %v\n", &screen.Crash{Cause: r, Stack: debug.Stack()})
			code = exitCrashed
		}
	}()
	root := newRoot()
	root.SetArgs(args)
	var out bytes.Buffer // cobra does not ask whether help and versions could be written
	root.SetOut(&out)
	began := false // an error before any command began is a slip on the command line
	root.PersistentPreRun = func(*cobra.Command, []string) { began = true }
	cmd, err := root.ExecuteContextC(ctx)
	if _, failed := out.WriteTo(os.Stdout); failed != nil {
		began, err = true, cmp.Or(err, failed)
	}
	var problems config.Problems
	code = exitCode(err)
	switch {
	case err == nil:
		return exitDone
	case code == exitFailed && errors.Is(err, context.Canceled):
		err = errors.New("stopped; no result file was changed")
	case errors.As(err, &problems):
		err = fmt.Errorf("the configuration has problems:\n%w", err)
	case code == exitFailed && !began:
		code = exitUsage
	}
	complain(cmd, code, err)
	return code
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
	case errors.As(err, &problems), errors.Is(err, results.ErrFolder), errors.Is(err, picks.ErrCosts):
		return exitUsage
	}
	return exitFailed
}
