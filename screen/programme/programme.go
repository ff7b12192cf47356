// Package programme chooses which homes to work on: one measure at a home, within
// a budget, a number of homes, or as far as a saving that is to be reached. It reads
// and writes nothing, and knows no strategy.
//
// Under a budget the choice is a multiple-choice knapsack: of each home's measures
// at most one, the saving in all as large as money allows. It is solved in two
// steps, after Sinha & Zoltners, The multiple-choice knapsack problem (Operations
// Research 1979), and Kellerer, Pferschy & Pisinger, Knapsack Problems (2004),
// both from memory. First the relaxation: a price of money at which the homes, each
// choosing for itself, spend the budget. No choice at all passes the bound that
// follows from it, and what the homes choose, bettered while money is left, is within
// one measure of it (relax.go). Then what lies between choice and bound is searched
// with lists of states that no other one dominates (search.go). Where that comes to
// its end the choice is the best there is, else the bound says how much more could be.
// To reach a saving at least cost is the same problem mirrored.
//
// Sums are exact, and so are comparisons, where savings and costs are whole numbers
// below 2⁵³.
package programme

import (
	"cmp"
	"math"
	"slices"

	"wallsift/config"
)

// Measure is one that a home could have.
type Measure struct {
	Saving float64 // kWh/a, above 0
	Cost   float64 // in any currency, 0 or more; NaN where it is not known
	Risk   float64 // smaller is better
}

// Home is one with the measures it could have.
type Home struct {
	ID       string // ties break on it
	Measures []Measure
}

// Goal says what is wanted. Of budget and target at most one is given.
type Goal struct {
	By     string  // what comes first: most saving, least cost for each unit of it, or least risk (config.BySaving, ByCost, ByRisk)
	Budget float64 // most that may be spent; NaN for no bound
	Target float64 // saving to reach, kWh/a; NaN for none
	Homes  int     // most homes; 0 for no bound
}

// Pick is a measure at a home, both by their place in what was given.
type Pick struct{ Home, Measure int }

// Programme is a choice of measures.
type Programme struct {
	Picks   []Pick // in order
	Saving  float64
	Cost    float64 // of the measures whose cost is known
	Reached bool    // whether the target is reached; true without one
	// Short is a bound on how much better another choice could be: saving, kWh/a,
	// under a budget, money where a target is reached at known cost; 0 where no
	// other one is better. NaN where nothing is weighed up.
	Short float64
}

// Priced says whether costs enter the choice, so that a measure of unknown cost
// cannot be part of it.
func (g *Goal) Priced(homes []Home) bool {
	switch {
	case !math.IsNaN(g.Budget) || g.By == config.ByCost:
		return true
	case math.IsNaN(g.Target) || g.By == config.ByRisk:
		return false
	}
	return slices.ContainsFunc(homes, func(h Home) bool {
		return slices.ContainsFunc(h.Measures, func(m Measure) bool { return !math.IsNaN(m.Cost) })
	})
}

// item is a measure that can be chosen; home and measure are its place.
type item struct {
	home, measure int
	sums
	risk float64
}

// sums are cost, saving and homes of a choice; those of an item are its own.
type sums struct {
	c, v float64
	n    int
}

func (s sums) plus(x sums) sums { return sums{s.c + x.c, s.v + x.v, s.n + x.n} }

// Choose chooses. The same homes and goal give the same programme.
func Choose(homes []Home, g Goal) Programme {
	p := Programme{Reached: true, Short: math.NaN()}
	priced := g.Priced(homes)
	var stock [][]item
	for h, home := range homes {
		var list []item
		for m, x := range home.Measures {
			if x.Saving > 0 && !(priced && math.IsNaN(x.Cost)) {
				list = append(list, item{h, m, sums{x.Cost, x.Saving, 1}, x.Risk})
			}
		}
		if list != nil {
			stock = append(stock, list)
		}
	}
	before := func(a, b item) int {
		return cmp.Or(compare(g.By, a, b), cmp.Compare(homes[a.home].ID, homes[b.home].ID), cmp.Compare(a.measure, b.measure))
	}
	slices.SortStableFunc(stock, func(a, b []item) int { return cmp.Compare(homes[a[0].home].ID, homes[b[0].home].ID) })
	var chosen []item
	weighed := priced && !(math.IsNaN(g.Budget) && math.IsNaN(g.Target))
	if weighed && g.By != config.ByRisk {
		chosen, p.Short = newKnapsack(stock, g).solve()
	} else if chosen = inOrder(stock, g, before); weighed {
		p.Short = newKnapsack(stock, g).short(chosen)
	}
	slices.SortFunc(chosen, before)
	for _, x := range chosen {
		p.Picks = append(p.Picks, Pick{x.home, x.measure})
		p.Saving += x.v
		if !math.IsNaN(x.c) {
			p.Cost += x.c
		}
	}
	if p.Saving < g.Target {
		p.Reached, p.Short = false, math.NaN()
	}
	return p
}

// compare says which of two measures comes first; where they are alike, the one
// that saves more.
func compare(by string, a, b item) int {
	first := 0
	switch by {
	case config.ByCost:
		first = cmp.Compare(a.c*b.v, b.c*a.v)
	case config.ByRisk:
		first = cmp.Compare(a.risk, b.risk)
	}
	return cmp.Or(first, cmp.Compare(b.v, a.v), cmp.Compare(a.risk, b.risk))
}

// inOrder takes the first measure of each home, and of these one after the other
// until a bound is met; one that is too dear is passed over.
func inOrder(stock [][]item, g Goal, before func(a, b item) int) (out []item) {
	var firsts []item
	for _, list := range stock {
		firsts = append(firsts, slices.MinFunc(list, before))
	}
	slices.SortFunc(firsts, before)
	var all sums
	for _, x := range firsts {
		if g.Homes > 0 && all.n == g.Homes || all.v >= g.Target {
			break
		}
		if all.c+x.c > g.Budget {
			continue
		}
		out, all = append(out, x), all.plus(x.sums)
	}
	return out
}
