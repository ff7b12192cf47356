package weatherfile

import "math"

// series is a column as it is read, NaN where a value is missing.
type series []float64

var nan = math.NaN()

const (
	// maxGap is the longest gap in hours that a straight line bridges, maxDark
	// that of radiation, which takes the hour of the day before or after. Common
	// practice, no source.
	maxGap, maxDark = 6, 72
	// anyGap is more than a file may hold.
	anyGap = (maxYears + 1) * perYear
)

// fill gives the hours k of each gap of up to most hours their value. The gap lies
// between before and after, which are the same where it reaches an end of the series.
// fill returns how many hours it filled and the first index of a gap that is longer
// or has no value, or -1.
func (s series) fill(most int, value func(s series, k, before, after int) float64) (filled, tooLong int) {
	for i := 0; i < len(s); i++ {
		j := i
		for j < len(s) && math.IsNaN(s[j]) {
			j++
		}
		if j-i > most || j-i == len(s) {
			return filled, i
		}
		before, after := i-1, j
		if i == 0 {
			before = after
		} else if j == len(s) {
			after = before
		}
		for k := i; k < j; k++ {
			if s[k] = value(s, k, before, after); math.IsNaN(s[k]) {
				return filled, k
			}
			filled++
		}
		i = j
	}
	return filled, -1
}

// bridged is a straight line between the values about a gap.
func bridged(s series, k, before, after int) float64 {
	if before == after {
		return s[before]
	}
	f := float64(k-before) / float64(after-before)
	return (1-f)*s[before] + f*s[after]
}

// repeated is the same hour of the nearest day before, or after, that has it. Filled
// days count, so that looking back one is enough.
func repeated(s series, k, _, _ int) float64 {
	for _, j := range []int{k - 24, k + 24, k + 48, k + 72, k + 96} {
		if j >= 0 && j < len(s) && !math.IsNaN(s[j]) {
			return s[j]
		}
	}
	return nan
}

// held is the value before a gap: a line from 350 to 10 degrees would pass the south.
func held(s series, _, before, _ int) float64 { return s[before] }
