package store

import (
	"fmt"
	"time"
)

// KeepDays is how many days results that no run asks for are kept where nobody
// says otherwise: a quarter of a year. Common practice, no source.
const KeepDays = 90

// mostDays is about a century; more is a slip.
const mostDays = 36500

// now is the clock; tests set it.
var now = time.Now

// ages says how old results are, in days since 1 January 1970 UTC. The day of a
// record is the one it was last asked for, give or take the days after which it
// is renewed.
type ages struct {
	today uint16 // lasts until the year 2149
	keep  int    // days, 0 = for ever
	renew int    // days after which a record that is asked for is written anew
}

func newAges(days int) (ages, error) {
	if days < 0 || days > mostDays {
		return ages{}, fmt.Errorf("store: keeping results for %d days: 0 (for ever) to %d were expected", days, mostDays)
	}
	if !canLock {
		days = 0 // nothing can be dropped, so nothing needs to be renewed
	}
	today := now().Unix() / (24 * 60 * 60)
	return ages{today: uint16(min(max(today, 0), 1<<16-1)), keep: days, renew: min(max(days/4, 1), 30)}, nil
}

// day is that of a record. One that lies ahead, by a clock that went wrong,
// counts as today: it neither outlives the others nor hides what is written
// after the clock was put right.
func (a *ages) day(written uint32) uint16 { return uint16(min(written, uint32(a.today))) }

func (a *ages) age(day uint16) int { return int(a.today) - int(day) }

// stale says whether a record that is asked for is to be written anew.
func (a *ages) stale(day uint16) bool { return a.keep > 0 && a.age(day) >= a.renew }

// limit is the age of a day from which on its record was surely not asked for in
// the days that are kept.
func (a *ages) limit() int { return a.keep + a.renew }

func (a *ages) expired(day uint16) bool { return a.keep > 0 && a.age(day) > a.limit() }

// expiredFile is expired for a file last written to at a time. What lies in a
// file is never younger than the file.
func (a *ages) expiredFile(written time.Time) bool {
	return a.keep > 0 && now().Sub(written) > time.Duration(a.limit()+1)*24*time.Hour
}
