package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/page"
	"wallsift/screen/report/places"
	"wallsift/screen/report/workbook"
)

func newScreen() *cobra.Command {
	var metricsFile string
	cmd := command("screen", needInventory)
	keep := bindStore(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		log, err := newRunLog(cmd)
		if err != nil {
			return err
		}
		sum, err := screenInventory(cmd, args, log, keep)
		if metricsFile != "" {
			err = errors.Join(err, writeMetrics(metricsFile, metrics(sum, exitCode(err), time.Since(log.began).Seconds())))
		}
		return err
	}
	bindLog(cmd)
	cmd.Flags().StringVar(&metricsFile, "metrics", "", "`file` for figures of the run in the Prometheus text format, also of a run that fails")
	bind(cmd, screenFlags)
	return cmd
}

func needInventory(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return usage(fmt.Errorf("no inventory given; try: %s testdata/demo.csv", cmd.CommandPath()))
	}
	return nil
}

// screenInventory returns what came out, nil where the run failed before.
func screenInventory(cmd *cobra.Command, args []string, log *runLog, keep *kept) (*report.Summary, error) {
	l, err := load(cmd, screenFlags)
	if err != nil {
		return nil, err
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		return nil, usage(err)
	}
	if err := keep.open(cmd, e); err != nil {
		return nil, usage(err)
	}
	defer keep.tell(log) // also of a run that fails
	dir := l.Config.Output.Dir
	src, err := log.open("screen", args, dir, e.InputOptions())
	if err != nil {
		return nil, err
	}
	var run *screen.Run
	var rejects *report.Rejects
	var tables []report.Table
	var notes []string
	err = putIn(dir, func(work string) (names, gone []string, err error) {
		if rejects, err = report.NewRejects(work); err != nil {
			return nil, nil, err
		}
		show, clear := progress(os.Stderr, log.on)
		opt := screen.Options{Dir: work, Rejected: rejects.Add, Progress: show}
		opt.Provisional = func(r *screen.Run) {
			clear()
			log.say("provisional, by monthly balances: %s, of them %d with a strategy that is suited or suited after repairs; the hourly runs follow and decide\n",
				report.Counted(r.Counts.Accepted, "building"), r.BestBy[screen.Suited]+r.BestBy[screen.SuitedAfterRepairs])
		}
		run, err = e.Run(cmd.Context(), src, opt)
		clear()
		if err != nil {
			return nil, nil, err
		}
		defer run.Close()
		notes = slices.Concat(l.Notes.Texts(), src.Notes(), report.OwnColumns(&l.Config.Output, src.Names()), e.Notes, report.LeftOut(&l.Config.Output, run.Counts.Accepted))
		log.lap("read and judged")
		if err := rejects.Close(); err != nil {
			return nil, nil, err
		}
		if run.Counts.Accepted == 0 { // an empty ranking would only hide the last good one
			return []string{report.RejectsCSV}, nil, nil
		}
		manifest := report.NewManifest(version, l, e, run, notes)
		tables, err = writeResults(cmd.Context(), work, e, run, &l.Config, manifest)
		notes = manifest.Notes
		return append([]string{report.RejectsCSV, report.ManifestJSON}, manifest.Files...), config.ResultFiles, err
	})
	if err != nil {
		return nil, err
	}
	if len(tables) > 0 {
		if err := report.Print(os.Stdout, tables, l.Config.Output.Format, widthOf(os.Stdout)); err != nil {
			return nil, err
		}
		log.lap("written")
	}
	keep.tell(log)
	return conclude(&l.Config, run, rejects, notes, log)
}

// writeResults writes the files that are asked for and run.json to a folder, those
// that do not need each other at the same time, and returns the tables to print.
func writeResults(ctx context.Context, dir string, e *screen.Engine, run *screen.Run, cfg *config.Config, m *report.Manifest) ([]report.Table, error) {
	asked := func(name string) bool { return slices.Contains(m.Files, name) }
	g, ctx := errgroup.WithContext(ctx)
	run = run.In(ctx)
	if names := slices.DeleteFunc([]string{report.RankingCSV, report.RankingParquet}, func(name string) bool { return !asked(name) }); len(names) > 0 {
		g.Go(func() error { return report.WriteRanking(dir, e, run, names...) })
	}
	var tables []report.Table
	var notes []string
	g.Go(func() error {
		works := ""
		if asked(report.WorkListCSV) {
			works = dir
		}
		trades, err := report.WriteWorks(works, e, run)
		if err != nil {
			return err
		}
		visits, err := report.NewVisits(e, run)
		if err != nil {
			return err
		}
		if tables, err = report.Overview(e, run, trades, visits, cfg.Output.Top); err != nil {
			return err
		}
		results := report.Results{Engine: e, Run: run, Manifest: m, Trades: trades, Visits: visits, Shown: report.Shown(e, run, visits)}
		if asked(report.SurveyCSV) {
			if err := visits.Write(dir); err != nil {
				return err
			}
		}
		if asked(workbook.XLSX) {
			cut, err := workbook.Write(ctx, dir, results)
			if err != nil {
				return err
			}
			notes = append(notes, cut...)
		}
		if asked(places.GeoJSON) {
			mapped, err := places.Write(dir, e, run)
			if err != nil {
				return err
			}
			if note := mapped.Note(); note != "" {
				notes = append(notes, note)
			}
		}
		if asked(page.HTML) {
			return page.Write(dir, results)
		}
		return nil
	})
	if err := g.Wait(); err != nil {
		return nil, err
	}
	m.Notes = append(m.Notes, notes...)
	return tables, m.Write(dir)
}

// conclude says how a run ended, to people or to the log, and gives its exit
// code.
func conclude(cfg *config.Config, run *screen.Run, rejects *report.Rejects, notes []string, log *runLog) (*report.Summary, error) {
	where := fmt.Sprintf("see %s in %s", report.RejectsCSV, cfg.Output.Dir)
	err, sum := outcome(run.Counts, cfg.Run.MaxRejectedShare, where, ", or allow more"), report.Summarise(run)
	var best []any
	for v := range screen.NumVerdicts {
		best = append(best, slog.Int(strings.ReplaceAll(v.String(), " ", "_"), sum.Best[v.String()]))
	}
	log.done(run.Counts, rejects, notes, err, "walls", sum.Walls, "unread_files", sum.Unread,
		slog.Group("best_by_verdict", best...), "saved_kwh_a", sum.SavedKWh, "saved_at_homes", sum.SavedAt)
	tell(log, cfg, run, rejects)
	return &sum, err
}

// tell closes a run for people: what was left out, where the files are, and the
// cautions.
func tell(log *runLog, cfg *config.Config, run *screen.Run, rejects *report.Rejects) {
	const shown = 5
	for i, r := range rejects.First {
		if i == shown {
			log.say("  and more in %s\n", report.RejectsCSV)
			break
		}
		log.say("rejected %s\n", r)
	}
	walls := ""
	if n := run.Counts.Walls; n > 0 {
		walls = fmt.Sprintf(", %s of theirs with a row of their own", report.Counted(n, "wall"))
	}
	log.say("%s screened%s, %s rejected", report.Counted(run.Counts.Accepted, "building"), walls, report.Counted(run.Counts.Rejected, "row"))
	if n := run.Counts.BrokenFiles; n > 0 {
		log.say(", %s not read to their end", report.Counted(n, "file"))
	}
	log.say("; results are in %s\n", cfg.Output.Dir)
	width := widthOf(os.Stderr)
	log.say("%s\n%s\n", report.Wrap(report.Caution, width), report.Wrap(report.TierCaution(cfg.Run.Tier), width))
}

// outcome turns counts into the error that gives the exit code. where says where
// is listed what was left out, allow what else can be done.
func outcome(c screen.Counts, allowed float64, where, allow string) error {
	share := float64(c.Rejected) / float64(c.Rejected+c.Rows)
	switch {
	case c.Accepted == 0:
		return coded{fmt.Errorf("no building could be screened; %s", where), exitFailed}
	case c.BrokenFiles > 0:
		return coded{fmt.Errorf("%s; %s", broken(c.BrokenFiles), where), exitRejected}
	case share > allowed:
		return coded{fmt.Errorf("%.1f %% of the rows were rejected, run.max_rejected_share allows %.1f %%; %s%s", 100*share, 100*allowed, where, allow), exitRejected}
	}
	return nil
}
