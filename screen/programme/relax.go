package programme

import (
	"cmp"
	"math"
	"slices"
)

// knapsack is the problem with a budget or a target: of each list at most one item. The
// value, as large as it can be, is the saving, and the cost is limited; where a target
// is to be reached, the value is the cost and what is limited the saving, both negative.
type knapsack struct {
	stock    [][]item // each list begins with an empty item: a home without a measure
	mirrored bool     // a target is to be reached
	limit    float64
	most     int     // homes
	bound    float64 // no choice is worth more
	prices           // at which that bound holds
}

// prices say what a unit of what is limited and a place for a home count.
type prices struct{ unit, seat float64 }

func newKnapsack(stock [][]item, g Goal) *knapsack {
	k := &knapsack{limit: g.Budget, most: len(stock), bound: math.Inf(1)}
	for _, list := range stock {
		k.stock = append(k.stock, slices.Concat([]item{{}}, list))
	}
	if k.mirrored = math.IsNaN(g.Budget); k.mirrored {
		k.limit, k.bound = -g.Target, 0 // no cost is below nothing
	}
	if g.Homes > 0 {
		k.most = min(g.Homes, k.most)
	}
	return k
}

func (k *knapsack) value(x sums) float64 {
	if k.mirrored {
		return -x.c
	}
	return x.v
}

// used is how much a choice has of what is limited.
func (k *knapsack) used(x sums) float64 {
	if k.mirrored {
		return -x.v
	}
	return x.c
}

// enough says whether a choice keeps to the budget, or reaches the target.
func (k *knapsack) enough(x sums) bool { return k.used(x) <= k.limit }

// worth is that of an item at some prices.
func (k *knapsack) worth(x item, at prices) float64 {
	return k.value(x.sums) - at.unit*k.used(x.sums) - at.seat*float64(x.n)
}

// choice is the place of an item for each list of the stock.
type choice struct {
	to []int
	sums
}

func (k *knapsack) nothing() choice { return choice{to: make([]int, len(k.stock))} }

// moved are the sums of a choice with another item of a list.
func (k *knapsack) moved(x *choice, list, to int) sums {
	was, is := k.stock[list][x.to[list]], k.stock[list][to]
	return sums{x.c - was.c + is.c, x.v - was.v + is.v, x.n - was.n + is.n}
}

func (k *knapsack) move(x *choice, list, to int) {
	x.sums = k.moved(x, list, to)
	x.to[list] = to
}

// free lets each home take what is worth most at some prices. Of what it comes to
// follows a bound on the value of every choice, whatever the prices are (weak
// duality).
func (k *knapsack) free(p prices) choice {
	x, bound := k.nothing(), p.seat*float64(k.most)+p.unit*k.limit
	for list, items := range k.stock {
		best, to := 0.0, 0
		for i, it := range items {
			if worth := k.worth(it, p); worth > best {
				best, to = worth, i
			}
		}
		if bound += best; to != 0 {
			k.move(&x, list, to)
		}
	}
	if bound < k.bound {
		k.bound, k.prices = bound, p
	}
	return x
}

// least finds the lowest price from 0 at which ok holds, by halves; none is dearer than
// dearest.
func least(ok func(price float64) bool) {
	const dearest = 1e18
	if ok(0) {
		return
	}
	low, high := 0.0, 1.0
	for ; high < dearest && !ok(high); low, high = high, 2*high {
	}
	for range 50 {
		if middle := (low + high) / 2; ok(middle) {
			high = middle
		} else {
			low = middle
		}
	}
}

// relax finds prices with a good bound, and a good choice; where the target is out of
// reach, the largest, as without a budget. Money has the lowest price at which the budget is kept, or saving that at
// which the target is reached, and a place the lowest at which there are no more homes
// than may be, counted where budget or target are met in full by a share of the choice
// just beyond them.
func (k *knapsack) relax() choice {
	best := k.nothing()
	if k.mirrored {
		const unbounded = 1e300
		all := knapsack{stock: k.stock, limit: unbounded, most: k.most, bound: math.Inf(1)}
		if best = all.relax(); !k.enough(best.sums) {
			return best
		}
	}
	least(func(seat float64) bool {
		var x, beyond sums
		least(func(price float64) bool {
			y := k.free(prices{price, seat})
			if !k.enough(y.sums) {
				beyond = y.sums
				return false
			}
			if x = y.sums; x.n <= k.most && k.value(x) > k.value(best.sums) {
				best = y
			}
			return true
		})
		share := (k.limit - k.used(x)) / (k.used(beyond) - k.used(x))
		if !(share > 0 && share < 1) {
			share = 0
		}
		return float64(x.n)+share*float64(beyond.n-x.n) <= float64(k.most)
	})
	k.improve(&best)
	return best
}

// option is an item of a list with how much less it is worth at the prices
// of the bound than the best of the list.
type option struct {
	list, to int
	loss     float64
}

// options are those of a list, the best first.
func (k *knapsack) options(list int) (out []option) {
	best := 0.0
	for _, x := range k.stock[list] {
		best = max(best, k.worth(x, k.prices))
	}
	for i, x := range k.stock[list] {
		out = append(out, option{list, i, best - k.worth(x, k.prices)})
	}
	slices.SortStableFunc(out, func(a, b option) int { return cmp.Compare(a.loss, b.loss) })
	return out
}

// improve makes the moves that better a choice, those first that lose least.
func (k *knapsack) improve(x *choice) {
	var all []option
	for list := range k.stock {
		all = append(all, k.options(list)...)
	}
	slices.SortStableFunc(all, func(a, b option) int { return cmp.Compare(a.loss, b.loss) })
	for _, o := range all {
		if to := k.moved(x, o.list, o.to); to.n <= k.most && k.enough(to) && k.value(to) > k.value(x.sums) {
			k.move(x, o.list, o.to)
		}
	}
}

// items are the measures of a choice.
func (k *knapsack) items(x choice) (out []item) {
	for list, to := range x.to {
		if to != 0 {
			out = append(out, k.stock[list][to])
		}
	}
	return out
}

// gap is how far a choice is from the bound.
func (k *knapsack) gap(x sums) float64 { return max(0, k.bound-k.value(x)) }

// short is the gap of a choice that was made in another way.
func (k *knapsack) short(chosen []item) float64 {
	k.relax()
	var x sums
	for _, it := range chosen {
		x = x.plus(it.sums)
	}
	return k.gap(x)
}
