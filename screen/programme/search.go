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
	c, v, loss float64
	n          int
	last       int32 // node of the item taken last
}

// node remembers what a state is made of.
type node struct {
	before   int32
	list, to int
}

// solve returns the best choice it finds, and how much better another one could be.
func (k *knapsack) solve() ([]item, float64) {
	best := k.relax()
	if best == nil {
		return k.items(k.largest()), 0
	}
	found, whole := k.search(best)
	if found != nil {
		best = found
	}
	if whole {
		return k.items(best), 0
	}
	return k.items(best), k.gap(best.c, best.v)
}

// search looks for a choice better than one that is known. At the prices of the
// bound every item of a home that is not its worthiest loses some of the bound, and
// what has lost more than lies between the known choice and the bound cannot be
// better. What is left is built up home by home, keeping the states that no other
// one beats in cost, saving and number of homes. whole says whether all was seen.
func (k *knapsack) search(known *choice) (found *choice, whole bool) {
	gap := k.gap(known.c, known.v)
	switch {
	case gap == 0:
		return nil, true
	case k.mirrored() && k.rate == 0: // no price to prune by
		return nil, false
	case k.mirrored():
		gap = k.rate * (known.c + k.bound)
	}
	gap *= 1 + 1e-9 // what rounding may hide
	type option struct {
		to   int
		loss float64
	}
	type branch struct {
		list    int
		options []option
	}
	start := state{last: none}
	var nodes []node
	var branches []branch
	for list, items := range k.stock {
		best := 0.0
		for _, x := range items {
			best = max(best, k.worth(x, k.rate, k.seat))
		}
		b := branch{list: list}
		if best <= gap {
			b.options = append(b.options, option{none, best})
		}
		for i, x := range items {
			if loss := best - k.worth(x, k.rate, k.seat); loss <= gap {
				b.options = append(b.options, option{i, loss})
			}
		}
		slices.SortStableFunc(b.options, func(a, b option) int { return cmp.Compare(a.loss, b.loss) })
		branches = append(branches, b)
	}
	second := func(b branch) float64 {
		if len(b.options) < 2 {
			return 2 * gap
		}
		return b.options[1].loss
	}
	slices.SortStableFunc(branches, func(a, b branch) int { return cmp.Compare(second(b), second(a)) })
	states := []state{start}
	for _, b := range branches {
		var next []state
		for _, s := range states {
			for _, o := range b.options {
				x := k.at(b.list, o.to)
				t := state{s.c + x.c, s.v + x.v, s.loss + o.loss, s.n, s.last}
				if t.loss > gap {
					break // options lose more and more
				}
				if o.to != none {
					if t.n++; t.c > k.budget || t.n > k.most {
						continue
					}
					t.last = int32(len(nodes))
					nodes = append(nodes, node{s.last, b.list, o.to})
				}
				next = append(next, t)
			}
		}
		states = k.undominated(next)
		if len(states) > maxStates || len(nodes) > maxNodes {
			return nil, false
		}
	}
	var best *state
	most := k.value(known.c, known.v)
	for i, s := range states {
		if worth := k.value(s.c, s.v); worth > most && !(s.v < k.target) {
			best, most = &states[i], worth
		}
	}
	if best == nil {
		return nil, true
	}
	found = k.nothing()
	for at := best.last; at != none; at = nodes[at].before {
		k.move(found, nodes[at].list, nodes[at].to)
	}
	return found, true
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
