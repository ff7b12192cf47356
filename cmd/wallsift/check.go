package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen/report"
)

func newCheck() *cobra.Command {
	var s shared
	var dir, mapTo string
	var mode *string
	cmd := &cobra.Command{
		Use:   "check INVENTORY...",
		Short: "Read an inventory and say what is wrong with it, without judging any building",
		Long: "Reads inventories as screen does and prints how many rows are good, which columns were used and\n" +
			"how often they are filled, what the facts that are not given cost, each value that could not be\n" +
			"read, and the rejected rows. With --out the rejected rows go to rejects.csv in that folder\n" +
			"instead. With --write-mapping a new configuration file is written that maps the list's own\n" +
			"columns and words as far as they can be guessed. Nothing else is written.\n\n" +
			"Exit codes are those of screen: 0 done, 1 no row is good, 2 bad usage or configuration, 3 more\n" +
			"rows rejected than run.max_rejected_share allows, or a file could not be read to its end.",
		Example: "  wallsift check testdata/demo.csv\n  wallsift check --config mine.yaml --out faults 'homes/*.csv'",
		Args:    needInventory,
		RunE: func(cmd *cobra.Command, args []string) error {
			l, e, err := s.engine(cmd)
			if err != nil {
				return err
			}
			log, err := newRunLog(*mode, os.Stderr)
			if err != nil {
				return err
			}
			log.started("check", args, dir)
			src, err := ingest.Open(args, e.InputOptions())
			if err != nil {
				return usage(err)
			}
			return checkInventory(cmd.Context(), &l.Config, src, dir, log, func(c *checked) ([]string, error) {
				if mapTo == "" {
					return nil, nil
				}
				return c.writeMapping(cmd.Context(), mapTo, e.InputOptions(), args)
			})
		},
	}
	s.bind(cmd, map[string]string{"format": "output.format", "top": "output.top"})
	mode = bindLog(cmd)
	cmd.Flags().StringVar(&mapTo, "write-mapping", "", "new configuration `file` with suggestions for the list's own columns and words; see wallsift help mapping")
	cmd.Flags().StringVar(&dir, "out", "", "`folder` for rejects.csv; without it the rejected rows are printed")
	return cmd
}

func checkInventory(ctx context.Context, cfg *config.Config, src *ingest.Source, dir string, log *runLog, mapping func(*checked) (notes []string, err error)) error {
	log.opened(src.Files())
	var sink func(ingest.Reject) error
	finish := func(bool) error { return nil }
	if dir != "" {
		var err error
		if sink, finish, err = rejectsTo(dir); err != nil {
			return err
		}
	}
	c := newChecked(cfg, src)
	c.reject = log.counting(sink)
	counter, clear := log.counter(os.Stderr, "rows checked")
	err := c.read(ctx, counter)
	clear()
	if failed := finish(err == nil); err == nil {
		err = failed
	}
	if err != nil {
		return err
	}
	if err := report.Print(os.Stdout, c.tables(dir), cfg.Output.Format, terminalWidth()); err != nil {
		return err
	}
	log.lap("read")
	log.rejects(c.rejected, c.broken)
	mapped, err := mapping(c)
	if err != nil {
		return err
	}
	notes := slices.Concat(src.Notes(), mapped, report.OwnColumns(&cfg.Output, src.Names()))
	log.notes(notes)
	if !log.structured() {
		for _, n := range notes {
			fmt.Fprintln(os.Stderr, "note:", n)
		}
	}
	where := "the rejected rows are listed above"
	if dir != "" {
		where = "see " + report.RejectsCSV + " in " + dir
	}
	code, err := c.outcome(where)
	log.done(c.accepted, c.rejected, code)
	if err != nil {
		return err
	}
	if !log.structured() {
		fmt.Fprintf(os.Stderr, "%s can be screened, %s rejected\n", report.Counted(c.accepted, "row"), report.Counted(c.rejected, "row"))
	}
	return nil
}

// rejectsTo writes rejects.csv to a folder. The file takes its place only when
// finish is told that it is whole, so that a stopped check leaves the last one
// as it was.
func rejectsTo(dir string) (add func(ingest.Reject) error, finish func(whole bool) error, err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, nil, fmt.Errorf("making the folder for %s: %w; name another with --out", report.RejectsCSV, err)
	}
	work, tidy, err := unfinished(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("%w; name another with --out", err)
	}
	r, err := report.NewRejects(work)
	if err != nil {
		tidy()
		return nil, nil, err
	}
	finish = func(whole bool) error {
		defer tidy()
		if err := r.Close(); err != nil || !whole {
			return err
		}
		return place(work, dir, []string{report.RejectsCSV}, nil)
	}
	return r.Add, finish, nil
}

// checked is what reading an inventory brought up.
type checked struct {
	cfg      *config.Config
	src      *ingest.Source
	reject   func(ingest.Reject) error
	accepted int
	rejected int // rows
	broken   int // files not read to their end
	first    []ingest.Reject
	words    words
	filled   map[string]int      // rows that give a fact, by column name
	headers  map[string][]string // headers it was read from, by column name
	perFile  map[string]*fileCount
}

type fileCount struct{ accepted, rejected int }

// keptRejects bounds the rejects held for printing.
const keptRejects = 1000

func newChecked(cfg *config.Config, src *ingest.Source) *checked {
	c := &checked{cfg: cfg, src: src, filled: map[string]int{}, headers: map[string][]string{}, perFile: map[string]*fileCount{}}
	for _, f := range src.Files() {
		c.perFile[f] = &fileCount{}
	}
	return c
}

// read reads all files. Its counts are those of a screening.
func (c *checked) read(ctx context.Context, progress func(int)) error {
	files := c.src.Files()
	seen := ingest.NewSeen(c.src)
	for {
		batch, err := c.src.NextOrDone(ctx)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		c.note(batch)
		buildings, rejects := batch.Decode()
		for i := range buildings {
			b := &buildings[i]
			if again, twice := seen.Check(b); twice {
				rejects = append(rejects, again)
				continue
			}
			c.accepted++
			c.perFile[files[b.File]].accepted++
			c.fill(b)
		}
		slices.SortStableFunc(rejects, func(a, b ingest.Reject) int { return cmp.Compare(a.Line, b.Line) })
		last := int64(-1)
		for _, r := range rejects {
			switch {
			case r.Whole:
				c.broken++
			case r.Line != last:
				c.rejected++
				c.perFile[r.File].rejected++
			}
			last = r.Line
			c.words.add(r)
			if len(c.first) < keptRejects {
				c.first = append(c.first, r)
			}
			if err := c.reject(r); err != nil {
				return err
			}
		}
		if progress != nil {
			progress(c.accepted + c.rejected)
		}
	}
}

// outcome turns counts into an exit code and its reason, by the rules of a
// screening.
func (c *checked) outcome(where string) (int, error) {
	rows := c.accepted + c.rejected
	fail := func(code int, why string, about ...any) (int, error) {
		return code, coded{code, fmt.Errorf("%s; %s", fmt.Sprintf(why, about...), where)}
	}
	switch {
	case c.accepted == 0:
		return fail(exitFailed, "no building could be screened")
	case c.broken > 0:
		return fail(exitRejected, "%s", broken(c.broken))
	case float64(c.rejected) > c.cfg.Run.MaxRejectedShare*float64(rows):
		return fail(exitRejected, "%.1f %% of the rows were rejected, run.max_rejected_share allows %.1f %%",
			100*float64(c.rejected)/float64(rows), 100*c.cfg.Run.MaxRejectedShare)
	}
	return exitDone, nil
}
