package main

import (
	"context"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

func newCheck() *cobra.Command {
	var dir, mapTo string
	cmd := configured(command("check", needInventory), []string{"format", "top"}, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		e, err := screen.NewEngine(l)
		if err != nil {
			return usage(err)
		}
		log, err := newRunLog(cmd)
		if err != nil {
			return err
		}
		src, err := log.open("check", args, dir, e.InputOptions())
		if err != nil {
			return err
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
	})
	bindLog(cmd)
	cmd.Flags().StringVar(&mapTo, "write-mapping", "", "new configuration `file` with suggestions for the list's own columns and words; see wallsift help mapping")
	cmd.Flags().StringVar(&dir, "out", "", "`folder` for rejects.csv; without it the rejected rows are printed")
	return cmd
}

// inventory reads all files, prints what was found, and writes the rejects to a
// folder if there is to be one.
func (c *checked) inventory(ctx context.Context, dir string, log *runLog) error {
	read := func(work string) (names, gone []string, err error) {
		show, clear := progress(os.Stderr, log.on)
		defer clear()
		err = c.read(ctx, work, func(rows int) { show(screen.Progress{Stage: "rows checked", Done: rows}) })
		return []string{report.RejectsCSV}, nil, err
	}
	var err error
	if dir != "" {
		err = putIn(dir, read)
	} else {
		_, _, err = read("")
	}
	if err != nil {
		return err
	}
	log.lap("read")
	return report.Print(os.Stdout, c.tables(dir), c.cfg.Output.Format, widthOf(os.Stdout))
}

func (c *checked) conclude(dir string, mapped []string, log *runLog) error {
	counts := screen.Counts{Accepted: c.in.Rows, Rows: c.in.Rows, Rejected: c.in.Rejected, BrokenFiles: c.in.BrokenFiles}
	notes := slices.Concat(c.src.Notes(), mapped, report.OwnColumns(&c.cfg.Output, c.src.Names()))
	where := "the rejected rows are listed above"
	if dir != "" {
		where = "see " + report.RejectsCSV + " in " + dir
	}
	err := outcome(counts, c.cfg.Run.MaxRejectedShare, where, "")
	log.done(counts, c.rejects, notes, err)
	if err == nil {
		log.say("%s can be screened, %s rejected\n", report.Counted(counts.Accepted, "row"), report.Counted(counts.Rejected, "row"))
	}
	return err
}

// checked is what reading an inventory brought up.
type checked struct {
	cfg     *config.Config
	src     *ingest.Source
	in      *screen.Intake // counts as a screening does
	rejects *report.Rejects
	words   words
	filled  map[string]int // rows that give a fact, by column name
}

func newChecked(cfg *config.Config, src *ingest.Source) *checked {
	return &checked{cfg: cfg, src: src, in: screen.NewIntake(src), words: words{counts: map[unread]unreadCount{}}, filled: map[string]int{}}
}

// read reads all files; rejects go to a file in a folder, where one is named. Its
// counts are those of a screening.
func (c *checked) read(ctx context.Context, folder string, progress func(int)) (err error) {
	if c.rejects, err = report.NewRejects(folder); err != nil {
		return err
	}
	columns := ingest.Columns()
	for t, err := range c.in.Read(ctx) {
		if err != nil {
			return err
		}
		for i := range t.Rows {
			for k := range columns {
				if t.Rows[i].Gives(&columns[k]) {
					c.filled[columns[k].Name]++
				}
			}
		}
		for _, r := range t.Rejects {
			c.words.add(r)
			if err := c.rejects.Add(r); err != nil {
				return err
			}
		}
		progress(c.in.Rows + c.in.Rejected)
	}
	return c.rejects.Close()
}
