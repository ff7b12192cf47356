package damage

import "math"

// TimberHumidity compares the pore humidity beside embedded timber, as daily
// means, with a limit that falls in a straight line from RH0 at 0 °C to RH30 at
// 30 °C and holds beyond. Source: WTA 6-8 (0.95 and 0.86), from memory.
type TimberHumidity struct {
	RH0, RH30 float64 // 0–1

	watch     watch
	rh, theta DailyMean
	days      int
	worst     Finding
}

// Hour takes an hour's temperature (°C) and pore humidity (0–1). Means above 1
// stay as they are: free water is worse than damp air.
func (t *TimberHumidity) Hour(hour int, theta, rh float64) {
	if !t.watch.take(hour, celsius(theta) && amount(rh)) {
		return
	}
	meanRH, _ := t.rh.Add(rh)
	meanTheta, full := t.theta.Add(theta)
	if !full {
		return
	}
	t.days++
	f := find(meanRH, t.limit(meanTheta), hour)
	if t.days == 1 || f.Utilisation > t.worst.Utilisation {
		t.worst = f
	}
}

// Finding returns the day with the largest ratio of humidity to limit; its hour
// is the last of that day. An unfinished last day does not count.
func (t *TimberHumidity) Finding() Finding {
	if !t.watch.judged(t.days > 0 && amount(t.RH0) && amount(t.RH30)) {
		return find(math.NaN(), t.RH0, t.watch.brokenAt())
	}
	return t.worst
}

func (t *TimberHumidity) limit(theta float64) float64 {
	x := min(max(theta/30, 0), 1)
	return t.RH0 + x*(t.RH30-t.RH0)
}
