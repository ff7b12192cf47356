package main

import (
	"cmp"
	"fmt"
	"log/slog"
	"maps"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// logModes are the kinds of structured log. Without one the standard error
// holds text for people.
var logModes = []string{"text", "json"}

func bindLog(cmd *cobra.Command) {
	cmd.Flags().String("log", "", "structured log on the standard error in place of text for people: text or json")
	cmd.RegisterFlagCompletionFunc("log", cobra.FixedCompletions(logModes, cobra.ShellCompDirectiveDefault))
}

// runLog writes the stages of a run as structured lines, or without a mode what
// people are told. It is for one goroutine.
type runLog struct {
	on     bool // structured; text for people is left out
	l      *slog.Logger
	began  time.Time
	lapsed time.Time
}

// newRunLog is the log of a command in the form that its --log asks for.
func newRunLog(cmd *cobra.Command) (*runLog, error) {
	now := time.Now()
	mode, _ := cmd.Flags().GetString("log") // none where the command has no such flag
	to := map[string]slog.Handler{"": slog.DiscardHandler, "text": slog.NewTextHandler(os.Stderr, nil), "json": slog.NewJSONHandler(os.Stderr, nil)}[mode]
	if to == nil {
		return nil, usage(fmt.Errorf("--log %q: expected one of %s", mode, strings.Join(logModes, ", ")))
	}
	return &runLog{on: mode != "", l: slog.New(to), began: now, lapsed: now}, nil
}

func (r *runLog) say(format string, about ...any) {
	if !r.on {
		fmt.Fprintf(os.Stderr, format, about...)
	}
}

func (r *runLog) open(command string, inventories []string, out string, opt ingest.Options) (*ingest.Source, error) {
	r.l.Info("started", "command", command, "version", version, "inventories", inventories, "out", out)
	src, err := ingest.Open(inventories, opt)
	if err != nil {
		return nil, usage(err)
	}
	for _, f := range src.Names().Files {
		size := int64(-1) // not a file, such as the standard input
		if info, err := os.Stat(f); err == nil {
			size = info.Size()
		}
		r.l.Info("input opened", "file", f, "bytes", size)
	}
	return src, nil
}

// lap closes a stage of the run and says how long it took.
func (r *runLog) lap(stage string) {
	now := time.Now()
	r.l.Info("stage done", "stage", stage, "seconds", now.Sub(r.lapsed).Seconds())
	r.lapsed = now
}

func (r *runLog) notes(list []string) {
	for _, n := range list {
		r.l.Warn("note", "text", n)
		r.say("note: %s\n", n)
	}
}

// done sums up a command that did its work, with the error that gives its exit code;
// more says what came out. Time and memory stand here and in the metrics alone:
// results are the same whenever and wherever they are made.
func (r *runLog) done(c screen.Counts, rejects *report.Rejects, notes []string, err error, more ...any) {
	if c.Rejected > 0 || c.BrokenFiles > 0 {
		var columns []any
		for _, name := range slices.Sorted(maps.Keys(rejects.ByColumn)) {
			columns = append(columns, slog.Int(cmp.Or(name, "(row or file)"), rejects.ByColumn[name]))
		}
		r.l.Warn("rejected", "rows", c.Rejected, "broken_files", c.BrokenFiles, slog.Group("problems_by_column", columns...))
	}
	r.notes(notes)
	r.l.Info("done", append([]any{"buildings", c.Accepted, "rejected_rows", c.Rejected, "exit_code", exitCode(err), "seconds", time.Since(r.began).Seconds(), "peak_memory_bytes", peakMemory()}, more...)...)
}

// complain is the last line of a command that failed, in the form that the
// command's --log asks for.
func complain(cmd *cobra.Command, code int, err error) {
	if r, bad := newRunLog(cmd); bad == nil && r.on {
		what := "failed"
		if code == exitRejected {
			what = "done, not all of it"
		}
		r.l.Error(what, "error", err.Error(), "exit_code", code)
		return
	}
	for line := range strings.Lines("wallsift: " + err.Error() + "\n") { // it may quote files and the command line
		fmt.Fprintln(os.Stderr, ingest.Printable(strings.TrimSuffix(line, "\n")))
	}
}
