package store

import "time"

// SetDay sets the clock of the package to noon of a day, 0 to the true one.
func SetDay(day int) {
	now = time.Now
	if day > 0 {
		now = func() time.Time { return time.Unix(int64(day)*24*60*60+12*60*60, 0) }
	}
}

// Day is the day that the package takes for today.
func Day() int { return int(now().Unix() / (24 * 60 * 60)) }
