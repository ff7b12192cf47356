package damage

import "math"

// TimberLine is the pore humidity beside timber that falls in a straight line
// from RH0 at 0 °C to RH30 at 30 °C and holds beyond. Source: WTA 6-8 (0.95 and
// 0.86), from memory.
type TimberLine struct {
	RH0, RH30 float64 // 0–1
}

// At returns the limit (0–1) at a temperature in °C.
func (l TimberLine) At(theta float64) float64 {
	return l.RH0 + min(max(theta/30, 0), 1)*(l.RH30-l.RH0)
}

func (l TimberLine) usable() bool {
	return l.RH0 > 0 && l.RH30 > 0 && finite(l.RH0) && finite(l.RH30)
}

// TimberHumidity finds the day on which the pore humidity beside embedded
// timber, as daily mean, comes nearest to the line or lies furthest above it.
type TimberHumidity struct {
	Line TimberLine

	watch     watch
	rh, theta DailyMean
	days      int
	worst     float64
	day       TimberDay
}

// TimberDay is a day of the climate beside timber.
type TimberDay struct {
	RH    float64 // daily mean, 0–1, above 1 where there is free water; NaN when it cannot be judged
	Theta float64 // daily mean, °C
	Hour  int     // the last of the day, -1 when there is none
}

// Hours takes n hours, 24 at most, of one temperature (°C) and pore humidity (0–1).
// Means above 1 stay as they are: free water is worse than damp air.
func (t *TimberHumidity) Hours(hour, n int, theta, rh float64) {
	if !t.watch.take(hour, n, celsius(theta) && amount(rh)) {
		return
	}
	meanRH, _ := t.rh.Add(n, rh)
	meanTheta, full := t.theta.Add(n, theta)
	if !full {
		return
	}
	t.days++
	if use := meanRH / t.Line.At(meanTheta); t.days == 1 || use > t.worst {
		t.worst, t.day = use, TimberDay{meanRH, meanTheta, hour + n - 1 - t.rh.n}
	}
}

// Worst returns that day. An unfinished last day does not count.
func (t *TimberHumidity) Worst() TimberDay {
	if !t.watch.judged(t.days > 0 && t.Line.usable()) {
		return TimberDay{math.NaN(), math.NaN(), t.watch.brokenAt()}
	}
	return t.day
}
