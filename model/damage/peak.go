package damage

import "math"

// HoursPerYear is the length of the years the accumulators count in.
const HoursPerYear = 8760

// Peak is the most that a damage model came to, and when.
type Peak struct {
	Value float64 // in the model's unit; NaN when it cannot be judged
	Hour  int     // as it was fed, -1 where there is no such moment
}

// Highest keeps the largest of the values fed: the water in a lining, the
// humidity of a day.
type Highest struct{ watch watch }

// Hour takes an hour's value, 0 or more.
func (h *Highest) Hour(hour int, x float64) {
	if h.watch.take(hour, 1, amount(x)) {
		h.watch.rise(x, hour, h.watch.hours == 1)
	}
}

// Peak returns the largest value.
func (h *Highest) Peak() Peak { return h.watch.peak(true) }

// DailyMean averages every 24 values. The zero DailyMean is ready.
type DailyMean struct {
	sum float64
	n   int
}

// Add takes the value of n hours, 24 at most. With the 24th hour of a day it
// returns the day's mean and true; the hours beyond belong to the next. A value that
// is not a number makes the mean of its day one.
func (d *DailyMean) Add(n int, x float64) (float64, bool) {
	if d.n += n; d.n < 24 {
		d.sum += float64(n) * x
		return 0, false
	}
	d.n -= 24
	mean := (d.sum + float64(n-d.n)*x) / 24
	d.sum = float64(d.n) * x
	return mean, true
}

// watch counts hours, remembers the first that no model can use, and keeps the most
// that a model came to.
type watch struct {
	hours int
	bad   int // one more than the first that no model can use, 0 without
	top   Peak
	risen bool // top is set
}

// take counts n hours and reports whether they are to be used.
func (w *watch) take(hour, n int, usable bool) bool {
	w.hours += n
	if !usable && w.bad == 0 {
		w.bad = hour + 1
	}
	return w.bad == 0
}

// rise keeps a value above the top, or any.
func (w *watch) rise(value float64, hour int, whatever bool) {
	if whatever || value > w.top.Value {
		w.top, w.risen = Peak{value, hour}, true
	}
}

// peak is the top where hours and parameters are usable, else the answer that
// cannot be judged.
func (w *watch) peak(parameters bool) Peak {
	switch {
	case !w.judged(parameters):
		return Peak{math.NaN(), w.bad - 1}
	case !w.risen:
		return Peak{0, -1}
	}
	return w.top
}

func (w *watch) judged(parameters bool) bool { return w.hours > 0 && w.bad == 0 && parameters }

// years is how many were fed. Less than one counts as one, so that it is never
// scaled up.
func (w *watch) years() float64 { return max(1, float64(w.hours)/HoursPerYear) }

func finite(x float64) bool { return x-x == 0 }

// celsius accepts temperatures that matter can have in a wall, by far. Beyond, the
// formulas of vapour pressure overflow: over ice that is near absolute zero.
func celsius(x float64) bool { return x > -200 && x < 2000 }

// amount accepts what cannot be negative.
func amount(x float64) bool { return finite(x) && x >= 0 }
