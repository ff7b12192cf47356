package damage

// DailyMean averages every 24 values. The zero DailyMean is ready.
type DailyMean struct {
	sum float64
	n   int
}

// Add takes an hour's value. With the 24th it returns the day's mean and true.
// A value that is not a number makes the mean of its day one.
func (d *DailyMean) Add(x float64) (float64, bool) {
	d.sum += x
	d.n++
	if d.n < 24 {
		return 0, false
	}
	mean := d.sum / 24
	*d = DailyMean{}
	return mean, true
}
