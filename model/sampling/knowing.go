package sampling

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ValueOfKnowing gives the chance now of a wrong choice, and by how much it
// would fall (gain) if a fact were known before choosing: the expected value
// of partial perfect information for a loss of 0 or 1.
//
// fact holds the bin of the fact in each sample (at least 0; bins may be
// empty), weights how much it counts (at least 0, not all 0). correct[a][i] says whether action a is the right one in sample i;
// several may be right, or none. With p the share of right choices,
//
//	now  = 1 − max over a of p(a)
//	gain = now − Σ over bins of P(bin)·(1 − max over a of p(a | bin))
//
// The maximum within a bin of few samples is too high on average: the action
// is chosen by the same noise it is scored by (Oakley, Brennan, Tappenden and
// Chilcott, Journal of Health Economics 29, 2010; from memory). So each bin is
// split in half, the action chosen on one half is scored on the other, both
// ways round. What is left of the bias makes gain too small, not too great.
// Ties, and bins of one sample, fall to the action that is best over all
// samples. 0 ≤ gain ≤ now.
//
// The halves of a bin are its first and last samples: neighbours of a
// low-discrepancy sequence are not alike, so samples must come in the order
// they were drawn in, not sorted by anything.
//
// It panics if there are no samples or actions, if lengths differ, or if a bin
// is negative.
func ValueOfKnowing(fact []int, weights []float64, correct [][]bool) (gain, now float64) {
	n, actions := len(fact), len(correct)
	odd := func(of []bool) bool { return len(of) != n }
	if n == 0 || actions == 0 || len(weights) != n || slices.ContainsFunc(correct, odd) {
		panic(fmt.Sprintf("sampling: %d samples, %d weights, %d actions; expected one of each for each sample", n, len(weights), actions))
	}
	bins := slices.Max(fact) + 1
	size := make([]int, bins)
	for _, b := range fact {
		size[b]++
	}
	// hits[half][bin*actions+a], with the halves in the order of samples.
	hits := [2][]float64{make([]float64, bins*actions), make([]float64, bins*actions)}
	total, sum := make([]float64, actions), 0.0
	seen := make([]int, bins)
	for i, b := range fact {
		half := 0
		if 2*seen[b] >= size[b] {
			half = 1
		}
		seen[b]++
		sum += weights[i]
		for a := range correct {
			if correct[a][i] {
				hits[half][b*actions+a] += weights[i]
				total[a] += weights[i]
			}
		}
	}
	overall := best(total, 0)
	right := 0.0
	for b := range bins {
		first, second := hits[0][b*actions:(b+1)*actions], hits[1][b*actions:(b+1)*actions]
		// An empty half is a tie of all actions.
		right += second[best(first, overall)] + first[best(second, overall)]
	}
	now = (sum - total[overall]) / sum
	gain = max((right-total[overall])/sum, 0)
	return min(gain, now), now
}

// best is the action of most hits; a tie falls to favourite if it is among
// them, else to the first.
func best(hits []float64, favourite int) int {
	top := favourite
	for a, h := range hits {
		if h > hits[top] {
			top = a
		}
	}
	return top
}

// EqualBins sorts the values of a continuous fact into bins of equal count,
// numbered from 0 by rising value, for [ValueOfKnowing]. Equal values share a
// bin, so bins of a fact with few values differ in count or stay empty. NaN
// (the fact does not apply) goes to a bin of its own, numbered bins. About the
// square root of a tenth of the samples is a fair count of bins; fewer hide
// what the fact decides, more leave too few samples in each (common practice,
// no source).
func EqualBins(values []float64, bins int) []int {
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
