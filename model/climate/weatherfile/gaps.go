package weatherfile

import "math"

// series is a column as it is read.
type series []float64

var nan = math.NaN()

// holes counts the missing values.
func (s series) holes() (n int) {
	for _, v := range s {
		if math.IsNaN(v) {
			n++
		}
	}
	return n
}

const (
	// maxGap is the longest gap in hours that a straight line bridges, maxDark
	// that of radiation, which takes the hour of the day before or after. Common
	// practice, no source.
	maxGap, maxDark = 6, 72
)

// bridge fills gaps of up to maxGap hours by straight lines between the values
// about them, and at the ends by the nearest value. It returns how many values
// it filled and the first index of a gap too long, or -1.
func (s series) bridge() (filled, tooLong int) {
	for i := 0; i < len(s); i++ {
		if !math.IsNaN(s[i]) {
			continue
		}
		j := i
		for j < len(s) && math.IsNaN(s[j]) {
			j++
		}
		if j-i > maxGap || j-i == len(s) {
			return filled, i
		}
		before, after := i-1, j
		for k := i; k < j; k++ {
			switch {
			case before < 0:
				s[k] = s[after]
			case after >= len(s):
				s[k] = s[before]
			default:
				f := float64(k-before) / float64(after-before)
				s[k] = (1-f)*s[before] + f*s[after]
			}
		}
		filled += j - i
		i = j
	}
	return filled, -1
}

// repeat fills gaps of up to maxDark hours by the same hour of the nearest day
// before, or after, that has it. Returns as bridge.
func (s series) repeat() (filled, tooLong int) {
	run := 0
	for i, v := range s {
		if !math.IsNaN(v) {
			run = 0
			continue
		}
		if run++; run > maxDark {
			return 0, i - run + 1
		}
	}
	for i := range s {
		if !math.IsNaN(s[i]) {
			continue
		}
		// Filled days count as days, so that looking back one is enough.
		for _, j := range []int{i - 24, i + 24, i + 48, i + 72, i + 96} {
			if j >= 0 && j < len(s) && !math.IsNaN(s[j]) {
				s[i] = s[j]
				filled++
				break
			}
		}
		if math.IsNaN(s[i]) {
			return filled, i
		}
	}
	return filled, -1
}

// hold gives a missing value the one before it, at the start the first there is: a
// line from 350 to 10 degrees would pass the south. Returns as bridge.
func (s series) hold() (filled, tooLong int) {
	last := nan
	for _, v := range s {
		if !math.IsNaN(v) {
			last = v
			break
		}
	}
	if math.IsNaN(last) {
		return 0, 0
	}
	for k, v := range s {
		if math.IsNaN(v) {
			s[k] = last
			filled++
		}
		last = s[k]
	}
	return filled, -1
}
