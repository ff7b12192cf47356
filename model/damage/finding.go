package damage

import "math"

// MaxUtilisation caps a utilisation whose limit is next to nothing, and is the
// answer where nothing can be judged.
const MaxUtilisation = 99

// HoursPerYear is the length of the years the accumulators count in.
const HoursPerYear = 8760

// Finding is a damage model's answer.
type Finding struct {
	Demand      float64 // NaN when it cannot be judged
	Limit       float64 // in the unit of Demand; +Inf asks for nothing
	Utilisation float64 // demand ÷ limit, 1 = at the limit, 0…MaxUtilisation, never NaN
	Hour        int     // the worst moment as it was fed, -1 when it has none
}

// find compares a demand with a limit. A negative limit cannot be met.
func find(demand, limit float64, hour int) Finding {
	f := Finding{Demand: demand, Limit: limit, Hour: hour}
	switch {
	case !finite(demand) || math.IsNaN(limit) || limit < 0:
		f.Utilisation = MaxUtilisation
	case demand <= 0:
	case limit <= demand/MaxUtilisation:
		f.Utilisation = MaxUtilisation
	default:
		f.Utilisation = demand / limit
	}
	return f
}

// watch counts hours and remembers the first that no model can use.
type watch struct {
	hours  int
	broken bool
	at     int
}

// take counts an hour and reports whether it is to be used.
func (w *watch) take(hour int, usable bool) bool {
	w.hours++
	if !usable && !w.broken {
		w.broken, w.at = true, hour
	}
	return !w.broken
}

// find is the package's find, with the worst answer where hours are missing or
// broken, or a parameter is not usable.
func (w *watch) find(demand, limit float64, hour int, parameters bool) Finding {
	if !w.judged(parameters) {
		return find(math.NaN(), limit, w.brokenAt())
	}
	return find(demand, limit, hour)
}

func (w *watch) judged(parameters bool) bool { return w.hours > 0 && !w.broken && parameters }

// brokenAt is the first unusable hour, -1 where there is none.
func (w *watch) brokenAt() int {
	if w.broken {
		return w.at
	}
	return -1
}

// perYear spreads a count over the years fed. Less than a year is never scaled up.
func (w *watch) perYear(count int) float64 {
	return float64(count) / max(1, float64(w.hours)/HoursPerYear)
}

func finite(x float64) bool { return x-x == 0 }

func celsius(x float64) bool { return finite(x) && x > -273.15 }

// amount accepts what cannot be negative.
func amount(x float64) bool { return finite(x) && x >= 0 }
