package sampling

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// EqualBins sorts the values of a continuous fact into bins of equal count,
// numbered from 0 by rising value, for [ValueOfKnowing]. Equal values share a
// bin, so bins of a fact with few values differ in count or stay empty. NaN
// (the fact does not apply) goes to a bin of its own, numbered bins. About the
// square root of a tenth of the samples is a fair count of bins; fewer hide
// what the fact decides, more leave too few samples in each (common practice,
// no source). It panics if bins < 1.
func EqualBins(values []float64, bins int) []int {
	if bins < 1 {
		panic(fmt.Sprintf("sampling: %d bins; expected at least 1", bins))
	}
	out := make([]int, len(values))
	order := make([]int, 0, len(values))
	for i, v := range values {
		if math.IsNaN(v) {
			out[i] = bins
			continue
		}
		order = append(order, i)
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	first := 0 // rank of the first of equal values
	for rank, i := range order {
		if values[order[first]] != values[i] {
			first = rank
		}
		out[i] = first * bins / len(order)
	}
	return out
}
