package main

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

func newCheck() *cobra.Command {
	var s shared
	var dir, mapTo string
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
			log, err := newRunLog(cmd, os.Stderr)
			if err != nil {
				return err
			}
			log.started("check", args, dir)
			src, err := ingest.Open(args, e.InputOptions())
			if err != nil {
				return usage(err)
			}
			c := newChecked(&l.Config, src)
			if err := c.inventory(cmd.Context(), dir, log); err != nil {
				return err
			}
			var mapped []string
			if mapTo != "" {
				if mapped, err = c.writeMapping(cmd.Context(), mapTo, e.InputOptions(), args); err != nil {
					return err
				}
			}
			return c.conclude(dir, mapped, log)
		},
	}
	s.bind(cmd, map[string]string{"format": "output.format", "top": "output.top"})
	bindLog(cmd)
	cmd.Flags().StringVar(&mapTo, "write-mapping", "", "new configuration `file` with suggestions for the list's own columns and words; see wallsift help mapping")
	cmd.Flags().StringVar(&dir, "out", "", "`folder` for rejects.csv; without it the rejected rows are printed")
	return cmd
}

// inventory reads all files, prints what was found, and writes the rejects to a
// folder if there is to be one.
func (c *checked) inventory(ctx context.Context, dir string, log *runLog) error {
	log.opened(c.src.Files())
	read := func(add func(ingest.Reject) error) error {
		show, clear := progress(os.Stderr, log.on)
		defer clear()
		c.reject = log.counting(add)
		return c.read(ctx, func(rows int) { show(screen.Progress{Stage: "rows checked", Done: rows}) })
	}
	var err error
	if dir == "" {
		err = read(func(ingest.Reject) error { return nil })
	} else {
		err = putIn(dir, func(work string) (names, gone []string, err error) {
			r, err := report.NewRejects(work)
			if err != nil {
				return nil, nil, err
			}
			return []string{report.RejectsCSV}, nil, cmp.Or(read(r.Add), r.Close())
		})
	}
	if err != nil {
		return err
	}
	log.lap("read")
	return report.Print(os.Stdout, c.tables(dir), c.cfg.Output.Format, terminalWidth())
}

// conclude says how the check ended and gives its exit code.
func (c *checked) conclude(dir string, mapped []string, log *runLog) error {
	counts := screen.Counts{Accepted: c.accepted, Rows: c.accepted, Rejected: c.in.Rejected, BrokenFiles: c.in.BrokenFiles}
	log.rejects(counts)
	log.notes(slices.Concat(c.src.Notes(), mapped, report.OwnColumns(&c.cfg.Output, c.src.Names())))
	where := "the rejected rows are listed above"
	if dir != "" {
		where = "see " + report.RejectsCSV + " in " + dir
	}
	err := outcome(counts, c.cfg.Run.MaxRejectedShare, where, "")
	log.done(counts.Accepted, counts.Rejected, exitCode(err))
	if err == nil {
		log.say("%s can be screened, %s rejected\n", report.Counted(counts.Accepted, "row"), report.Counted(counts.Rejected, "row"))
	}
	return err
}

// checked is what reading an inventory brought up.
type checked struct {
	cfg      *config.Config
	src      *ingest.Source
	in       *screen.Intake // counts as a screening does
	reject   func(ingest.Reject) error
	accepted int
	first    []ingest.Reject
	words    words
	filled   map[string]int // rows that give a fact, by column name
	// good and bad rows by file
	good, bad map[string]int
}

// keptRejects bounds the rejects held for printing.
const keptRejects = 1000

func newChecked(cfg *config.Config, src *ingest.Source) *checked {
	return &checked{cfg: cfg, src: src, in: screen.NewIntake(src), words: words{counts: map[unread]unreadCount{}},
		filled: map[string]int{}, good: map[string]int{}, bad: map[string]int{}}
}

// read reads all files. Its counts are those of a screening.
func (c *checked) read(ctx context.Context, progress func(int)) error {
	files, columns := c.src.Files(), ingest.Columns()
	for {
		batch, err := c.src.Next(ctx)
		if errors.Is(err, io.EOF) {
			return c.refuseHomes()
		}
		if err != nil {
			return err
		}
		buildings, rejects := batch.Decode()
		before := c.in.Rejected
		counts, rejects := c.in.Take(buildings, rejects)
		for i := range buildings {
			if b := &buildings[i]; counts[i] {
				c.accepted++
				c.good[files[b.File]]++
				for k := range columns {
					if b.Gives(&columns[k]) {
						c.filled[columns[k].Name]++
					}
				}
			}
		}
		if more := c.in.Rejected - before; more > 0 {
			c.bad[rejects[0].File] += more // a batch is of one file
		}
		if err := c.tell(rejects...); err != nil {
			return err
		}
		progress(c.accepted + c.in.Rejected)
	}
}

// refuseHomes takes back the walls of homes whose key is the id of another row.
func (c *checked) refuseHomes() error {
	for _, h := range c.in.Homes() {
		if h.Refused == nil {
			continue
		}
		c.accepted -= len(h.Rows)
		c.good[h.Refused.File] -= len(h.Rows)
		c.bad[h.Refused.File] += len(h.Rows)
		if err := c.tell(*h.Refused); err != nil {
			return err
		}
	}
	return nil
}

// tell keeps what is printed of rejects and passes them on.
func (c *checked) tell(rejects ...ingest.Reject) error {
	for _, r := range rejects {
		c.words.add(r)
		if len(c.first) < keptRejects {
			c.first = append(c.first, r)
		}
		if err := c.reject(r); err != nil {
			return err
		}
	}
	return nil
}
