package programme

import (
	"cmp"
	"slices"
)

// Bounds of the search, which keep it to a second or so.
const (
	maxStates = 1 << 16 // in a list
	maxNodes  = 1 << 21 // in all
)

// state is a choice over the homes met so far that no other one dominates.
type state struct {
	sums
	loss float64
	last *node // of the item taken last
}

// node remembers what a state is made of.
type node struct {
	before *node
	option
}

// solve returns the best choice it finds, and how much better another one could be.
func (k *knapsack) solve() ([]item, float64) {
	best := k.relax()
	if !k.enough(best.sums) || k.search(&best) {
		return k.items(best), 0
	}
	return k.items(best), k.gap(best.sums)
}

// search makes a choice the best one there is. At the prices of the bound every item
// of a home that is not its worthiest loses some of the bound, and what has lost more
// than lies between the choice and the bound cannot be better. What is left is built
// up home by home, keeping the states that no other one beats in cost, saving and
// number of homes. It says whether all was seen.
func (k *knapsack) search(x *choice) (whole bool) {
	gap := k.gap(x.sums) * (1 + 1e-9) // what rounding may hide
	var branches [][]option
	for list := range k.stock {
		branches = append(branches, slices.DeleteFunc(k.options(list), func(o option) bool { return o.loss > gap }))
	}
	second := func(b []option) float64 {
		if len(b) < 2 {
			return 2 * gap
		}
		return b[1].loss
	}
	slices.SortStableFunc(branches, func(a, b []option) int { return cmp.Compare(second(b), second(a)) })
	states, nodes := make([]state, 1), 0
	for _, options := range branches {
		var next []state
		for _, s := range states {
			for _, o := range options {
				t := state{s.sums, s.loss + o.loss, s.last}
				if t.loss > gap {
					break // options lose more and more
				}
				if o.to != 0 {
					it := k.stock[o.list][o.to]
					if t.sums = s.sums.plus(it.sums); t.n > k.most || k.used(it.sums) > 0 && !k.enough(t.sums) {
						continue
					}
					t.last = &node{s.last, o}
					nodes++
				}
				next = append(next, t)
			}
		}
		states = k.undominated(next)
		if len(states) > maxStates || nodes > maxNodes {
			return false
		}
	}
	best, last := x.sums, (*node)(nil)
	for _, s := range states {
		if k.enough(s.sums) && k.value(s.sums) > k.value(best) {
			best, last = s.sums, s.last
		}
	}
	if last != nil {
		*x = k.nothing()
	}
	for ; last != nil; last = last.before {
		k.move(x, last.list, last.to)
	}
	return true
}

// undominated keeps the states that none with as few homes beats in cost and
// saving.
func (k *knapsack) undominated(states []state) []state {
	counted := func(s state) int {
		if k.most == len(k.stock) {
			return 0 // any number may be
		}
		return s.n
	}
	slices.SortStableFunc(states, func(a, b state) int {
		return cmp.Or(cmp.Compare(counted(a), counted(b)), cmp.Compare(a.c, b.c), cmp.Compare(b.v, a.v))
	})
	out := states[:0]
	for _, s := range states {
		if n := len(out); n > 0 && counted(out[n-1]) == counted(s) && out[n-1].v >= s.v {
			continue
		}
		out = append(out, s)
	}
	return out
}
