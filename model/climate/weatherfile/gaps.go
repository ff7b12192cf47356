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
)

// fill gives the hours k of each gap, which lies between before and after, their
// value; one of the two may lie outside the series. It returns how many it filled
// and the first index of a gap that is longer than most or has no value, or -1.
func (s series) fill(most int, value func(k, before, after int) float64) (filled, tooLong int) {
	for i := 0; i < len(s); i++ {
		j := i
		for j < len(s) && math.IsNaN(s[j]) {
			j++
		}
		if j-i > most || j-i == len(s) {
			return filled, i
		}
		for k := i; k < j; k++ {
			if s[k] = value(k, i-1, j); math.IsNaN(s[k]) {
				return filled, k
			}
			filled++
		}
		i = j
	}
	return filled, -1
}

// bridge fills gaps of up to maxGap hours by straight lines between the values
// about them, and at the ends by the nearest value.
func (s series) bridge() (filled, tooLong int) {
	return s.fill(maxGap, func(k, before, after int) float64 {
		switch {
		case before < 0:
			return s[after]
		case after >= len(s):
			return s[before]
		}
		f := float64(k-before) / float64(after-before)
		return (1-f)*s[before] + f*s[after]
	})
}

// repeat fills gaps of up to maxDark hours by the same hour of the nearest day
// before, or after, that has it. Filled days count, so that looking back one is
// enough.
func (s series) repeat() (filled, tooLong int) {
	return s.fill(maxDark, func(k, _, _ int) float64 {
		for _, j := range []int{k - 24, k + 24, k + 48, k + 72, k + 96} {
			if j >= 0 && j < len(s) && !math.IsNaN(s[j]) {
				return s[j]
			}
		}
		return nan
	})
}

// hold gives a missing value the one before it, at the start the first there is: a
// line from 350 to 10 degrees would pass the south.
func (s series) hold() (filled, tooLong int) {
	return s.fill(len(s), func(_, before, after int) float64 {
		if before < 0 {
			return s[after]
		}
		return s[before]
	})
}
