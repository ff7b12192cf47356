package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"wallsift/screen"
	"wallsift/screen/store"
)

const (
	keepDays     = 90    // where nobody says otherwise; common practice, no source
	mostKeepDays = 36500 // a century; more is a slip
)

// storeFlags say where results are kept between runs, and for how long.
type storeFlags struct {
	dir  string
	days int
	set  func() bool // whether the days were given
}

// bindStore adds the flags --store and --store-days.
func bindStore(cmd *cobra.Command) *storeFlags {
	var f storeFlags
	cmd.Flags().StringVar(&f.dir, "store", "", "`folder` that keeps the results of hourly runs, so that the next night only runs what changed")
	cmd.Flags().IntVar(&f.days, "store-days", keepDays, "`days` that results no run asks for stay in the store, 0 for ever; tables do not depend on it")
	f.set = func() bool { return cmd.Flags().Changed("store-days") }
	return &f
}

// kept is the store of a run, nil without one.
type kept struct {
	s     *store.Store
	flags *storeFlags
	told  bool
}

func openKept(f *storeFlags, e *screen.Engine) (*kept, error) {
	if f.dir == "" {
		if f.set() {
			return nil, errors.New("--store-days is of no use without --store; name the folder that keeps results")
		}
		return nil, nil
	}
	if f.days < 0 || f.days > mostKeepDays {
		return nil, fmt.Errorf("--store-days %d: 0 (for ever) to %d were expected", f.days, mostKeepDays)
	}
	s, err := store.Open(f.dir, screen.KeeperMethod)
	if err != nil {
		return nil, err
	}
	e.Keep(s)
	return &kept{s: s, flags: f}, nil
}

// tell closes the store and says how it was used and what is wrong with it. It
// speaks once. Nothing of it goes into the results: they are the same with any
// store.
func (k *kept) tell(log *runLog) {
	if k == nil || k.told {
		return
	}
	k.told = true
	err := k.s.Tidy(time.Duration(k.flags.days) * 24 * time.Hour)
	k.s.Close()
	c, notes := k.s.Counters(), k.s.Notes()
	if err != nil {
		notes = append(notes, err.Error())
	}
	log.l.Info("store", "folder", k.flags.dir, "found", c.Hits, "new", c.Written, "dropped", c.Dropped, "damaged", c.Damaged)
	log.notes(notes)
	if c.Hits+c.Misses > 0 {
		dropped := ""
		if c.Dropped > 0 {
			dropped = fmt.Sprintf(", %d dropped that no run asked for in %d days", c.Dropped, k.flags.days)
		}
		log.say("store %s: %d results found, %d new%s\n", k.flags.dir, c.Hits, c.Written, dropped)
	}
}
