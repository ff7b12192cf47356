// Command wallsift-beam is wallsift screen as an Apache Beam pipeline, for
// portfolios that one machine is too slow for: the same rows, on any Beam runner.
// This file holds flags and the order of the steps; work.go holds the steps.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/apache/beam/sdks/v2/go/pkg/beam"
	"github.com/apache/beam/sdks/v2/go/pkg/beam/runners"
	_ "github.com/apache/beam/sdks/v2/go/pkg/beam/runners/flink" // --runner=flink
	_ "github.com/apache/beam/sdks/v2/go/pkg/beam/runners/prism" // the local one, and with it --runner=universal

	"wallsift/config"
	"wallsift/screen"
)

func main() {
	in := config.Inputs{Env: os.Environ(), Flags: map[string]any{}}
	var j job
	flag.Func("config", "configuration `file`; repeat, later wins", func(s string) error { in.Files = append(in.Files, s); return nil })
	flag.Func("set", "set one value, `key=value`, such as run.seed=7; repeat", func(s string) error {
		key, value, ok := strings.Cut(s, "=")
		if !ok {
			return errors.New("expected key=value, such as run.seed=7")
		}
		in.Flags[key] = value
		return nil
	})
	flag.StringVar(&j.Out, "out", "", "`folder` for the results, shared by all workers; new or empty")
	flag.StringVar(&j.Store, "store", "", "`folder` that keeps the results of hourly runs, shared by all workers")
	flag.IntVar(&j.Part, "part_homes", 10000, "most `homes` in one file of the ranking")
	flag.Parse()
	beam.Init() // does not return in a worker
	j.Inventory = flag.Args()
	if err := j.run(context.Background(), in); err != nil {
		fmt.Fprintln(os.Stderr, "wallsift-beam:", err)
		os.Exit(1)
	}
}

// run checks what it can here, and then runs the pipeline to its end.
func (j job) run(ctx context.Context, in config.Inputs) error {
	l, err := config.Load(in)
	if err != nil {
		return fmt.Errorf("the configuration has problems: %w", err)
	}
	if _, err := screen.NewEngine(l); err != nil {
		return err
	}
	// Workers get the configuration as a whole: they see neither the files nor the
	// environment of this machine.
	var text bytes.Buffer
	if err := l.WriteYAML(&text, false); err != nil {
		return err
	}
	j.Config = text.String()
	switch {
	case len(j.Inventory) == 0 || slices.Contains(j.Inventory, "-"):
		return errors.New("name an inventory behind the flags: files, folders or globs that every worker sees; the standard input cannot be sent to them")
	case j.Out == "":
		return errors.New("--out: a folder that all workers share was expected")
	case j.Part < 1:
		return fmt.Errorf("--part_homes %d: 1 or more was expected", j.Part)
	}
	if err := os.MkdirAll(j.Out, 0o755); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	if old, err := os.ReadDir(j.Out); err != nil || len(old) > 0 {
		return errors.Join(fmt.Errorf("--out %s: the folder is not empty, and parts of two runs must not mix; name a new one", j.Out), err)
	}
	p, root := beam.NewPipelineWithRoot()
	build(root, j)
	runner := *runners.Runner
	if runner == "" {
		runner = "prism"
	}
	result, err := beam.Run(ctx, runner, p)
	if err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "results are in %s%s\n", j.Out, told(result))
	if parts, err := filepath.Glob(filepath.Join(j.Out, "ranking-*.parquet")); err != nil || len(parts) == 0 {
		return errors.Join(errors.New("no building could be screened; see rejects.csv"), err)
	}
	return nil
}

// told says what the workers counted, where the runner collects it.
func told(result beam.PipelineResult) (out string) {
	if result == nil {
		return ""
	}
	for _, c := range result.Metrics().Query(func(r beam.MetricResult) bool { return r.Namespace() == counted }).Counters() {
		out += fmt.Sprintf(", %s: %d", c.Name(), c.Result())
	}
	return out
}

// build lays the pipeline out:
//
//	read ─ rows by home ─┐                ┌ rows by home ───────────┐
//	     └ fates by home ┴ group ─ judge ─┤                         ├ group ─ part ─ group ─ write
//	                                      └ keys by order ─ rank ───┘
//
// The first group is also what spreads the load. A home takes the engine up to a
// hundred times as long as another one, and an inventory lists like homes together:
// the shuffle by the hash of the home's key scatters them, before anything slow is
// done. Grouped homes need no second shuffle.
//
// Ranks need one ordered pass for each order: overall, and within each strategy.
// Only keys pass there, 8 bytes and the id.
func build(root beam.Scope, j job) {
	rows, fates, names := beam.ParDo3(root.Scope("read"), &readFn{Job: j}, beam.Impulse(root))
	homes, keys := beam.ParDo2(root.Scope("judge"), &judgeFn{Job: j}, beam.CoGroupByKey(root, rows, fates))
	places := beam.ParDo(root.Scope("rank"), &rankFn{}, beam.GroupByKey(root, keys))
	parts := beam.ParDo(root.Scope("part"), &partFn{Job: j}, beam.CoGroupByKey(root, homes, places))
	beam.ParDo0(root.Scope("write"), &writeFn{Job: j}, beam.GroupByKey(root, parts), beam.SideInput{Input: names})
}
