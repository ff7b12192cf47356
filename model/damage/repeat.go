package damage

import "math"

// Repeat feeds a year until measure, taken at each year's end, changes by at
// most tol from one end to the next, and at most n times. It returns the number
// of years fed and whether the measure settled. A measure that is not a number
// never settles.
func Repeat(n int, tol float64, year func(), measure func() float64) (int, bool) {
	before := measure()
	for k := 1; k <= n; k++ {
		year()
		after := measure()
		if math.Abs(after-before) <= tol {
			return k, true
		}
		before = after
	}
	return max(n, 0), false
}
