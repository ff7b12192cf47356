package damage

import "math"

// Accumulation watches the water stored in a layer or around an interface, and
// the humidity there: how much gathers, whether it grows from year to year, and
// how long it is wet. It judges what EN 15026 leaves to its reader; limits such
// as 0.5 or 1.0 kg/m² (DIN 4108-3, from memory) are passed in.
type Accumulation struct {
	Dry   float64 // kg/m², stored amount of the dry reference
	WetRH float64 // 0–1, from which an hour counts as wet; usually 0.99

	watch    watch
	peak     float64
	peakAt   int
	first    float64 // amount where the last full year began
	last     float64 // amount where it ended
	wet      int
	spell    int
	longest  int
	spellAt  int
	day      DailyMean
	days     int
	dayRH    float64
	dayRHAt  int
	hasYears bool
	start    float64
}

// Hour takes the amount stored (kg/m², ice included) and the relative humidity
// (0–1) at the end of an hour.
func (a *Accumulation) Hour(hour int, stored, rh float64) {
	if !a.watch.take(hour, amount(stored) && amount(rh)) {
		return
	}
	if a.watch.hours == 1 {
		a.start = stored
	}
	if a.watch.hours == 1 || stored > a.peak {
		a.peak, a.peakAt = stored, hour
	}
	if a.watch.hours%HoursPerYear == 0 {
		a.first, a.last = a.start, stored
		a.start, a.hasYears = stored, true
	}
	a.spell++
	if rh < a.WetRH {
		a.spell = 0
	} else {
		a.wet++
	}
	if a.spell > a.longest {
		a.longest, a.spellAt = a.spell, hour
	}
	if mean, full := a.day.Add(rh); full {
		a.days++
		if a.days == 1 || mean > a.dayRH {
			a.dayRH, a.dayRHAt = mean, hour
		}
	}
}

// Peak compares the most stored above the dry reference with a limit, kg/m².
func (a *Accumulation) Peak(limit float64) Finding {
	return a.watch.find(a.peak-a.Dry, limit, a.peakAt, finite(a.Dry))
}

// Rise compares the growth of the stored amount over the last full year with a
// limit, kg/m²a. A fall is no demand. In the first year it runs from the end of
// the first hour. It cannot be judged before a year was fed. The hour is -1.
func (a *Accumulation) Rise(limit float64) Finding {
	return a.watch.find(a.last-a.first, limit, -1, a.hasYears)
}

// WetHours compares the wet hours of a year with a limit, h/a. The hour is the
// last of the longest wet spell. Less than a year counts as one.
func (a *Accumulation) WetHours(limit float64) Finding {
	hour := a.spellAt
	if a.wet == 0 {
		hour = -1
	}
	return a.watch.find(a.watch.perYear(a.wet), limit, hour, finite(a.WetRH))
}

// DailyRH compares the highest daily mean of the relative humidity with a limit,
// 0–1. The hour is the last of that day. It cannot be judged before a full day.
func (a *Accumulation) DailyRH(limit float64) Finding {
	return a.watch.find(a.dayRH, limit, a.dayRHAt, a.days > 0)
}

// LongestSpell returns the most wet hours in a row; NaN when that is not known.
func (a *Accumulation) LongestSpell() float64 {
	if !a.watch.judged(finite(a.WetRH)) {
		return math.NaN()
	}
	return float64(a.longest)
}
