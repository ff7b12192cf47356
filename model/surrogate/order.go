package surrogate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// most is the greatest size of a value: its square must not overflow.
const most = 1e150

// validate checks shapes and values.
func validate(x, y [][]float64) error {
	if len(x) == 0 || len(x) != len(y) {
		return fmt.Errorf("surrogate: %d rows of features and %d rows of outputs; expected the same count, at least 1", len(x), len(y))
	}
	d, m := len(x[0]), len(y[0])
	if m == 0 {
		return fmt.Errorf("surrogate: rows have no outputs; expected at least 1")
	}
	for i := range x {
		if len(x[i]) != d || len(y[i]) != m {
			return fmt.Errorf("surrogate: row %d has %d features and %d outputs; expected %d and %d as in row 0",
				i, len(x[i]), len(y[i]), d, m)
		}
		for j, v := range x[i] {
			if !(math.Abs(v) <= most) {
				return fmt.Errorf("surrogate: row %d, feature %d is %v; expected a finite number, at most %g in size", i, j, v, most)
			}
		}
		for o, v := range y[i] {
			if math.Abs(v) > most {
				return fmt.Errorf("surrogate: row %d, output %d is %v; expected a finite number (cut utilisations at a floor before the logarithm) or NaN where the output does not apply", i, o, v)
			}
		}
	}
	return nil
}

// canonical returns the rows in an order that depends on their values only,
// so that the order they came in leaves no trace, and without rows that repeat
// another in full: a repeated run of a deterministic model tells nothing new,
// yet its twin would make the leave-one-out error look like nought.
func canonical(x, y [][]float64) (xs, ys [][]float64) {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	// cmp.Compare counts NaN equal to NaN and below all else.
	compare := func(a, b int) int {
		return cmp.Or(slices.Compare(x[a], x[b]), slices.Compare(y[a], y[b]))
	}
	slices.SortFunc(order, compare)
	for i, k := range order {
		if i > 0 && compare(order[i-1], k) == 0 {
			continue
		}
		xs = append(xs, x[k])
		ys = append(ys, y[k])
	}
	return xs, ys
}
