package programme

import (
	"cmp"
	"math"
	"slices"
)

// knapsack is the problem with a budget or a target: of each list at most one item.
type knapsack struct {
	stock          [][]item
	budget, target float64 // one is NaN
	most           int     // homes
	rate, seat     float64 // what a unit of money, and a place for a home, must save at the best bound
	bound          float64 // no choice is worth more
}

func newKnapsack(stock [][]item, g Goal) *knapsack {
	k := &knapsack{stock: stock, budget: g.Budget, target: g.Target, most: len(stock)}
	if g.Homes > 0 {
		k.most = min(g.Homes, k.most)
	}
	return k
}

func (k *knapsack) mirrored() bool { return math.IsNaN(k.budget) }

// value is what the sums of a choice are judged by, more is better: what it saves, or
// what it does not cost where a target is to be reached.
func (k *knapsack) value(c, v float64) float64 {
	if k.mirrored() {
		return -c
	}
	return v
}

// none stands for a home without a measure.
const none = -1

// step moves a home to a measure further along its hull.
type step struct {
	at, to int // place in the stock and in its list
	c, v   float64
}

// hull lists the steps along the upper convex hull of a list, the steepest first.
// A home itself costs fee in money, and toll in saving.
func hull(at int, list []item, fee, toll float64) (out []step) {
	points := make([]step, 0, len(list)+1)
	for i, x := range list {
		points = append(points, step{at, i, x.c + fee, x.v - toll})
	}
	slices.SortFunc(points, func(a, b step) int {
		return cmp.Or(cmp.Compare(a.c, b.c), cmp.Compare(b.v, a.v), cmp.Compare(a.to, b.to))
	})
	out = append(out, step{at, none, 0, 0})
	for _, p := range points {
		if p.v <= out[len(out)-1].v {
			continue
		}
		for n := len(out); n > 1 && (out[n-1].v-out[n-2].v)*(p.c-out[n-1].c) <= (p.v-out[n-1].v)*(out[n-1].c-out[n-2].c); n-- {
			out = out[:n-1]
		}
		out = append(out, p)
	}
	for i := len(out) - 1; i > 0; i-- {
		out[i].c, out[i].v = out[i].c-out[i-1].c, out[i].v-out[i-1].v
	}
	return out[1:]
}

// steps lists those of every home, the ones that save most for their money first.
func (k *knapsack) steps(fee, toll float64) (out []step) {
	for at, list := range k.stock {
		out = append(out, hull(at, list, fee, toll)...)
	}
	slices.SortStableFunc(out, func(a, b step) int { return cmp.Compare(b.v*a.c, a.v*b.c) })
	return out
}

// choice is a measure, or none, for each list of the stock, with its sums.
type choice struct {
	to   []int
	c, v float64
	n    int
}

func (k *knapsack) nothing() *choice {
	to := make([]int, len(k.stock))
	for i := range to {
		to[i] = none
	}
	return &choice{to: to}
}

// at is an item of the stock; that of none is empty.
func (k *knapsack) at(list, i int) item {
	if i == none {
		return item{}
	}
	return k.stock[list][i]
}

// moved are the sums of a choice after a step.
func (k *knapsack) moved(x *choice, list, to int) (c, v float64, n int) {
	was, is := k.at(list, x.to[list]), k.at(list, to)
	c, v, n = x.c-was.c+is.c, x.v-was.v+is.v, x.n
	if x.to[list] == none {
		n++
	}
	if to == none {
		n--
	}
	return c, v, n
}

func (k *knapsack) move(x *choice, list, to int) {
	x.c, x.v, x.n = k.moved(x, list, to)
	x.to[list] = to
}

// walk spends along the hulls. It returns the choice, nil where it does not reach
// the target, how much a unit of money saves where budget or target end it, and how
// many homes had a measure by then.
func (k *knapsack) walk(fee, toll float64) (x *choice, rate float64, begun int) {
	x = k.nothing()
	steps := k.steps(fee, toll)
	ended := false
	for i, s := range steps {
		c, v, n := k.moved(x, s.at, s.to)
		fits := n <= k.most && v > x.v && !(c > k.budget)
		if c > k.budget && !ended {
			ended, rate, begun = true, s.v/s.c, x.n
		}
		if !fits {
			continue
		}
		k.move(x, s.at, s.to)
		if k.mirrored() && x.v >= k.target {
			if s.c > 0 {
				rate = s.v / s.c
			}
			begun = x.n
			for _, s := range slices.Backward(steps[:i+1]) {
				k.spare(x, s.at)
			}
			return x, rate, begun
		}
	}
	switch {
	case k.mirrored():
		return nil, 0, len(k.stock)
	case !ended:
		begun = x.n
	}
	return x, rate, begun
}

// spare takes the cheapest measure of a home with which the target is still
// reached.
func (k *knapsack) spare(x *choice, list int) {
	best, least := x.to[list], x.c
	for to := none; to < len(k.stock[list]); to++ {
		if c, v, n := k.moved(x, list, to); v >= k.target && c < least && n <= k.most {
			best, least = to, c
		}
	}
	k.move(x, list, best)
}

// worth is what an item is worth at the prices: what it saves above them, and never
// less than nothing, which is what leaving the home out is worth.
func (k *knapsack) worth(x item, rate, seat float64) float64 { return x.v - rate*x.c - seat }

// dual is a bound on the value that holds whatever the prices are (weak duality).
func (k *knapsack) dual(rate, seat float64) float64 {
	sum, seats := 0.0, seat*float64(k.most)
	for _, list := range k.stock {
		best := 0.0
		for _, x := range list {
			best = max(best, k.worth(x, rate, seat))
		}
		sum += best
	}
	switch {
	case !k.mirrored():
		return sum + rate*k.budget + seats
	case rate == 0:
		return 0
	}
	return (sum - k.target + seats) / rate
}

// relax finds the best choice along the hulls, and prices with a good bound; nil
// where the target is out of reach. A bound on the number of homes gets a price of its
// own: by halves the least at which no more homes than that begin.
func (k *knapsack) relax() (best *choice) {
	k.bound = math.Inf(1)
	if k.mirrored() {
		if best = k.largest(); best.v < k.target {
			return nil
		}
		for list := range k.stock {
			k.spare(best, list)
		}
	}
	try := func(price float64) (begun int) {
		fee, toll := 0.0, price
		if k.mirrored() {
			fee, toll = price, 0
		}
		x, rate, begun := k.walk(fee, toll)
		seat := toll + rate*fee
		if bound := k.dual(rate, seat); bound < k.bound {
			k.bound, k.rate, k.seat = bound, rate, seat
		}
		if x != nil && (best == nil || k.value(x.c, x.v) > k.value(best.c, best.v)) {
			best = x
		}
		return begun
	}
	if begun := try(0); begun < k.most || k.most == len(k.stock) {
		return best
	}
	most := 0.0
	for _, list := range k.stock {
		for _, x := range list {
			if most = max(most, x.v); k.mirrored() {
				most = max(most, 1000*x.c) // so dear that money does not matter
			}
		}
	}
	for low, high, i := 0.0, most, 0; i < 50; i++ {
		middle := (low + high) / 2
		if try(middle) >= k.most {
			low = middle
		} else {
			high = middle
		}
	}
	return best
}

// largest takes what saves most at as many homes as there may be.
func (k *knapsack) largest() *choice {
	var firsts []step
	for list, items := range k.stock {
		s := step{at: list}
		for i, x := range items {
			if x.v > s.v {
				s.to, s.v = i, x.v
			}
		}
		firsts = append(firsts, s)
	}
	slices.SortStableFunc(firsts, func(a, b step) int { return cmp.Compare(b.v, a.v) })
	x := k.nothing()
	for _, s := range firsts[:k.most] {
		k.move(x, s.at, s.to)
	}
	return x
}

// items are the measures of a choice.
func (k *knapsack) items(x *choice) (out []item) {
	for list, to := range x.to {
		if to != none {
			out = append(out, k.at(list, to))
		}
	}
	return out
}

// gap is how far the sums of a choice are from the bound; no cost is below nothing.
func (k *knapsack) gap(c, v float64) float64 {
	gap := max(0, k.bound-k.value(c, v))
	if k.mirrored() {
		return min(c, gap)
	}
	return gap
}

// short is the gap of a choice that was made in another way.
func (k *knapsack) short(chosen []item) float64 {
	k.relax()
	c, v := 0.0, 0.0
	for _, x := range chosen {
		c, v = c+x.c, v+x.v
	}
	return k.gap(c, v)
}
