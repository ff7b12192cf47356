package damage

import (
	"cmp"
	"math"
	"slices"
)

// TimberLine is the pore humidity beside timber that falls in a straight line
// from RH0 at 0 °C to RH30 at 30 °C and holds beyond. Source: WTA 6-8 (0.95 and
// 0.86), from memory.
type TimberLine struct {
	RH0, RH30 float64 // 0–1, RH30 no higher than RH0
}

// At returns the limit (0–1) at a temperature in °C.
func (l TimberLine) At(theta float64) float64 { return l.RH0 + onLine(theta)*(l.RH30-l.RH0) }

// onLine is how far along the line a temperature lies, 0–1.
func onLine(theta float64) float64 { return min(max(theta/30, 0), 1) }

// Worst returns the day that comes nearest to the line or lies furthest above it.
func (l TimberLine) Worst(days []TimberDay) TimberDay {
	if len(days) == 0 || !(l.RH0 > 0 && l.RH30 > 0 && l.RH30 <= l.RH0 && finite(l.RH0)) {
		return TimberDay{math.NaN(), math.NaN(), -1}
	}
	return slices.MaxFunc(days, func(a, b TimberDay) int { return cmp.Compare(a.RH/l.At(a.Theta), b.RH/l.At(b.Theta)) })
}

// TimberHumidity keeps the days of the climate beside embedded timber that may be
// the worst, whatever the line: a changed limit asks for no new run.
type TimberHumidity struct {
	watch     watch
	rh, theta DailyMean
	days      []TimberDay // none of them both drier and colder than another
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
	day := TimberDay{meanRH, meanTheta, hour + n - 1 - t.rh.n}
	covers := func(a, b TimberDay) bool { return a.RH >= b.RH && onLine(a.Theta) >= onLine(b.Theta) }
	if !slices.ContainsFunc(t.days, func(d TimberDay) bool { return covers(d, day) }) {
		t.days = append(slices.DeleteFunc(t.days, func(d TimberDay) bool { return covers(day, d) }), day)
	}
}

// Days returns those that are the worst under some line, from cold to warm; an
// unfinished last day does not count. RH over the line is largest at a corner of the
// hull of the days in the plane of temperature and humidity.
func (t *TimberHumidity) Days() []TimberDay {
	if !t.watch.judged(len(t.days) > 0) {
		return []TimberDay{{math.NaN(), math.NaN(), t.watch.bad - 1}}
	}
	slices.SortFunc(t.days, func(a, b TimberDay) int { return cmp.Compare(onLine(a.Theta), onLine(b.Theta)) })
	hull := t.days[:0] // what is dropped is never the worst, whatever comes
	for _, d := range t.days {
		for n := len(hull); n >= 2; n-- {
			a, b := &hull[n-2], &hull[n-1]
			x, y := onLine(a.Theta), onLine(d.Theta)
			if share := (onLine(b.Theta) - x) / (y - x); b.RH > a.RH+share*(d.RH-a.RH) {
				break
			}
			hull = hull[:n-1]
		}
		hull = append(hull, d)
	}
	t.days = hull
	return hull
}
