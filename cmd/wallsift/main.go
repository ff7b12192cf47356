// Command wallsift screens portfolios of old masonry buildings for retrofit
// strategies. This package holds flags, wiring and exit codes, nothing else.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"wallsift/config"
)

// Exit codes.
const (
	exitDone     = 0
	exitFailed   = 1
	exitUsage    = 2 // bad usage or configuration
	exitRejected = 3 // done, but more was rejected than allowed
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
	os.Exit(run(ctx, os.Args[1:]))
}

func run(ctx context.Context, args []string) int {
	root := newRoot()
	root.SetArgs(args)
	began := false // an error before any command began is a slip on the command line
	root.PersistentPreRun = func(*cobra.Command, []string) { began = true }
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	var problems config.Problems
	var c coded
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(os.Stderr, "wallsift: stopped; no result file was changed")
		return exitFailed
	case errors.As(err, &c):
		fmt.Fprintln(os.Stderr, "wallsift:", err)
		return c.code
	case errors.As(err, &problems):
		fmt.Fprintf(os.Stderr, "wallsift: the configuration has problems:\n%v\n", err)
		return exitUsage
	}
	fmt.Fprintln(os.Stderr, "wallsift:", err)
	if !began {
		return exitUsage
	}
	return exitFailed
}
