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

// kept is where results are kept between runs, and for how long.
type kept struct {
	dir  string
	days int
	s    *store.Store // while it is open
}

func bindStore(cmd *cobra.Command) *kept {
	var k kept
	cmd.Flags().StringVar(&k.dir, "store", "", "`folder` that keeps the results of hourly runs, so that the next night only runs what changed")
	cmd.Flags().IntVar(&k.days, "store-days", keepDays, "`days` that results no run asks for stay in the store, 0 for ever; tables do not depend on it")
	return &k
}

func (k *kept) open(cmd *cobra.Command, e *screen.Engine) (err error) {
	switch {
	case k.dir == "" && cmd.Flags().Changed("store-days"):
		return errors.New("--store-days is of no use without --store; name the folder that keeps results")
	case k.dir == "":
		return nil
	case k.days < 0 || k.days > mostKeepDays:
		return fmt.Errorf("--store-days %d: 0 (for ever) to %d were expected", k.days, mostKeepDays)
	}
	if k.s, err = store.Open(k.dir, screen.KeeperMethod); err == nil {
		e.Keeper = k.s
	}
	return err
}

// tell closes the store and says how it was used and what is wrong with it. It
// speaks once. Nothing of it goes into the results: they are the same with any
// store.
func (k *kept) tell(log *runLog) {
	if k.s == nil {
		return
	}
	err := k.s.Tidy(time.Duration(k.days) * 24 * time.Hour)
	k.s.Close()
	c, notes := k.s.Counters(), k.s.Notes()
	k.s = nil
	if err != nil {
		notes = append(notes, err.Error())
	}
	log.l.Info("store", "folder", k.dir, "found", c.Hits, "new", c.Written, "dropped", c.Dropped, "damaged", c.Damaged)
	log.notes(notes)
	if c.Hits+c.Misses > 0 {
		dropped := ""
		if c.Dropped > 0 {
			dropped = fmt.Sprintf(", %d dropped that no run asked for in %d days", c.Dropped, k.days)
		}
		log.say("store %s: %d results found, %d new%s\n", k.dir, c.Hits, c.Written, dropped)
	}
}
