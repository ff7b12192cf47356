package programme

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"wallsift/config"
)

var absent = math.NaN()

// drawn is a portfolio small enough to try every choice of.
func drawn(t *rapid.T) []Home {
	homes := make([]Home, rapid.IntRange(0, 6).Draw(t, "homes"))
	for h := range homes {
		homes[h].ID = fmt.Sprint("H", h)
		for range rapid.IntRange(0, 3).Draw(t, "measures") {
			m := Measure{Saving: float64(rapid.IntRange(1, 40).Draw(t, "saving")), Cost: float64(rapid.IntRange(0, 40).Draw(t, "cost")), Risk: float64(rapid.IntRange(0, 9).Draw(t, "risk"))}
			if rapid.IntRange(0, 9).Draw(t, "unknown") == 0 {
				m.Cost = absent
			}
			homes[h].Measures = append(homes[h].Measures, m)
		}
	}
	return homes
}

// every calls f with the sums of every choice that the bound on homes allows.
func every(homes []Home, most int, f func(cost, saving float64)) {
	var from func(h, n int, cost, saving float64)
	from = func(h, n int, cost, saving float64) {
		if h == len(homes) {
			f(cost, saving)
			return
		}
		from(h+1, n, cost, saving)
		for _, m := range homes[h].Measures {
			if !math.IsNaN(m.Cost) && (most == 0 || n < most) {
				from(h+1, n+1, cost+m.Cost, saving+m.Saving)
			}
		}
	}
	from(0, 0, 0, 0)
}

// sound holds a programme against what it was made from.
func sound(t *rapid.T, homes []Home, g Goal, p Programme) {
	cost, saving, seen := 0.0, 0.0, map[int]bool{}
	for _, x := range p.Picks {
		m := homes[x.Home].Measures[x.Measure]
		if seen[x.Home] {
			t.Fatalf("home %d has two measures", x.Home)
		}
		if seen[x.Home] = true; g.Priced(homes) && math.IsNaN(m.Cost) {
			t.Fatal("a measure of unknown cost was chosen")
		}
		saving += m.Saving
		if !math.IsNaN(m.Cost) {
			cost += m.Cost
		}
	}
	if cost != p.Cost || saving != p.Saving {
		t.Fatalf("sums %g, %g; said %g, %g", cost, saving, p.Cost, p.Saving)
	}
	if cost > g.Budget || g.Homes > 0 && len(p.Picks) > g.Homes {
		t.Fatalf("spent %g of %g, %d of %d homes", cost, g.Budget, len(p.Picks), g.Homes)
	}
}

func TestBudgetAgainstEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		homes := drawn(t)
		g := Goal{By: rapid.SampledFrom([]string{config.BySaving, config.ByCost, config.ByRisk}).Draw(t, "by"), Target: absent,
			Budget: float64(rapid.IntRange(0, 120).Draw(t, "budget")), Homes: rapid.IntRange(0, 6).Draw(t, "most")}
		p := Choose(homes, g)
		sound(t, homes, g, p)
		most := 0.0
		every(homes, g.Homes, func(cost, saving float64) {
			if cost <= g.Budget {
				most = max(most, saving)
			}
		})
		const rounding = 1e-6
		if p.Saving+p.Short < most-rounding {
			t.Fatalf("%g and at most %g more, but %g can be", p.Saving, p.Short, most)
		}
		if g.By != config.ByRisk && (p.Short != 0 || p.Saving != most) { // so few are always seen whole
			t.Fatalf("%g, short by at most %g; %g can be", p.Saving, p.Short, most)
		}
	})
}

func TestTargetAgainstEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		homes := drawn(t)
		g := Goal{By: config.ByCost, Budget: absent, Target: float64(rapid.IntRange(0, 150).Draw(t, "target")), Homes: rapid.IntRange(0, 6).Draw(t, "most")}
		p := Choose(homes, g)
		sound(t, homes, g, p)
		least, most := math.Inf(1), 0.0
		every(homes, g.Homes, func(cost, saving float64) {
			if most = max(most, saving); saving >= g.Target {
				least = min(least, cost)
			}
		})
		switch {
		case p.Reached != !math.IsInf(least, 1):
			t.Fatalf("reached %v, least cost %g", p.Reached, least)
		case !p.Reached && p.Saving != most:
			t.Fatalf("not reached with %g, but %g can be", p.Saving, most)
		case p.Reached && (p.Saving < g.Target || p.Cost-p.Short > least):
			t.Fatalf("%g for %g, at most %g less; least cost %g", p.Saving, p.Cost, p.Short, least)
		case p.Reached && p.Short == 0 && p.Cost != least:
			t.Fatalf("said to be best at %g; least cost %g", p.Cost, least)
		}
	})
}

// The choice before any search is within one measure of the bound, as the
// relaxation of the multiple-choice knapsack is (Sinha & Zoltners 1979, from
// memory).
func TestRelaxationIsWithinOneMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		homes := make([]Home, rapid.IntRange(1, 60).Draw(t, "homes"))
		largest := 0.0
		var stock [][]item
		for h := range homes {
			var list []item
			for m := range rapid.IntRange(1, 4).Draw(t, "measures") {
				x := item{h, m, sums{float64(rapid.IntRange(1, 1000).Draw(t, "cost")), float64(rapid.IntRange(1, 1000).Draw(t, "saving")), 1}, 0}
				largest = max(largest, x.v)
				list = append(list, x)
			}
			stock = append(stock, list)
		}
		k := newKnapsack(stock, Goal{Budget: float64(rapid.IntRange(0, 20000).Draw(t, "budget")), Target: absent})
		if x := k.relax(); k.bound-x.v > largest+1e-6 {
			t.Fatalf("%g is further than %g from the bound %g", x.v, largest, k.bound)
		}
	})
}

// Without a budget or a target there is nothing to weigh up: homes come in order.
func TestInOrder(t *testing.T) {
	homes := []Home{
		{"A", []Measure{{Saving: 100, Cost: 50, Risk: 0.2}, {Saving: 80, Cost: 10, Risk: 0.5}}},
		{"B", []Measure{{Saving: 300, Cost: absent, Risk: 0.9}}},
		{"C", nil},
		{"D", []Measure{{Saving: 200, Cost: 100, Risk: 0.1}}},
	}
	for name, c := range map[string]struct {
		g    Goal
		want []Pick
	}{
		"most saving":         {Goal{config.BySaving, absent, absent, 2}, []Pick{{1, 0}, {3, 0}}},
		"cheapest saving":     {Goal{config.ByCost, absent, absent, 0}, []Pick{{0, 1}, {3, 0}}},
		"least risk":          {Goal{config.ByRisk, absent, absent, 0}, []Pick{{3, 0}, {0, 0}, {1, 0}}},
		"risk up to a target": {Goal{config.ByRisk, absent, 250, 0}, []Pick{{3, 0}, {0, 0}}},
	} {
		p := Choose(homes, c.g)
		if !reflect.DeepEqual(p.Picks, c.want) || !p.Reached {
			t.Errorf("%s: %+v", name, p)
		}
	}
	// Where nothing is priced, the fewest homes reach a target.
	for h := range homes {
		for m := range homes[h].Measures {
			homes[h].Measures[m].Cost = absent
		}
	}
	if p := Choose(homes, Goal{config.BySaving, absent, 450, 0}); !reflect.DeepEqual(p.Picks, []Pick{{1, 0}, {3, 0}}) {
		t.Errorf("%+v", p)
	}
}

// A dear measure that crowds out two cheaper ones, which spending in order of
// saving for money, or of saving, would miss.
func TestOrderAloneIsNotEnough(t *testing.T) {
	homes := []Home{
		{"A", []Measure{{Saving: 60, Cost: 50}}},
		{"B", []Measure{{Saving: 60, Cost: 50}}},
		{"C", []Measure{{Saving: 100, Cost: 80}}},
		{"D", []Measure{{Saving: 10, Cost: 1}}},
	}
	p := Choose(homes, Goal{Budget: 100, Target: absent})
	if p.Saving != 120 || p.Short != 0 {
		t.Errorf("%+v", p)
	}
}

// Order of rows never matters.
func TestRowsInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		homes := drawn(t)
		g := Goal{Budget: 60, Target: absent}
		named := func(homes []Home) (out []string) {
			for _, x := range Choose(homes, g).Picks {
				out = append(out, fmt.Sprint(homes[x.Home].ID, " ", x.Measure))
			}
			return out
		}
		if one, other := named(homes), named(rapid.Permutation(homes).Draw(t, "order")); !reflect.DeepEqual(one, other) {
			t.Fatalf("%v, in another order %v", one, other)
		}
	})
}

func BenchmarkChoose(b *testing.B) {
	for _, n := range []int{300, 10000} {
		for _, most := range []int{0, n / 20} {
			b.Run(fmt.Sprint(n, " homes, most ", most), func(b *testing.B) {
				homes := make([]Home, n)
				for h := range homes {
					homes[h].ID = fmt.Sprint(h)
					for m := range 3 {
						x := (h*7919 + m*104729) % 10007
						homes[h].Measures = append(homes[h].Measures, Measure{Saving: float64(500 + x), Cost: float64(2000 + (x*31+m*977)%18000)})
					}
				}
				for b.Loop() {
					p := Choose(homes, Goal{Budget: float64(n) * 600, Target: absent, Homes: most})
					b.ReportMetric(p.Short, "kWh-short")
					b.ReportMetric(p.Saving, "kWh")
				}
			})
		}
	}
}
